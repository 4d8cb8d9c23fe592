package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Convex is a convex polygon, corners in the order of travel.
type Convex []r2.Vec

// Area is signed: positive where the corners run anticlockwise.
func (c Convex) Area() float64 {
	var twice float64
	for i := 1; i+1 < len(c); i++ {
		twice += r2.Cross(r2.Sub(c[i], c[0]), r2.Sub(c[i+1], c[0]))
	}
	return twice / 2
}

// Middle is the mean of the corners.
func (c Convex) Middle() r2.Vec {
	var sum r2.Vec
	for _, p := range c {
		sum = r2.Add(sum, p)
	}
	return r2.Scale(1/float64(len(c)), sum)
}

// Turned returns c with its corners anticlockwise.
func (c Convex) Turned() Convex {
	if c.Area() >= 0 {
		return c
	}
	out := make(Convex, len(c))
	for i, p := range c {
		out[len(c)-1-i] = p
	}
	return out
}

// Holds tells whether q lies in c, or no more than slack outside one of its
// sides.
func (c Convex) Holds(q r2.Vec, slack float64) bool {
	for i, a := range c {
		d := r2.Sub(c[(i+1)%len(c)], a)
		if off := r2.Cross(d, r2.Sub(q, a)); off < 0 && off < -slack*math.Hypot(d.X, d.Y) {
			return false
		}
	}
	return len(c) > 2
}

// Split parts c along the line through a and b: what lies on its left and on its
// right. A part that the line only touches is nil.
func (c Convex) Split(a, b r2.Vec) (left, right Convex) {
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

func (c Convex) sound() Convex {
	if len(c) < 3 {
		return nil
	}
	return c
}

// Shared returns what c and d, both anticlockwise, have in common; nil where that
// has no area.
func (c Convex) Shared(d Convex) Convex {
	for i, a := range d {
		if c, _ = c.Split(a, d[(i+1)%len(d)]); c == nil {
			return nil
		}
	}
	return c
}

// Less returns c without d, both anticlockwise, as convex parts.
func (c Convex) Less(d Convex) (out []Convex) {
	if c.apart(d) {
		return []Convex{c}
	}
	for i, a := range d {
		var rest Convex
		if c, rest = c.Split(a, d[(i+1)%len(d)]); rest != nil {
			out = append(out, rest)
		}
		if c == nil {
			break
		}
	}
	return out
}

// apart tells whether a side of d has all of c on its outer side.
func (c Convex) apart(d Convex) bool {
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

// Without returns the parts less d, leaving out what is smaller than crumb.
func Without(parts []Convex, d Convex, crumb float64) (out []Convex) {
	for _, c := range parts {
		for _, p := range c.Less(d) {
			if p.Area() > crumb {
				out = append(out, p)
			}
		}
	}
	return out
}

// AreaOf adds up the areas of parts.
func AreaOf(parts []Convex) (sum float64) {
	for _, c := range parts {
		sum += c.Area()
	}
	return sum
}

// Length returns how much of the segment from a to b lies in c grown by slack.
func (c Convex) Length(a, b r2.Vec, slack float64) float64 {
	d := r2.Sub(b, a)
	from, to := 0.0, 1.0
	for i, p := range c {
		e := r2.Sub(c[(i+1)%len(c)], p)
		off := r2.Cross(e, r2.Sub(a, p)) + slack*math.Hypot(e.X, e.Y)
		rate := r2.Cross(e, d)
		switch {
		case rate > 0:
			from = max(from, -off/rate)
		case rate < 0:
			to = min(to, -off/rate)
		case off < 0:
			return 0
		}
	}
	return max(0, to-from) * math.Hypot(d.X, d.Y)
}
