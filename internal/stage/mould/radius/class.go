package radius

import (
	"cmp"
	"math"
	"slices"

	"laywright/internal/base/si"
)

// Areas is a surface by class of shape.
type Areas struct {
	Flat   si.Area `json:"flat_m2"`
	Single si.Area `json:"curved_one_way_m2"`
	Double si.Area `json:"curved_both_ways_m2"`
}

// Classes sorts the surface: a direction in which it bends by less than flat, 1/m,
// counts as straight.
func Classes(s Surface, flat float64) (a Areas) {
	for v, area := range s.Top.Mesh.VertexAreas() {
		bent := 0
		for _, k := range []float64{s.Low[v], s.High[v]} {
			if k > flat || k < -flat {
				bent++
			}
		}
		switch bent {
		case 0:
			a.Flat += si.Area(area)
		case 1:
			a.Single += si.Area(area)
		default:
			a.Double += si.Area(area)
		}
	}
	return a
}

// wide is the share of a class's area whose radius lies below the one that stands
// for its widest fields.
const wide = 0.9

// Widest returns the radius of the widest fields that bulge one way and both ways;
// 0 where there are none.
//
//	one way  1/κ     both ways  1/√(κ₁·κ₂)
func Widest(s Surface, flat float64) (tube, ball si.Length) {
	type field struct{ radius, area float64 }
	var tubes, balls []field
	for v, area := range s.Top.Mesh.VertexAreas() {
		low, high := s.Low[v], s.High[v]
		switch {
		case low > flat:
			balls = append(balls, field{1 / math.Sqrt(low*high), area})
		case high > flat:
			tubes = append(tubes, field{1 / high, area})
		}
	}
	widest := func(list []field) si.Length {
		var sum, seen float64
		for _, f := range list {
			sum += f.area
		}
		slices.SortFunc(list, func(a, b field) int { return cmp.Compare(a.radius, b.radius) })
		for _, f := range list {
			if seen += f.area; seen >= wide*sum {
				return si.Length(f.radius)
			}
		}
		return 0
	}
	return widest(tubes), widest(balls)
}
