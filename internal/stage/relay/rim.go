package relay

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// rim is one side of a triangle at the rim of a piece's ground. Its cloth is on
// the left of the way from a to b.
type rim struct {
	of     *cloth
	tri    int32
	half   int32  // half-edge of the ground
	a, b   r2.Vec // flat
	at, to r3.Vec // on the mould
	long   float64
	out    r3.Vec // unit vector out of the cloth, in the triangle's plane
	ground frame  // of the triangle
	slit   int    // of the ground that it is a side of; −1 where it is of none
	left   bool   // it is the slit's left side
	trim   bool   // it lies on the rim of the part
	next   int32  // in its loop

	measured bool
}

// rims lists the rims of a cloth, and sorts them for rays.
func (c *cloth) findRims(l *land) {
	type side struct {
		slit int
		left bool
	}
	sides := map[[2]int32]side{}
	for i, s := range c.Slits {
		for k := 1; k < len(s.Left); k++ {
			sides[[2]int32{s.Left[k-1], s.Left[k]}] = side{i, true}
		}
		for k := 1; k < len(s.Right); k++ {
			sides[[2]int32{s.Right[k], s.Right[k-1]}] = side{i, false}
		}
	}
	var a, b []r2.Vec
	for _, loop := range c.Top.RimLoops() {
		first := int32(len(c.rims))
		for i, h := range loop {
			u, v := c.Top.From(int(h)), c.Top.To(int(h))
			e := c.rimOf(h/3, u, v)
			e.half, e.slit = h, -1
			if s, ok := sides[[2]int32{u, v}]; ok {
				e.slit, e.left = s.slit, s.left
			}
			e.trim = e.slit < 0 && l.atRim(c.home[e.tri], e.at, e.to)
			e.next = first + int32((i+1)%len(loop))
			c.byEnds[[2]int32{u, v}] = int32(len(c.rims))
			c.rims = append(c.rims, e)
			a, b = append(a, e.a), append(b, e.b)
		}
	}
	c.bounds = newLines(a, b)
}

func (c *cloth) rimOf(g, u, v int32) rim {
	m := c.Top.Mesh
	e := rim{of: c, tri: g, a: c.Flat[u], b: c.Flat[v], at: m.Vertices[u], to: m.Vertices[v], ground: frameOf(m.Corners(int(g)))}
	d := r3.Sub(e.to, e.at)
	if e.long = r3.Norm(d); e.long > 0 {
		e.out = r3.Cross(r3.Scale(1/e.long, d), e.ground.normal)
	}
	return e
}

// atRim tells whether a segment runs along the surface's own rim in triangle f.
func (l *land) atRim(f int32, a, b r3.Vec) bool {
	fr := &l.face[f]
	p, q := point(f, fr.weights(a)), point(f, fr.weights(b))
	for k := range 3 {
		if o := (k + 2) % 3; math.Abs(p.Bary[o]) < onSide && math.Abs(q.Bary[o]) < onSide && l.Twin[3*int(f)+k] < 0 {
			return true
		}
	}
	return false
}

// onSide is the weight below which a place lies on the side of a triangle.
const onSide = 1e-6

// flow returns what a direction on the mould in the rim's triangle is in the flat.
func (e *rim) flow(d r3.Vec) r2.Vec {
	c := e.of
	t := c.tri[e.tri]
	return r2.Add(r2.Scale(r3.Dot(d, e.ground.rate[0]), r2.Sub(t[1], t[0])), r2.Scale(r3.Dot(d, e.ground.rate[1]), r2.Sub(t[2], t[0])))
}

// share is the flat area over the area on the mould in the rim's triangle.
func (e *rim) share() float64 { return e.of.tri[e.tri].area() / e.ground.area }

// A ray leaves the cloth at a rim, from a place just inside.
type ray struct {
	e     *rim
	at    r3.Vec // start on the mould
	flat  r2.Vec
	dir   r3.Vec  // unit vector in the plane of the rim's triangle
	back  float64 // how far inside the rim it starts, m
	reach float64 // how far over the rim the cloth goes, m; negative where it ends short of it
	end   end
}

// end says where the cloth along a ray ends.
type end int

const (
	atCut   end = iota
	atCloth     // it meets another side of its own piece
	nowhere     // not within farthest
)

const (
	farthest   = 0.1  // m: rays are followed no farther
	mostInside = 1e-6 // m: where rays start
)

