package groundtest

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/plies"
)

// The checks find what is wrong: a good result is spoilt in one place after the
// other, and each time they must complain of that.
func TestChecksBite(t *testing.T) {
	m := named(t, "swell")
	in := input(t, m)
	limit := limitOf(in)
	good := mustLay(t, in)
	if c := sane(m, good, limit); len(c) > 0 {
		t.Fatalf("the good result: %v", c)
	}
	for _, c := range []struct {
		what, says string
		spoil      func(r *plies.Result, p *plies.Ply)
	}{
		{"no number", "no number", func(_ *plies.Result, p *plies.Ply) { p.Laid.Shear[3] = math.NaN() }},
		{"infinite outline", "no JSON", func(_ *plies.Result, p *plies.Ply) { p.Pieces[0].Outline[0][0] = math.Inf(1) }},
		{"long yarn", "length is off", func(_ *plies.Result, p *plies.Ply) { p.Laid.Warp[5] = r3.Scale(1.01, p.Laid.Warp[5]) }},
		{"weft and warp changed over", "wrong way up", func(_ *plies.Result, p *plies.Ply) { p.Laid.Warp, p.Laid.Weft = p.Laid.Weft, p.Laid.Warp }},
		{"shear of the wrong sign", "angle from the shear", func(_ *plies.Result, p *plies.Ply) {
			for v := range p.Laid.Shear {
				p.Laid.Shear[v] *= -1
			}
		}},
		{"shear not that of the cut pattern", "off that of the flat places", func(_ *plies.Result, p *plies.Ply) {
			for v, q := range p.Sheets[0].Flat {
				p.Sheets[0].Flat[v] = r2.Add(q, r2.Vec{X: 0.1 * q.Y})
			}
		}},
		{"turned over", "turned over", func(_ *plies.Result, p *plies.Ply) {
			for v := range p.Sheets[0].Flat {
				p.Sheets[0].Flat[v].X *= -1
			}
		}},
		{"shear max too small", "shear max", func(_ *plies.Result, p *plies.Ply) { p.ShearMax = si.Degrees(5) }},
		{"area too small", "of cloth", func(_ *plies.Result, p *plies.Ply) { p.Pieces[0].Area *= 0.97 }},
		{"piece lost", "lie on", func(_ *plies.Result, p *plies.Ply) { p.Pieces, p.Sheets = nil, nil }},
		{"outline too small", "lies outside", func(_ *plies.Result, p *plies.Ply) {
			for i, q := range p.Pieces[0].Outline {
				p.Pieces[0].Outline[i] = [2]float64{0.8 * q[0], q[1]}
			}
		}},
		{"outline crosses itself", "crosses itself", func(_ *plies.Result, p *plies.Ply) {
			o := p.Pieces[0].Outline
			n := len(o)
			o[n/4], o[3*n/4] = o[3*n/4], o[n/4]
		}},
		{"outline the wrong way round", "corners and holds", func(_ *plies.Result, p *plies.Ply) { slices.Reverse(p.Pieces[0].Outline) }},
	} {
		r := copied(good)
		c.spoil(&r, &r.Plies[0])
		if wrong := sane(m, r, limit); !strings.Contains(strings.Join(wrong, "\n"), c.says) {
			t.Errorf("%s: nobody complained; %q", c.what, wrong)
		}
	}
	if wrong := sane(m, good, 5*deg); !strings.Contains(strings.Join(wrong, "\n"), "over its limit") {
		t.Errorf("cloth that locks at 5°: nobody complained; %q", wrong)
	}
}

// copied shares nothing that is spoilt.
func copied(r plies.Result) plies.Result {
	r.Plies = slices.Clone(r.Plies)
	p := &r.Plies[0]
	laid := *p.Laid
	laid.Shear = slices.Clone(laid.Shear)
	laid.Warp, laid.Weft = slices.Clone(laid.Warp), slices.Clone(laid.Weft)
	p.Laid = &laid
	p.Sheets = slices.Clone(p.Sheets)
	p.Sheets[0].Flat = slices.Clone(p.Sheets[0].Flat)
	p.Pieces = slices.Clone(p.Pieces)
	for i := range p.Pieces {
		p.Pieces[i] = cloned(p.Pieces[i])
	}
	return r
}

func cloned(p flat.Piece) flat.Piece {
	p.Outline = slices.Clone(p.Outline)
	return p
}
