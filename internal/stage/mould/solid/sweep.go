package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Section is the outline across a sweep: the signed distance of a point in its
// plane, m, and the direction in which it grows.
type Section func(p r2.Vec) (d float64, n r2.Vec)

// Oval is an ellipse with half-axes a and b; equal ones make a circle.
func Oval(a, b float64) Section {
	if a == b {
		return func(p r2.Vec) (float64, r2.Vec) {
			ρ := hypot(p.X, p.Y)
			if ρ == 0 {
				return -a, r2.Vec{X: 1}
			}
			return ρ - a, r2.Scale(1/ρ, p)
		}
	}
	// The plane z = 0 of an ellipsoid so long in z that it never counts.
	e := &Ellipsoid{F: Along(r3.Vec{}, r3.Vec{Z: 1}), A: r3.Vec{X: a, Y: b, Z: 1e3 * (a + b)}}
	return func(p r2.Vec) (float64, r2.Vec) {
		d, n := e.At(r3.Vec{X: p.X, Y: p.Y})
		return d, r2.Vec{X: n.X, Y: n.Y}
	}
}

// Rounded is a rectangle a and b from its middle to its sides with rounded corners.
func Rounded(a, b, corner float64) Section {
	return func(p r2.Vec) (float64, r2.Vec) {
		x, y := math.Abs(p.X)-a+corner, math.Abs(p.Y)-b+corner
		sx, sy := math.Copysign(1, p.X), math.Copysign(1, p.Y)
		switch {
		case x > 0 && y > 0 && corner > 0:
			h := hypot(x, y)
			return h - corner, r2.Vec{X: sx * x / h, Y: sy * y / h}
		case x > y:
			return x - corner, r2.Vec{X: sx}
		}
		return y - corner, r2.Vec{Y: sy}
	}
}

// leg is a straight piece of a path or, with a curvature, an arc.
type leg struct {
	o, t, u, v r3.Vec // start, direction there, and the section's axes there
	in         r3.Vec // unit, from the start to the arc's centre
	k          float64
	start, len float64
}

// Sweep carries a section along a path, changing evenly from one to another:
//
//	f(s, u, v) = (1 − s/L)·fA(u, v) + (s/L)·fB(u, v)
//
// Its distance is f over the length of its gradient: right on the surface and to
// first order beside it. Both ends are flat.
type Sweep struct {
	legs     []leg
	from, to Section
	length   float64
	lead     [2]float64 // straight on beyond both ends
	wide     float64
}

// NewSweep lays a path through the points with arcs of the bend radius in its
// corners. It returns the corner that has no room for its arc, and -1 if all
// have. wide is the farthest that a section reaches from the path.
func NewSweep(path []r3.Vec, bend float64, from, to Section, wide float64) (*Sweep, int) {
	s := &Sweep{from: from, to: to, wide: wide}
	at := path[0]
	t := r3.Unit(r3.Sub(path[1], path[0]))
	f := Along(at, t)
	u, v := f.X, f.Y
	for i := 1; i < len(path); i++ {
		cut := 0.0
		var next r3.Vec
		var turn float64
		if i+1 < len(path) {
			next = r3.Unit(r3.Sub(path[i+1], path[i]))
			turn = math.Atan2(norm(r3.Cross(t, next)), r3.Dot(t, next))
			cut = bend * math.Tan(turn/2)
		}
		straight := norm(r3.Sub(path[i], at)) - cut
		if !(straight >= 0) || r3.Dot(r3.Sub(path[i], at), t) < 0 || turn > 0.95*math.Pi {
			return s, i
		}
		s.add(leg{o: at, t: t, u: u, v: v, len: straight})
		at = r3.Add(at, r3.Scale(straight, t))
		if turn > 1e-9 {
			axis := r3.Unit(r3.Cross(t, next))
			s.add(leg{o: at, t: t, u: u, v: v, in: r3.Cross(axis, t), k: 1 / bend, len: bend * turn})
			r := r3.NewRotation(turn, axis)
			t, u, v = next, r.Rotate(u), r.Rotate(v)
			at = r3.Add(path[i], r3.Scale(cut, next))
		}
	}
	return s, -1
}

func (s *Sweep) add(l leg) {
	l.start = s.length
	s.length += l.len
	s.legs = append(s.legs, l)
}

// Lead makes the sweep go on straight beyond its first (0) or last (1) end.
func (s *Sweep) Lead(end int, length float64) { s.lead[end] = length }

// End is the middle of an end of a sweep and the direction out of it.
type End struct{ At, Out r3.Vec }

// Ends returns the first and the last end. A path begins and ends with a
// straight leg.
func (s *Sweep) Ends() []End {
	first, last := s.legs[0], s.legs[len(s.legs)-1]
	return []End{
		{first.o, r3.Scale(-1, first.t)},
		{r3.Add(last.o, r3.Scale(last.len, last.t)), last.t},
	}
}

