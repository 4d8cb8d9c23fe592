package cutting

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// side is one side of an outline between two corners, as a straight edge laid from
// one to the other finds it. Metres, on the roll.
type side struct {
	from, to r2.Vec
	every    float64   // how far apart the marks on the straight edge are; 0: a straight side
	off      []float64 // at each mark, square to the straight edge; over 0 away from the piece
}

func (s side) length() float64 { return r2.Norm(r2.Sub(s.to, s.from)) }

// Measures by which an outline is taken apart, in metres and radians.
const (
	sideTol   = 0.3e-3             // a side that keeps to a line within this is straight
	ruleTol   = 0.5e-3             // and a longer one within this: a rule tells no more
	longSide  = 60e-3              // a straight side for itself, whatever joins it
	sharpTurn = 25 * math.Pi / 180 // a corner, however short its sides
	mostTurn  = 45 * math.Pi / 180 // of one curved side, so that it keeps near its straight edge
	mostSag   = 1e-3               // of a curved side from the line through its marks
	leastStep = 1.0 / 8            // of the step that is asked for
	sameSpot  = 1e-6               // points nearer than this are one
)

// sidesOf takes an outline apart, anticlockwise from its sharpest corner. Marks stand
// a step apart, or half, a quarter or an eighth of it where a curve is tight.
func sidesOf(ring geom.Polygon, step float64) (out []side) {
	ring = fromSharpest(ring.Anticlockwise().Clean(sameSpot))
	rough := withoutSlips(geom.Simplify(ring, sideTol))
	at := indices(ring, rough)
	n := len(rough)
	for i := 0; i < n; {
		j := i + 1
		if !straight(rough, i) {
			for turned := 0.0; j < n && !straight(rough, j); j++ {
				turn := turnAt(rough, j)
				if turned += turn; math.Abs(turn) >= sharpTurn || math.Abs(turned) >= mostTurn {
					break
				}
			}
		}
		run := ring[at[i]:]
		if j < n {
			run = ring[at[i] : at[j]+1]
		} else {
			run = append(run.Clone(), ring[0])
		}
		out = append(out, sideOf(run, j-i == 1, step))
		i = j
	}
	return out
}

// straight tells whether the side after corner i is cut along a straight edge by
// itself: a long one, or a short one between two sharp corners.
func straight(rough geom.Polygon, i int) bool {
	j := (i + 1) % len(rough)
	return r2.Norm(r2.Sub(rough[j], rough[i])) >= longSide ||
		math.Abs(turnAt(rough, i)) >= sharpTurn && math.Abs(turnAt(rough, j)) >= sharpTurn
}

// turnAt is by how much the outline turns at a corner, to the left.
func turnAt(p geom.Polygon, i int) float64 {
	n := len(p)
	a, b := r2.Sub(p[i], p[(i+n-1)%n]), r2.Sub(p[(i+1)%n], p[i])
	return math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
}

// fromSharpest is the outline begun at its sharpest corner, or where all are blunt at
// the end of its longest side, so that no side is parted where the drawing happens to
// begin.
func fromSharpest(ring geom.Polygon) geom.Polygon {
	rough := geom.Simplify(ring, sideTol)
	sharp, long, corner, end := 0.0, 0.0, 0, 0
	for i, p := range rough {
		j := (i + 1) % len(rough)
		if turn := math.Abs(turnAt(rough, i)); turn > sharp {
			sharp, corner = turn, i
		}
		if length := r2.Norm(r2.Sub(rough[j], p)); length > long {
			long, end = length, j
		}
	}
	if sharp < sharpTurn {
		corner = end
	}
	first := indices(ring, rough)[corner]
	return append(ring[first:].Clone(), ring[:first]...)
}

// withoutSlips leaves out corners that lie so near to another that no knife tells
// them apart: of two the blunter, but never the first.
func withoutSlips(p geom.Polygon) geom.Polygon {
	for i := 0; i < len(p) && len(p) > 3; i++ {
		j := (i + 1) % len(p)
		if r2.Norm(r2.Sub(p[j], p[i])) >= mostSag {
			continue
		}
		drop := i
		if i == 0 || j != 0 && math.Abs(turnAt(p, j)) < math.Abs(turnAt(p, i)) {
			drop = j
		}
		p = append(p[:drop:drop], p[drop+1:]...)
		i = -1
	}
	return p
}

// indices finds the corners of a simplified ring in the ring.
func indices(ring, rough geom.Polygon) (at []int) {
	for i, p := range ring {
		if len(at) < len(rough) && p == rough[len(at)] {
			at = append(at, i)
		}
	}
	return at
}

// sideOf measures one run of the outline from its straight edge.
func sideOf(run geom.Polygon, straight bool, step float64) side {
	s := side{from: run[0], to: run[len(run)-1]}
	if straight || s.sag(run) <= ruleTol {
		return s
	}
	for s.every = step; ; s.every /= 2 {
		s.off = s.offsets(run)
		if s.every <= leastStep*step || s.sag(run) <= mostSag {
			break
		}
	}
	if len(s.off) == 0 { // too short for a mark
		s.every = 0
	}
	return s
}

// offsets are the run's distances from the straight edge at its marks.
func (s side) offsets(run geom.Polygon) (off []float64) {
	along := r2.Unit(r2.Sub(s.to, s.from))
	for u := s.every; u < s.length()-s.every/4; u += s.every {
		off = append(off, offsetAt(run, s.from, along, u))
	}
	return off
}

// offsetAt is where the run crosses the square line at u along the straight edge;
// over 0 to the right, which is away from a piece that is gone round anticlockwise.
func offsetAt(run geom.Polygon, from, along r2.Vec, u float64) float64 {
	for i := 1; i < len(run); i++ {
		a, b := r2.Sub(run[i-1], from), r2.Sub(run[i], from)
		ua, ub := r2.Dot(a, along), r2.Dot(b, along)
		if (ua-u)*(ub-u) <= 0 && ua != ub {
			k := (u - ua) / (ub - ua)
			return -r2.Cross(along, r2.Add(a, r2.Scale(k, r2.Sub(b, a))))
		}
	}
	return 0
}

// marks are the places through which the knife goes, ends included.
func (s side) marks() geom.Polygon {
	along := r2.Unit(r2.Sub(s.to, s.from))
	right := r2.Vec{X: along.Y, Y: -along.X}
	out := geom.Polygon{s.from}
	for i, v := range s.off {
		out = append(out, r2.Add(s.from, r2.Add(r2.Scale(s.every*float64(i+1), along), r2.Scale(v, right))))
	}
	return append(out, s.to)
}

// sag is how far the run leaves the line through its marks.
func (s side) sag(run geom.Polygon) (worst float64) {
	m := s.marks()
	for _, p := range run {
		least := math.Inf(1)
		for i := 1; i < len(m); i++ {
			least = min(least, geom.SegmentDistance(p, m[i-1], m[i]))
		}
		worst = max(worst, least)
	}
	return worst
}
