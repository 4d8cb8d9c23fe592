package carrier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// slip is what rounding makes of rectangles exactly as wide as the film, m.
const slip = 1e-9

// row is one row across the film.
type row struct {
	from, to int     // the rectangles in it
	deep     float64 // along the film, m
	turned   []bool  // by a quarter turn
}

// rows parts rectangles, in their order, into rows across a film so that it is as short
// as any that keeps the order: the best of all ways to end the last row, each with the best
// of what is before it. A rectangle wider than the film both ways has a row of its own, its
// shorter side across.
func rows(of []r2.Vec, width float64) []row {
	n := len(of)
	best := make([]float64, n+1) // length of the film for the first i
	last := make([]row, n+1)
	for to := 1; to <= n; to++ {
		best[to] = math.Inf(1)
		for from := to - 1; from >= 0; from-- {
			r, ok := oneRow(of[from:to], width)
			if !ok {
				break
			}
			if long := best[from] + r.deep; long < best[to]-slip {
				r.from, r.to = from, to
				best[to], last[to] = long, r
			}
		}
	}
	var out []row
	for at := n; at > 0; at = last[at].from {
		out = append(out, last[at])
	}
	slices.Reverse(out)
	return out
}

// oneRow lays rectangles side by side in the least depth; false where the film is too
// narrow for several.
func oneRow(of []r2.Vec, width float64) (row, bool) {
	var depths []float64
	for _, s := range of {
		depths = append(depths, s.X, s.Y)
	}
	slices.Sort(depths)
	for _, d := range depths {
		if turned, ok := within(of, d, width); ok {
			return row{deep: d, turned: turned}, true
		}
	}
	if len(of) == 1 {
		return row{deep: max(of[0].X, of[0].Y), turned: []bool{of[0].Y > of[0].X}}, true
	}
	return row{}, false
}

// within lays rectangles side by side in a depth: each with its shorter side across the
// film if the other fits into the depth. As drawn where both ways are as wide.
func within(of []r2.Vec, depth, width float64) (turned []bool, ok bool) {
	across := 0.0
	for _, s := range of {
		turn := s.X < s.Y
		along, wide := max(s.X, s.Y), min(s.X, s.Y)
		if along > depth+slip {
			turn, along, wide = !turn, wide, along
		}
		if s.X == s.Y {
			turn = false
		}
		if across += wide; along > depth+slip || across > width+slip {
			return nil, false
		}
		turned = append(turned, turn)
	}
	return turned, true
}
