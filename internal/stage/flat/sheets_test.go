package flat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// sheared is a parallelogram on a plane, laid with cloth whose yarns run along
// its sides and are sheared by γ: flat it is a rectangle of a by b.
//
//	X = u·e₁ + v·(sin γ·e₁ + cos γ·e₂)
func sheared(t *testing.T, a, b, γ float64, n, m int) Sheet {
	return gridOf(t, n, m, func(s, u float64) (r3.Vec, r2.Vec) {
		return onSheared(γ, r2.Vec{X: s * a, Y: u * b}), r2.Vec{X: s * a, Y: u * b}
	})
}

func onSheared(γ float64, p r2.Vec) r3.Vec {
	return r3.Vec{X: p.X + p.Y*math.Sin(γ), Y: p.Y * math.Cos(γ)}
}

// gridOf is a sheet of n by m cells over the unit square.
func gridOf(t *testing.T, n, m int, at func(s, t float64) (r3.Vec, r2.Vec)) Sheet {
	t.Helper()
	g := &mesh.Mesh{}
	var flat []r2.Vec
	for j := range m + 1 {
		for i := range n + 1 {
			p, q := at(float64(i)/float64(n), float64(j)/float64(m))
			g.Vertices, flat = append(g.Vertices, p), append(flat, q)
		}
	}
	for j := range m {
		for i := range n {
			k := int32(j*(n+1) + i)
			l := k + int32(n) + 1
			g.Triangles = append(g.Triangles, [3]int32{k, k + 1, l + 1}, [3]int32{k, l + 1, l})
		}
	}
	return Sheet{Ground: groundOf(t, g), Flat: flat}
}

func groundOf(t *testing.T, m *mesh.Mesh) *cut.Ground {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return cut.Uncut(top)
}

// fan is a cone slit along a line from its apex, made of flat triangles: rings of
// slant s/rings, each of many triangles with apex angles that add up to whole. On the
// mould the lines stand at the directions given, whose ends are one. Flat it is a
// sector of that angle, exactly. shift moves the vertices of the slit sideways by an
// angle at each ring.
func fan(t *testing.T, slant float64, rings, around int, direction func(share float64) r3.Vec, shift func(ring int) float64) Sheet {
	t.Helper()
	m := &mesh.Mesh{Vertices: []r3.Vec{{}}}
	flat := []r2.Vec{{}}
	angles := make([]float64, around+1)
	for i := range around {
		a, b := direction(float64(i)/float64(around)), direction(float64(i+1)/float64(around))
		angles[i+1] = angles[i] + math.Acos(min(1, r3.Dot(a, b)))
	}
	for j := 1; j <= rings; j++ {
		for i := range around + 1 {
			r, φ, d := slant*float64(j)/float64(rings), angles[i], direction(float64(i)/float64(around))
			if (i == 0 || i == around) && shift != nil { // along the plane of the first triangle; the last has to bend for it
				φ += shift(j)
				x := r3.Unit(r3.Sub(direction(1/float64(around)), r3.Scale(r3.Dot(direction(1/float64(around)), direction(0)), direction(0))))
				d = r3.Add(r3.Scale(math.Cos(shift(j)), direction(0)), r3.Scale(math.Sin(shift(j)), x))
			}
			m.Vertices = append(m.Vertices, r3.Scale(r, d))
			sin, cos := math.Sincos(φ)
			flat = append(flat, r2.Vec{X: r * cos, Y: r * sin})
		}
	}
	at := func(j, i int) int32 { return int32(1 + (j-1)*(around+1) + i) }
	for i := range around {
		m.Triangles = append(m.Triangles, [3]int32{0, at(1, i), at(1, i+1)})
		for j := 1; j < rings; j++ {
			m.Triangles = append(m.Triangles, [3]int32{at(j, i), at(j+1, i), at(j+1, i+1)}, [3]int32{at(j, i), at(j+1, i+1), at(j, i+1)})
		}
	}
	b := Sheet{Ground: groundOf(t, m), Flat: flat}
	s := cut.Slit{Left: []int32{0}, Right: []int32{0}}
	for j := 1; j <= rings; j++ { // the cloth lies on the left of the left side
		s.Left, s.Right = append(s.Left, at(j, 0)), append(s.Right, at(j, around))
	}
	b.Slits = []cut.Slit{s}
	return b
}

// round is a cone whose half angle has the given sine.
func round(sin float64) func(share float64) r3.Vec {
	return func(share float64) r3.Vec {
		s, c := math.Sincos(2 * math.Pi * share)
		return r3.Vec{X: sin * c, Y: sin * s, Z: -math.Sqrt(1 - sin*sin)}
	}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, tol)
	}
}

// sound checks what holds of every piece: simple rings, no side of no length, the
// net inside the outline, the carrier round it.
func sound(t interface {
	Helper()
	Errorf(string, ...any)
}, p Piece) {
	t.Helper()
	cutLine, net := Polygon(p.Outline), Polygon(p.Net)
	for name, ring := range map[string]geom.Polygon{"outline": cutLine, "net": net} {
		if err := ring.Valid(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for i, a := range cutLine {
		if d := r2.Norm(r2.Sub(a, cutLine[(i+1)%len(cutLine)])); d < 1e-6 {
			t.Errorf("a side of %g m", d)
		}
	}
	whole := geom.Region{Outer: cutLine}
	for _, h := range p.Holes {
		whole.Holes = append(whole.Holes, Polygon(h))
	}
	for _, v := range net {
		if !whole.Contains(v) && whole.Distance(v) > 2*smooth {
			t.Errorf("the net leaves the outline by %.2g m at %v", whole.Distance(v), v)
		}
	}
	box := Polygon(p.Carrier).Bounds()
	for _, v := range cutLine {
		if v.X < box.Min.X+usualMargin-1e-9 || v.X > box.Max.X-usualMargin+1e-9 || v.Y < box.Min.Y+usualMargin-1e-9 || v.Y > box.Max.Y-usualMargin+1e-9 {
			t.Errorf("%v is nearer than the margin to the rim of the film", v)
		}
	}
}
