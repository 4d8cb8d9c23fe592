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
	of         *cloth
	tri        int32
	half       int32  // half-edge of the ground
	a, b       r2.Vec // flat
	at, to     r3.Vec // on the mould
	long       float64
	out        r3.Vec  // unit vector out of the cloth, in the triangle's plane
	across     r3.Vec  // the same, at a right angle to the seam as it runs on the whole
	lean       float64 // angle from out to across, rad
	ground     frame   // of the triangle
	slit       int     // of the ground that it is a side of; −1 where it is of none
	left       bool    // it is the slit's left side
	trim       bool    // it lies on the rim of the part
	next, last int32   // in its loop

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
			e.next, e.last = first+int32((i+1)%len(loop)), first+int32((i+len(loop)-1)%len(loop))
			c.byEnds[[2]int32{u, v}] = int32(len(c.rims))
			c.rims = append(c.rims, e)
			a, b = append(a, e.a), append(b, e.b)
		}
	}
	c.bounds = newLines(a, b)
	c.wander = min(mostWander, max(leastWander, wander*c.Top.Mesh.MeanEdge()))
	for i := range c.rims {
		c.smooth(int32(i))
	}
}

// Cuts are drawn straighter than the sides of triangles along which the ground is
// opened: they wander from those by up to a share of a side.
const (
	wander      = 0.5
	leastWander = 5e-4 // m
	mostWander  = 4e-3 // m
)

// steady is the length of seam on either side that its direction is taken from, m:
// the sides of triangles along it may zigzag.
const steady = 0.0075

// smooth finds the direction across the seam at rim i.
func (c *cloth) smooth(i int32) {
	e := &c.rims[i]
	e.across = e.out
	if e.trim {
		return
	}
	d := r3.Sub(c.ahead(e, steady), c.behind(e, steady))
	d = r3.Cross(d, e.ground.normal)
	if n := r3.Norm(d); n > 0.1*steady && r3.Dot(d, e.out) > -0.2*n {
		e.across = r3.Scale(1/n, d)
		e.lean = math.Atan2(r3.Dot(r3.Cross(e.out, e.across), e.ground.normal), r3.Dot(e.out, e.across))
	}
}

// ahead returns the place at a length beyond the middle of a rim along its side
// of the seam, or where that ends; behind the one before.
func (c *cloth) ahead(e *rim, length float64) r3.Vec {
	length -= e.long / 2
	for next := &c.rims[e.next]; length > 0 && next.sameSide(e); next = &c.rims[e.next] {
		e = next
		length -= e.long
	}
	return between(e.to, e.at, min(1, max(0, -length/e.long)))
}