// Rim returns n places round the section's outline at an end, moved out of it
// by some length.
func (s *Sweep) Rim(end int, out float64, n int) []r3.Vec {
	e, leg, section := s.Ends()[end], s.legs[0], s.from
	if end == 1 {
		leg, section = s.legs[len(s.legs)-1], s.to
	}
	o := r3.Add(e.At, r3.Scale(out, e.Out))
	var rim []r3.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		low, high := 0.0, 2*s.wide
		for range 50 {
			mid := (low + high) / 2
			if d, _ := section(r2.Vec{X: mid * cos, Y: mid * sin}); d < 0 {
				low = mid
			} else {
				high = mid
			}
		}
		rim = append(rim, r3.Add(o, r3.Add(r3.Scale(high*cos, leg.u), r3.Scale(high*sin, leg.v))))
	}
	return rim
}

// Bounds returns a box round the sweep without its leads.
func (s *Sweep) Bounds() r3.Box {
	at := s.legs[0].o
	b := r3.Box{Min: at, Max: at}
	for _, l := range s.legs {
		for k := range 17 {
			p, _ := l.point(l.len * float64(k) / 16)
			b = Join(b, r3.Box{Min: p, Max: p})
		}
	}
	w := r3.Vec{X: s.wide, Y: s.wide, Z: s.wide}
	return r3.Box{Min: r3.Sub(b.Min, w), Max: r3.Add(b.Max, w)}
}

// point returns the path at arc length x along the leg and the direction there.
func (l leg) point(x float64) (p, t r3.Vec) {
	if l.k == 0 {
		return r3.Add(l.o, r3.Scale(x, l.t)), l.t
	}
	sin, cos := math.Sincos(x * l.k)
	p = r3.Add(l.o, r3.Add(r3.Scale(sin/l.k, l.t), r3.Scale((1-cos)/l.k, l.in)))
	return p, r3.Add(r3.Scale(cos, l.t), r3.Scale(sin, l.in))
}

// foot returns the arc length along the leg that is nearest to p; before and
// after say how far it may lie outside the leg.
func (l leg) foot(p r3.Vec, before, after float64) float64 {
	q := r3.Sub(p, l.o)
	x := r3.Dot(q, l.t)
	if l.k > 0 {
		c := r3.Sub(q, r3.Scale(1/l.k, l.in))
		angle := math.Atan2(r3.Dot(c, l.t), -r3.Dot(c, l.in))
		x = angle / l.k
		if half := l.len / 2; x < half-math.Pi/l.k {
			x += 2 * math.Pi / l.k
		}
	}
	return max(-before, min(l.len+after, x))
}

// At returns the distance to first order.
func (s *Sweep) At(p r3.Vec) (float64, r3.Vec) {
	d, n, over, out := s.faces(p)
	return beside(d, n, over, out)
}

// Crisp is At with faces that go on past the sharp rims of the ends.
func (s *Sweep) Crisp(p r3.Vec) (float64, r3.Vec) {
	d, n, over, out := s.faces(p)
	if over > d {
		return over, out
	}
	return d, n
}

// faces returns the distances from the tube and from the nearer flat end, and
// their directions.
func (s *Sweep) faces(p r3.Vec) (d float64, n r3.Vec, over float64, out r3.Vec) {
	best, arc := math.Inf(1), 0.0
	var l leg
	for i, c := range s.legs {
		var before, after float64
		if i == 0 {
			before = math.Inf(1)
		}
		if i == len(s.legs)-1 {
			after = math.Inf(1)
		}
		x := c.foot(p, before, after)
		if q, _ := c.point(x); r3.Norm2(r3.Sub(p, q)) < best {
			best, arc, l = r3.Norm2(r3.Sub(p, q)), x, c
		}
	}
	d, n = s.tube(l, arc, p)
	over, out = -(l.start+arc)-s.lead[0], r3.Scale(-1, l.t)
	if end := l.start + arc - s.length - s.lead[1]; end > over {
		_, t := l.point(arc)
		over, out = end, t
	}
	return
}

// tube returns the distance from the wall at arc length x of a leg.
func (s *Sweep) tube(l leg, x float64, p r3.Vec) (float64, r3.Vec) {
	o, t := l.point(x)
	u, v := l.u, l.v
	stretch := 1.0
	q := r3.Sub(p, o)
	if l.k > 0 {
		r := r3.NewRotation(x*l.k, r3.Cross(l.t, l.in))
		u, v = r.Rotate(u), r.Rotate(v)
		stretch = max(0.05, 1-l.k*r3.Dot(q, r.Rotate(l.in)))
	}
	w := r2.Vec{X: r3.Dot(q, u), Y: r3.Dot(q, v)}
	share := max(0, min(1, (l.start+x)/s.length))
	fa, na := s.from(w)
	fb, nb := s.to(w)
	f := (1-share)*fa + share*fb
	n := r2.Add(r2.Scale(1-share, na), r2.Scale(share, nb))
	var along float64
	if share > 0 && share < 1 {
		along = (fb - fa) / s.length / stretch
	}
	g := r3.Add(r3.Scale(along, t), r3.Add(r3.Scale(n.X, u), r3.Scale(n.Y, v)))
	size := max(0.1, norm(g))
	return f / size, r3.Scale(1/size, g)
}
