package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Behind is the half-space behind a plane: a board, seen from its free side, to
// which N points.
type Behind struct{ O, N r3.Vec }

// At returns the height over the plane.
func (b Behind) At(p r3.Vec) (float64, r3.Vec) { return r3.Dot(r3.Sub(p, b.O), b.N), b.N }

// Wall stands on its frame's foot along an outline: all that lies within half
// its thickness of the outline, up to a height, with the two upper edges
// rounded. Exact where the outline's distance is.
//
//	    __
//	   /  \     edge
//	   |  |     height
//	___|  |___
type Wall struct {
	F            Frame
	Outline      Section
	Reach        float64 // farthest that the outline lies from the frame's origin, m
	Tight        float64 // radius of its tightest bend, m; 0: it has a corner
	Thickness    float64
	Height, Edge float64
}

// Bounds returns a box round the wall above its foot.
func (w *Wall) Bounds() r3.Box {
	a := w.Reach + w.Thickness/2
	return boxOf(w.F, r3.Vec{X: -a, Y: -a}, r3.Vec{X: a, Y: a, Z: w.Height})
}

// At returns the distance. The wall goes on below its foot.
func (w *Wall) At(p r3.Vec) (float64, r3.Vec) {
	aside, out, above := w.faces(p)
	x, z := aside+w.Edge, above+w.Edge
	if x > 0 && z > 0 {
		h := hypot(x, z)
		return h - w.Edge, w.F.Out(r3.Vec{X: x / h * out.X, Y: x / h * out.Y, Z: z / h})
	}
	return w.nearer(aside, out, above)
}

// Crisp is At with faces that go on past sharp edges.
func (w *Wall) Crisp(p r3.Vec) (float64, r3.Vec) {
	if w.Edge > 0 {
		return w.At(p)
	}
	return w.nearer(w.faces(p))
}

func (w *Wall) nearer(aside float64, out r2.Vec, above float64) (float64, r3.Vec) {
	if above > aside {
		return above, w.F.Z
	}
	return aside, w.F.Out(r3.Vec{X: out.X, Y: out.Y})
}

// faces returns the distances from the nearer side, with its normal, and from
// the top.
func (w *Wall) faces(p r3.Vec) (aside float64, out r2.Vec, above float64) {
	l := w.F.In(p)
	d, n := w.Outline(r2.Vec{X: l.X, Y: l.Y})
	if d < 0 {
		n = r2.Scale(-1, n)
	}
	return math.Abs(d) - w.Thickness/2, n, l.Z - w.Height
}

// Encloses tells whether p lies where the outline goes round it, and a ball of
// radius r does not fit into all bends of the wall from there.
func (w *Wall) Encloses(p r3.Vec, r float64) bool {
	if w.Tight-w.Thickness/2 >= r {
		return false
	}
	l := w.F.In(p)
	d, _ := w.Outline(r2.Vec{X: l.X, Y: l.Y})
	return d < 0
}

// Ring is a torus about its frame's axis: the bead of a hose spigot.
type Ring struct {
	F          Frame
	Big, Small float64 // radii of the circle in its middle and of the tube
}

// Bounds returns a box round the ring.
func (t *Ring) Bounds() r3.Box {
	w := t.Big + t.Small
	return boxOf(t.F, r3.Vec{X: -w, Y: -w, Z: -t.Small}, r3.Vec{X: w, Y: w, Z: t.Small})
}

// At returns the exact distance.
func (t *Ring) At(p r3.Vec) (float64, r3.Vec) {
	l := t.F.In(p)
	ρ := hypot(l.X, l.Y)
	out := r3.Vec{X: 1}
	if ρ > 0 {
		out = r3.Vec{X: l.X / ρ, Y: l.Y / ρ}
	}
	a, n := apart(r3.Vec{X: ρ, Z: l.Z}, r3.Vec{X: t.Big})
	return a - t.Small, t.F.Out(r3.Vec{X: n.X * out.X, Y: n.X * out.Y, Z: n.Z})
}

// Cord is all that lies within a radius of a line of points: a bead along it.
type Cord struct {
	Line   []r3.Vec
	Radius float64
	bounds r3.Box
}

// NewCord lays a bead along a line of two points or more.
func NewCord(line []r3.Vec, radius float64) *Cord {
	c := &Cord{Line: line, Radius: radius, bounds: r3.Box{Min: line[0], Max: line[0]}}
	for _, p := range line {
		c.bounds = Join(c.bounds, r3.Box{Min: p, Max: p})
	}
	w := r3.Vec{X: radius, Y: radius, Z: radius}
	c.bounds = r3.Box{Min: r3.Sub(c.bounds.Min, w), Max: r3.Add(c.bounds.Max, w)}
	return c
}

// Bounds returns a box round the bead.
func (c *Cord) Bounds() r3.Box { return c.bounds }

// farCord is how many radii from its box the distance of a cord is that of the
// box: less than the true one, and dearly saved.
const farCord = 8

// At returns the distance from the bead, exact near it.
func (c *Cord) At(p r3.Vec) (float64, r3.Vec) {
	q := r3.Vec{X: clamp(p.X, c.bounds.Min.X, c.bounds.Max.X), Y: clamp(p.Y, c.bounds.Min.Y, c.bounds.Max.Y), Z: clamp(p.Z, c.bounds.Min.Z, c.bounds.Max.Z)}
	if d, n := apart(p, q); d > farCord*c.Radius {
		return d, n
	}
	best, at := math.Inf(1), c.Line[0]
	for i, b := range c.Line[1:] {
		a := c.Line[i]
		side := r3.Sub(b, a)
		t := 0.0
		if l := r3.Norm2(side); l > 0 {
			t = clamp(r3.Dot(r3.Sub(p, a), side)/l, 0, 1)
		}
		q := r3.Add(a, r3.Scale(t, side))
		if d := r3.Norm2(r3.Sub(p, q)); d < best {
			best, at = d, q
		}
	}
	d, n := apart(p, at)
	return d - c.Radius, n
}

func clamp(x, low, high float64) float64 { return max(low, min(high, x)) }
