package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

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
// and what little it costs would show only as a false slip of the yarns along
// the rim.
func (p *problem) trustNet(o start) []bool {
	trusted := make([]bool, len(p.unseen))
	var room [4]term
	for f, t := range p.s.Triangles {
		g := p.s.gradientOf(f, o.flat)
		if p.s.flat(f) || !(o.sure[t[0]] && o.sure[t[1]] && o.sure[t[2]] && g.det() > 0) {
			continue
		}
		e := cloth{math.Pi}.terms(g, room[:0])
		if math.Abs(e[0].value) < mostUnseen && math.Abs(e[1].value) < mostUnseen {
			p.unseen[f], trusted[f] = [3]float64{e[0].value, e[1].value, e[2].value}, true
		}
	}
	return trusted
}

// shearSeen returns the shear that the triangles show with the vertices where
// they are now.
func shearSeen(s *surface, flat []r2.Vec) []float64 {
	seen := Result{Flat: flat}
	seen.recover(s)
	seen.sharpen(s)
	return seen.Shear
}

// shearFromNet puts the shear of the net, where it is known, in the place of what
// the triangles show, changed by as much as that has changed since the vertices
// lay where the net puts them. Where it has changed a lot (by more than
// [mostMiss]) the cloth does not lie as the net any more, and where the two never
// agreed the triangles are too coarse for the net's slope; there the triangles
// are believed.
func (r *Result) shearFromNet(o start, before []float64) {
	for v, told := range o.told {
		if change := r.Shear[v] - before[v]; told && math.Abs(change) < mostMiss && math.Abs(o.shear[v]-before[v]) < 3*mostMiss {
			r.Shear[v] = o.shear[v] + change
		}
	}
}

// first returns the start of the first n vertices.
func (o start) first(n int) start {
	return start{o.flat[:n], o.shear[:n], o.known[:n], o.sure[:n], o.told[:n]}
}

func (o start) covered() float64 {
	count := 0
	for _, k := range o.known {
		if k {
			count++
		}
	}
	return float64(count) / float64(max(1, len(o.known)))
}