// ray leaves the rim at share s of it, at a right angle on the mould.
func (e *rim) ray(s float64) ray {
	tall := 2 * e.ground.area / e.long
	r := ray{e: e, dir: e.out, back: min(mostInside, 0.01*tall)}
	r.at = r3.Sub(between(e.at, e.to, s), r3.Scale(r.back, e.out))
	r.flat = r2.Sub(r2.Add(e.a, r2.Scale(s, r2.Sub(e.b, e.a))), r2.Scale(r.back, e.flow(e.out)))
	r.cast(e.flow(e.out))
	return r
}

// fan leaves the rim at its end, turned from its own direction by an angle on
// the mould; flow is the same in the flat.
func (e *rim) fan(turn float64, flow r2.Vec) ray {
	c, m := e.of, e.of.Top.Mesh
	mid := m.Centroid(int(e.tri))
	in := r3.Sub(mid, e.to)
	share := min(mostInside/r3.Norm(in), 0.01)
	sin, cos := math.Sincos(turn)
	r := ray{e: e, dir: r3.Add(r3.Scale(cos, e.out), r3.Scale(sin, r3.Cross(e.ground.normal, e.out)))}
	r.at = r3.Add(e.to, r3.Scale(share, in))
	r.flat = r2.Add(e.b, r2.Scale(share, r2.Sub(c.tri[e.tri].middle(), e.b)))
	r.cast(flow)
	return r
}

func between(a, b r3.Vec, s float64) r3.Vec { return r3.Add(r3.Scale(1-s, a), r3.Scale(s, b)) }

// cast finds where the cloth ends. Where a seam has none at its rim that is the
// first cut further in; at the trim line the nearest. What meets the same side of the same slit
// again, as beside a tooth of the mesh, goes on.
func (r *ray) cast(flow r2.Vec) {
	c := r.e.of
	scale := r2.Norm(flow)
	if !(scale > 0) {
		r.reach, r.end = 0, nowhere
		return
	}
	u := r2.Scale(1/scale, flow)
	if !c.has(r.e.tri, r.flat) {
		t := farthest * scale
		if r.e.trim {
			t = c.cuts.nearest(r.flat, t)
		} else {
			t, _ = c.cuts.first(r.flat, r2.Scale(-1, u), 0, t, func(int32) bool { return true })
		}
		r.reach = -t/scale - r.back
		return
	}
	t, i := c.cuts.first(r.flat, u, 0, farthest*scale, func(int32) bool { return true })
	s, j := c.bounds.first(r.flat, u, 0, t, func(k int32) bool {
		o := &c.rims[k]
		enters := r2.Cross(r2.Sub(o.b, o.a), u) > 0
		return enters && !(r.e.slit >= 0 && o.slit == r.e.slit && o.left == r.e.left)
	})
	switch {
	case j >= 0:
		t, r.end = s, atCloth
	case i < 0:
		r.end = nowhere
	}
	r.reach = t/scale - r.back
}

// line follows the ray over the uncut surface for a length beyond the rim.
func (l *land) line(r *ray, length float64) (mesh.Line, bool) {
	f := l.homeOf(r.e)
	w := l.face[f].weights(r.at)
	b := [3]float64{max(0, 1-w.X-w.Y), max(0, w.X), max(0, w.Y)}
	sum := b[0] + b[1] + b[2]
	line, err := l.Trace(mesh.Point{Face: int(f), Bary: [3]float64{b[0] / sum, b[1] / sum, b[2] / sum}}, r.dir, length+r.back)
	return line, err == nil && len(line.Pieces) > 0
}

func (l *land) homeOf(e *rim) int32 { return e.of.home[e.tri] }

// spot is a place on the surface.
type spot struct {
	face int32
	w    r2.Vec
	at   r3.Vec
}

// spotOn returns the place at a length along a line, or its end.
func (l *land) spotOn(line *mesh.Line, arc float64) spot {
	i := 0
	for i+1 < len(line.Pieces) && arc > line.Pieces[i+1].Start {
		i++
	}
	p := &line.Pieces[i]
	s := 0.0
	if p.Length > 0 {
		s = min(1, max(0, (arc-p.Start)/p.Length))
	}
	var b [3]float64
	for k := range b {
		b[k] = (1-s)*p.From[k] + s*p.To[k]
	}
	at := mesh.Point{Face: p.Face, Bary: b}
	return spot{int32(p.Face), weightsOf(at), l.Mesh.At(at)}
}
