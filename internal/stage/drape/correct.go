package drape

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// rounds of straightening: solve, see how the yarns bend, solve again.
const rounds = 2

// mostBend limits how far a side may be moved by straightening, against the
// height of the triangle: where shear changes faster than triangles can follow, the correction
// would be worth no more than what it corrects.
const mostBend = 0.15

// straightened returns the surface with triangles as they would be if the yarns
// that cross them were straight.
//
// A triangle with straight yarns is what the energy knows how to measure; real
// yarns bend in the surface by how shear changes along them, and a triangle
// that takes them for straight sees a stretch, of the first order in its size,
// that is not there. In a net of yarns that keep their length
//
//	X_uu = γ_u·J·X_u,  X_vv = −γ_v·J·X_v,  X_uv = 0    (in the surface; J turns left)
//
// With these, the side d = q_j − q_i has the chord X_q(m)·d at its middle m; the
// triangle whose sides are X_q(c)·d, with the derivative at its centre c instead,
// has the gradient of the centre:
//
//	side' = side + X_uu·(c − m)_u·d_u + X_vv·(c − m)_v·d_v
func (s *surface) straightened(flat []r2.Vec, shear []float64, skip []bool) *surface {
	out := *s
	out.local, out.slope = slices.Clone(s.local), slices.Clone(s.slope)
	split(len(s.local), func(_, from, to int) {
		for f := from; f < to; f++ {
			if !skip[f] && !s.flat(f) && !s.turnedOver(f, flat) {
				p := s.straight(f, flat, shear)
				out.local[f], out.slope[f] = p, slopes(p)
			}
		}
	})
	return &out
}

// straight returns triangle f as it would be with straight yarns.
func (s *surface) straight(f int, flat []r2.Vec, shear []float64) [3]r2.Vec {
	warp, weft := s.gradientOf(f, flat).yarns()
	γu, γv := s.alongYarns(f, shear, warp, weft)
	uu := r2.Scale(γu, r2.Vec{X: -warp.Y, Y: warp.X})
	vv := r2.Scale(-γv, r2.Vec{X: -weft.Y, Y: weft.X})
	t := s.Triangles[f]
	q := [3]r2.Vec{flat[t[0]], flat[t[1]], flat[t[2]]}
	c := r2.Scale(1.0/3, r2.Add(q[0], r2.Add(q[1], q[2])))
	var more [3]r2.Vec
	worst := 0.0
	for k := range q {
		d := r2.Sub(q[(k+1)%3], q[k])
		off := r2.Sub(c, r2.Scale(0.5, r2.Add(q[k], q[(k+1)%3])))
		more[k] = r2.Add(r2.Scale(off.X*d.X, uu), r2.Scale(off.Y*d.Y, vv))
		worst = max(worst, r2.Norm(more[k]))
	}
	share := 1.0
	if worst /= s.height(f); worst > mostBend {
		share = mostBend / worst
	}
	p := s.local[f]
	p[1] = r2.Add(p[1], r2.Scale(share, more[0]))
	p[2] = r2.Sub(p[2], r2.Scale(share, more[2]))
	return p
}

// alongYarns returns the change of a value at vertices along the yarns of
// triangle f, for a metre of yarn.
func (s *surface) alongYarns(f int, value []float64, warp, weft r2.Vec) (du, dv float64) {
	var g r2.Vec
	for k, v := range s.Triangles[f] {
		g = r2.Add(g, r2.Scale(value[v], s.slope[f][k]))
	}
	return r2.Dot(g, warp), r2.Dot(g, weft)
}

// height returns the height of triangle f over its longest side.
func (s *surface) height(f int) float64 {
	p := s.local[f]
	return p[1].X * p[2].Y / max(r2.Norm(p[1]), r2.Norm(p[2]), r2.Norm(r2.Sub(p[2], p[1])))
}

// slopes returns the gradients of the weights of a triangle's corners.
func slopes(p [3]r2.Vec) [3]r2.Vec {
	twice := r2.Cross(r2.Sub(p[1], p[0]), r2.Sub(p[2], p[0]))
	var out [3]r2.Vec
	for k := range p {
		side := r2.Sub(p[(k+2)%3], p[(k+1)%3])
		out[k] = r2.Scale(1/twice, r2.Vec{X: -side.Y, Y: side.X})
	}
	return out
}

// mostUnseen is the stretch beyond which what the net says of a triangle is not
// put down to the triangle's error; there the triangles
// are too coarse for the one to mend the other. mostMiss is a change of shear, rad.
const (
	mostUnseen = 0.15
	mostMiss   = 3 * math.Pi / 180
)

// trustNet takes the stretch that triangles show where the net has no stretch as
// their own error, and tells for which it could. There the soft shear is counted
// from the net's too: cloth whose shear cost nothing would lie as the net does,
// and what little it costs would show only as a false slip of the yarns along the
// rim. Beyond the reach of the generators, where the net's yarns go straight on,
// they could lie otherwise at next to no cost, and how they did would depend on
// the triangles' errors, which weigh many times what soft shear does.
func (p *problem) trustNet(o start) []bool {
	trusted := make([]bool, len(p.unseen))
	var room [mostTerms]term
	for f, t := range p.s.Triangles {
		g := p.s.gradientOf(f, o.flat)
		if p.s.flat(f) || !(o.sure(t[0]) && o.sure(t[1]) && o.sure(t[2]) && g.det() > 0) {
			continue
		}
		e := cloth{math.Pi}.terms(g, room[:0])
		if math.Abs(e[0].value) < mostUnseen && math.Abs(e[1].value) < mostUnseen {
			p.unseen[f], trusted[f] = [3]float64{e[0].value, e[1].value, e[2].value}, true
		}
	}
	return trusted
}

// shearFromNet puts the shear of the net, where it is known, in the place of what
// the triangles show, changed by as much as they show it to change from where the
// net puts their corners to where those are: of that difference the error of the
// triangles is no part. Where it changes a lot (by more than [mostMiss]) the cloth
// does not lie as the net any more, and where the two never agreed beside edges, triangles
// are too coarse for the net's slope; there the triangles are believed.
func (r *Result) shearFromNet(s *surface, o start) {
	change := make([]float64, len(s.Triangles))
	weight := make([]float64, len(s.Triangles)) // 0: not known
	split(len(change), func(_, from, to int) {
		for f := from; f < to; f++ {
			t := s.Triangles[f]
			if s.flat(f) || !(o.sure(t[0]) && o.sure(t[1]) && o.sure(t[2])) {
				continue
			}
			before, after := s.gradientOf(f, o.flat), s.gradientOf(f, r.Flat)
			if before.det() > 0 && after.det() > 0 {
				change[f], weight[f] = after.shear()-before.shear(), s.area[f]
			}
		}
	})
	for v := range r.Shear {
		var sum, whole float64
		for _, f := range s.topology.VertexFaces(v) {
			sum, whole = sum+weight[f]*change[f], whole+weight[f]
		}
		if !o.told(int32(v)) || whole == 0 {
			continue
		}
		if c := sum / whole; math.Abs(c) < mostMiss && math.Abs(o.shear[v]+c-r.Shear[v]) < 3*mostMiss {
			r.Shear[v] = max(-math.Pi/2, min(math.Pi/2, o.shear[v]+c))
		}
	}
}
