package outlines

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// end is one end of an open line.
type end struct {
	line int
	tail bool
}

// ends finds the ends of open lines near a place.
type ends map[[2]int64][]end

func cell(p r2.Vec) [2]int64 {
	return [2]int64{int64(math.Floor(p.X / Joint)), int64(math.Floor(p.Y / Joint))}
}

// near returns the nearest end of an unused line within a [Joint] of a place.
func (e ends) near(p r2.Vec, lines []line, used []bool) (best end, ok bool) {
	c, least := cell(p), float64(Joint)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, x := range e[[2]int64{c[0] + dx, c[1] + dy}] {
				if d := r2.Norm(r2.Sub(at(lines[x.line], x.tail), p)); !used[x.line] && d <= least {
					best, least, ok = x, d, true
				}
			}
		}
	}
	return best, ok
}

func at(l line, tail bool) r2.Vec {
	if tail {
		return l.points[len(l.points)-1]
	}
	return l.points[0]
}

func meets(l line) bool { return r2.Norm(r2.Sub(at(l, false), at(l, true))) <= Joint }

// joined returns the closed lines, those that are put together of open ones among
// them, and how many open ones close nowhere.
func joined(all []line) (closed []line, open int) {
	var lines []line
	for _, l := range all {
		switch {
		case l.closed, meets(l) && len(l.points) > 3:
			closed = append(closed, l)
		default:
			lines = append(lines, l)
		}
	}
	places := ends{}
	for i, l := range lines {
		for _, tail := range [...]bool{false, true} {
			c := cell(at(l, tail))
			places[c] = append(places[c], end{i, tail})
		}
	}
	used := make([]bool, len(lines))
	for i, l := range lines {
		if used[i] {
			continue
		}
		used[i] = true
		l.points = slices.Clone(l.points)
		parts := 1
		for {
			next, ok := places.near(at(l, true), lines, used)
			if !ok || meets(l) && parts > 1 {
				break
			}
			used[next.line] = true
			more := slices.Clone(lines[next.line].points)
			if next.tail {
				slices.Reverse(more)
			}
			l.points = append(l.points, more[1:]...)
			parts++
		}
		if meets(l) && len(l.points) > 3 {
			closed = append(closed, l)
		} else {
			open += parts
		}
	}
	return closed, open
}
