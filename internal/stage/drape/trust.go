package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// mostUnseen is the stretch beyond which what the net says of a triangle is not
// put down to the triangle's error; mostMiss, rad, the same for shear: there
// the triangles are too coarse for the one to mend the other.
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

// shearMissed returns by how much the shear of the net differs from what the
// triangles show when the vertices lie where the net puts them.
func shearMissed(s *surface, o start, flat []r2.Vec) []float64 {
	seen := Result{Flat: flat}
	seen.recover(s)
	seen.sharpen(s)
	miss := make([]float64, len(flat))
	for v, sure := range o.sure {
		if d := o.shear[v] - seen.Shear[v]; sure && math.Abs(d) < mostMiss {
			miss[v] = d
		}
	}
	return miss
}

// first returns the start of the first n vertices.
func (o start) first(n int) start {
	return start{o.flat[:n], o.shear[:n], o.known[:n], o.sure[:n]}
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
