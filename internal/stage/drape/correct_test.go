package drape

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// bowed is a net in the plane whose yarns are arcs of circles, in closed form: a
// translation net X = a(u) + b(v), with the warp at the angle p·u and the weft at
// 90° + q·v, so that its shear is p·u − q·v.
func bowed(p, q, u, v float64) r3.Vec {
	return r3.Vec{X: math.Sin(p*u)/p + (math.Cos(q*v)-1)/q, Y: (1-math.Cos(p*u))/p + math.Sin(q*v)/q}
}

// The place in the flat sheet from the yarns at one node is right to the third
// order in the distance: halving it leaves an eighth.
func TestUnbend(t *testing.T) {
	const p, q = 0.8, -1.1
	y := yarns{normal: r3.Vec{Z: 1}, warp: r3.Vec{X: 1}, weft: r3.Vec{Y: 1}, du: p, dv: -q}
	miss := func(size float64) (worst float64) {
		for _, c := range [][2]float64{{1, 0}, {0, 1}, {1, 1}, {-1, 0.5}, {0.3, -1}} {
			u, v := size*c[0], size*c[1]
			gotU, gotV := y.unbend(bowed(p, q, u, v))
			worst = max(worst, math.Hypot(gotU-u, gotV-v))
		}
		return worst
	}
	if a, b := miss(0.1), miss(0.05); a > 5e-4 || math.Log2(a/b) < 2.8 {
		t.Errorf("misses by %.2g, then %.2g: order %.2f, want 3", a, b, math.Log2(a/b))
	}
}

// With the vertices where the exact net has them, triangles show a stretch that
// is not there; straightened, they show less than a tenth of it.
func TestStraightened(t *testing.T) {
	const p, q, n = 0.8, -1.1, 12
	place := func(s, u float64) r2.Vec { return r2.Vec{X: 0.6*s + 0.1*u, Y: 0.5 * u} }
	m := sheetOf(n, n, func(s, u float64) r3.Vec { c := place(s, u); return bowed(p, q, c.X, c.Y) })
	s := newSurface(topologyOf(t, m))
	flat, shear := make([]r2.Vec, len(m.Vertices)), make([]float64, len(m.Vertices))
	for v := range flat {
		flat[v] = place(float64(v%(n+1))/n, float64(v/(n+1))/n)
		shear[v] = p*flat[v].X - q*flat[v].Y
	}
	worst := func(s *surface) (w float64) {
		for f := range m.Triangles {
			a, b := s.gradientOf(f, flat).yarns()
			w = max(w, math.Abs(r2.Norm(a)-1), math.Abs(r2.Norm(b)-1))
		}
		return w
	}
	before, after := worst(s), worst(s.straightened(flat, shear, make([]bool, len(m.Triangles))))
	if before < 0.004 || after > before/10 {
		t.Errorf("stretch shown %.5f, straightened %.5f", before, after)
	}
}

// Where the triangles show a little less shear than the net says, and the cloth
// has since sheared a little more, both are added up; where it has sheared a lot
// more, the triangles are believed.
func TestShearFromNet(t *testing.T) {
	m := graph(1, 6, func(x, y float64) float64 { return 0 })
	s := newSurface(topologyOf(t, m))
	laid := func(γ float64) []r2.Vec {
		g, flat := sheared(γ), make([]r2.Vec, len(m.Vertices))
		for v, p := range m.Vertices {
			flat[v] = r2.Vec{X: g.a*p.X + g.b*p.Y, Y: g.c*p.X + g.d*p.Y}
		}
		return flat
	}
	for _, c := range [][3]float64{{0.20, 0.22, 0.23}, {0.20, 0.17, 0.18}, {0.20, 0.40, 0.40}} {
		o := start{flat: laid(c[0]), shear: make([]float64, len(m.Vertices)), rank: make([]int8, len(m.Vertices))}
		for v := range o.shear {
			o.shear[v] = c[0] + 0.01
		}
		r := Result{Flat: laid(c[1])}
		r.Shear = s.shearOf(r.Flat)
		r.shearFromNet(s, o)
		for v, γ := range r.Shear {
			if math.Abs(γ-c[2]) > 1e-12 {
				t.Fatalf("from %.2f to %.2f: vertex %d says %.4f, want %.2f", c[0], c[1], v, γ, c[2])
			}
		}
	}
}
