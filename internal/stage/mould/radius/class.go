package radius

import "laywright/internal/base/si"

// Areas is a surface by class of shape.
type Areas struct {
	Flat   si.Area `json:"flat_m2"`
	Single si.Area `json:"curved_one_way_m2"`
	Double si.Area `json:"curved_both_ways_m2"`
}

// Classes sorts the surface: a direction in which it bends by less than flat, 1/m,
// counts as straight.
func Classes(s Surface, flat float64) (a Areas) {
	for v, area := range vertexAreas(s.Top.Mesh) {
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