func (c *cloth) behind(e *rim, length float64) r3.Vec {
	length -= e.long / 2
	for last := &c.rims[e.last]; length > 0 && last.sameSide(e); last = &c.rims[e.last] {
		e = last
		length -= e.long
	}
	return between(e.at, e.to, min(1, max(0, -length/e.long)))
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

// turned tells whether the rim's triangle lies turned over in the flat, so that
// nothing can be said of the cloth there.
func (e *rim) turned() bool { return !(e.of.tri[e.tri].Area() > 0) }

// share is the flat area over the area on the mould in the rim's triangle.
func (e *rim) share() float64 { return e.of.tri[e.tri].Area() / e.ground.area }

// A ray leaves the cloth at a rim, from a place just inside.
type ray struct {
	e     *rim
	at    r3.Vec // start on the mould
	flat  r2.Vec
	dir   r3.Vec  // unit vector in the plane of the rim's triangle
	flow  r2.Vec  // what a metre along the ray is in the flat
	back  float64 // how far inside the rim it starts, m
	reach float64 // how far over the rim the cloth goes, m; negative where it ends short of it
	uncut bool    // it goes over to another side of its piece, and no cut parts the two
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

// ray leaves the rim at share s of it, at a right angle to the seam on the mould.
func (e *rim) ray(s float64) ray {
	tall := 2 * e.ground.area / e.long
	r := ray{e: e, dir: e.across, back: min(mostInside, 0.01*tall)}
	r.at = r3.Sub(between(e.at, e.to, s), r3.Scale(r.back, e.out))
	r.flat = r2.Sub(r2.Add(e.a, r2.Scale(s, r2.Sub(e.b, e.a))), r2.Scale(r.back, e.flow(e.out)))
	r.cast(e.flow(e.across))
	return r
}

// fan leaves the rim at its end, turned from its own direction across by an angle on
// the mould; flow is the same in the flat.
func (e *rim) fan(turn float64, flow r2.Vec) ray {
	c, m := e.of, e.of.Top.Mesh
	mid := m.Centroid(int(e.tri))
	in := r3.Sub(mid, e.to)
	share := min(mostInside/r3.Norm(in), 0.01)
	sin, cos := math.Sincos(turn)
	r := ray{e: e, dir: r3.Add(r3.Scale(cos, e.across), r3.Scale(sin, r3.Cross(e.ground.normal, e.across)))}
	r.at = r3.Add(e.to, r3.Scale(share, in))
	r.flat = r2.Add(e.b, r2.Scale(share, r2.Sub(c.tri[e.tri].Middle(), e.b)))
	r.cast(flow)
	return r
}

func between(a, b r3.Vec, s float64) r3.Vec { return r3.Add(r3.Scale(1-s, a), r3.Scale(s, b)) }

// cast finds where the cloth ends. Where a seam has none at its rim that is the
// first cut further in; at the trim line the nearest. A cut beside a seam, no
// farther than cuts wander, is the cut along it: what is left of the cloth beyond
// hangs on the other side.
func (r *ray) cast(flow r2.Vec) {
	scale := r2.Norm(flow)
	if !(scale > 0) {
		r.end = nowhere
		return
	}
	r.flow = flow
	c, u, far := r.e.of, r2.Scale(1/scale, flow), farthest*scale
	back := r2.Scale(-1, u)
	switch {
	case !c.has(r.e.tri, r.flat) && r.e.trim:
		far = c.cuts.nearest(r.flat, far)
	case !c.has(r.e.tri, r.flat):
		met := false
		if far, met = c.cuts.first(r.flat, back, far); !met { // it runs along the cut, which is all but on the rim
			far = c.cuts.nearest(r.flat, far)
		}
	default:
		t, near := 0.0, false
		if !r.e.trim {
			t, near = c.cuts.first(r.flat, back, c.wander*scale)
		}
		if !near {
			r.goOut(u, scale, far)
			return
		}
		far = t
	}
	r.reach = -far/scale - r.back
}

// goOut follows the ray to the first cut, or to where it comes to another side of
// the piece; a tooth of its own side on the way it goes through.
func (r *ray) goOut(u r2.Vec, scale, far float64) {
	c, cuts := r.e.of, r.e.of.cuts
	if r.e.trim {
		cuts = c.rings // a knife line into a cut-out is no edge
	}
	end, met := cuts.first(r.flat, u, far)
	if !met {
		r.end = nowhere
	}
	enters := func(k int32) bool { return r2.Cross(r2.Sub(c.bounds.b[k], c.bounds.a[k]), u) > 0 }
	other := end
	c.bounds.cross(r.flat, u, end, func(k int32, t float64) {
		if enters(k) && (r.e.slit < 0 || !r.e.sameSide(&c.rims[k])) {
			other = min(other, t)
		}
	})
	if near := c.wander * scale; end > near && r.e.slit >= 0 { // the sides may lie over each other a little
		c.bounds.cross(r.flat, r2.Scale(-1, u), near, func(k int32, _ float64) {
			if enters(k) && c.rims[k].slit == r.e.slit && c.rims[k].left != r.e.left {
				other = 0
			}
		})
	}
	if other < end {
		if r.uncut = end-other > c.wander*scale; r.uncut || r.e.trim {
			r.end, end = atCloth, other
		}
	}
	r.reach = end/scale - r.back
}

// halfWay returns the flat place in the middle of what reaches over the rim.
func (r *ray) halfWay() r2.Vec {
	return r2.Add(r.flat, r2.Scale(r.back+r.reach/2, r.flow))
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
