package relay

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// convex is a convex polygon, corners in the order of travel.
type convex []r2.Vec

// area is signed: positive where the corners run anticlockwise.
func (c convex) area() float64 {
	var twice float64
	for i := 1; i+1 < len(c); i++ {
		twice += r2.Cross(r2.Sub(c[i], c[0]), r2.Sub(c[i+1], c[0]))
	}
	return twice / 2
}

func (c convex) middle() r2.Vec {
	var sum r2.Vec
	for _, p := range c {
		sum = r2.Add(sum, p)
	}
	return r2.Scale(1/float64(len(c)), sum)
}

// turned returns c with its corners anticlockwise.
func (c convex) turned() convex {
	if c.area() >= 0 {
		return c
	}
	out := make(convex, len(c))
	for i, p := range c {
		out[len(c)-1-i] = p
	}
	return out
}

// holds tells whether q lies in c, or no more than slack outside one of its
// sides.
func (c convex) holds(q r2.Vec, slack float64) bool {
	for i, a := range c {
		d := r2.Sub(c[(i+1)%len(c)], a)
		if off := r2.Cross(d, r2.Sub(q, a)); off < 0 && off < -slack*math.Hypot(d.X, d.Y) {
			return false
		}
	}
	return len(c) > 2
}

// split parts c along the line through a and b: what lies on its left and on its
// right. A part that the line only touches is nil.
func (c convex) split(a, b r2.Vec) (left, right convex) {
	d := r2.Sub(b, a)
	far := make([]float64, len(c))
	most, least := 0.0, 0.0
	for i, p := range c {
		far[i] = r2.Cross(d, r2.Sub(p, a))
		most, least = max(most, far[i]), min(least, far[i])
	}
	touch := 1e-12 * max(most, -least)
	switch {
	case least >= -touch:
		return c, nil
	case most <= touch:
		return nil, c
	}
	for i, p := range c {
		j := (i + 1) % len(c)
		if far[i] >= -touch {
			left = append(left, p)
		}
		if far[i] <= touch {
			right = append(right, p)
		}
		if far[i] > touch && far[j] < -touch || far[i] < -touch && far[j] > touch {
			q := r2.Add(p, r2.Scale(far[i]/(far[i]-far[j]), r2.Sub(c[j], p)))
			left, right = append(left, q), append(right, q)
		}
	}
	return left.sound(), right.sound()
}

func (c convex) sound() convex {
	if len(c) < 3 {
		return nil
	}
	return c
}

// shared returns what c and d, both anticlockwise, have in common; nil where that
// has no area.
func (c convex) shared(d convex) convex {
	for i, a := range d {
		if c, _ = c.split(a, d[(i+1)%len(d)]); c == nil {
			return nil
		}
	}
	return c
}

// less returns c without d, both anticlockwise, as convex parts.
func (c convex) less(d convex) (out []convex) {
	if c.apart(d) {
		return []convex{c}
	}
	for i, a := range d {
		var rest convex
		if c, rest = c.split(a, d[(i+1)%len(d)]); rest != nil {
			out = append(out, rest)
		}
		if c == nil {
			break
		}
	}
	return out
}

// apart tells whether a side of d has all of c on its outer side.
func (c convex) apart(d convex) bool {
	for i, a := range d {
		e, out := r2.Sub(d[(i+1)%len(d)], a), true
		for _, p := range c {
			out = out && r2.Cross(e, r2.Sub(p, a)) <= 0
		}
		if out {
			return true
		}
	}
	return false
}

// without returns the parts less d, leaving out what is smaller than crumb.
func without(parts []convex, d convex, crumb float64) (out []convex) {
	for _, c := range parts {
		for _, p := range c.less(d) {
			if p.area() > crumb {
				out = append(out, p)
			}
		}
	}
	return out
}

func areaOf(parts []convex) (sum float64) {
	for _, c := range parts {
		sum += c.area()
	}
	return sum
}
