package drape

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Every derivative of every term against its central difference.
func TestTermDerivatives(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for _, sh := range []sheet{cloth{0.3}, unfolding{cloth{0.3}}, opening{cloth{0.3}, 0.2}, film{}} {
		for range 50 {
			g := gradient{1 + rng.Float64()/2, rng.Float64() - 0.5, rng.Float64() - 0.5, 1 + rng.Float64()/2}
			if math.Abs(math.Abs(cloth{0.3}.terms(g, nil)[2].value)-0.3*math.Sqrt(shearStiffness)) < 1e-5 {
				continue // at the kink of locking
			}
			const h = 1e-6
			for axis := range 4 {
				lo, hi := g, g
				*[]*float64{&lo.a, &lo.b, &lo.c, &lo.d}[axis] -= h
				*[]*float64{&hi.a, &hi.b, &hi.c, &hi.d}[axis] += h
				before, after := sh.terms(lo, nil), sh.terms(hi, nil)
				for k, term := range sh.terms(g, nil) {
					got := []float64{term.a, term.b, term.c, term.d}[axis]
					if want := (after[k].value - before[k].value) / (2 * h); math.Abs(got-want) > 1e-5 {
						t.Fatalf("%T, term %d, entry %d: %.6f, by difference %.6f", sh, k, axis, got, want)
					}
				}
			}
		}
	}
}

// The same for yarns that jam, on either hand, to a relative 1e-5.
func TestJamDerivatives(t *testing.T) {
	for _, γ := range []float64{-1.42, 1.36} {
		g := sheared(γ)
		terms := cloth{0.3}.terms(g, nil)
		if len(terms) != mostTerms || math.Copysign(1, terms[4].value) != math.Copysign(1, γ) {
			t.Fatalf("shear %.2f: %d terms, the last %v", γ, len(terms), terms[len(terms)-1])
		}
		got, want := terms[4], 0.0
		for axis, d := range []float64{got.a, got.b, got.c, got.d} {
			const h = 1e-7
			lo, hi := g, g
			*[]*float64{&lo.a, &lo.b, &lo.c, &lo.d}[axis] -= h
			*[]*float64{&hi.a, &hi.b, &hi.c, &hi.d}[axis] += h
			want = (cloth{0.3}.terms(hi, nil)[4].value - cloth{0.3}.terms(lo, nil)[4].value) / (2 * h)
			if math.Abs(d-want) > 1e-5*(1+math.Abs(want)) {
				t.Errorf("shear %.2f, entry %d: %.6f, by difference %.6f", γ, axis, d, want)
			}
		}
	}
}

// sheared is the gradient of a turned unit square of cloth with a shear.
func sheared(γ float64) gradient {
	warp, weft := r2.Vec{X: math.Cos(0.3), Y: math.Sin(0.3)}, r2.Vec{X: math.Cos(0.3 + math.Pi/2 - γ), Y: math.Sin(0.3 + math.Pi/2 - γ)}
	det := r2.Cross(warp, weft)
	return gradient{weft.Y / det, -weft.X / det, -warp.Y / det, warp.X / det}
}

// A sheared and turned unit square of cloth: the yarns keep their length and the
// terms say so; tan and sign of shear by its definition.
func TestTermsOfPureShear(t *testing.T) {
	for _, γ := range []float64{-0.8, -0.2, 0, 0.5, 1.1} {
		e := cloth{math.Pi}.terms(sheared(γ), nil)
		if math.Abs(e[0].value)+math.Abs(e[1].value) > 1e-12 || math.Abs(e[2].value/math.Sqrt(shearStiffness)-γ) > 1e-12 {
			t.Errorf("shear %.1f: terms %.3g, %.3g, %.6f", γ, e[0].value, e[1].value, e[2].value/math.Sqrt(shearStiffness))
		}
	}
}

// singular returns the largest and least stretch of the flat sheet against the
// surface.
func singular(m *mesh.Mesh, t *testing.T, flat []r2.Vec) (most, least float64) {
	s := newSurface(topologyOf(t, m))
	least = math.Inf(1)
	for f := range m.Triangles {
		g := s.gradientOf(f, flat)
		p, q := math.Hypot(g.a+g.d, g.c-g.b)/2, math.Hypot(g.a-g.d, g.c+g.b)/2
		most, least = max(most, p+q), min(least, p-q)
	}
	return most, least
}

// A film on spherical caps, as rigid as possible: stretches of the CGAL 5.5.1
// parametrisation of the same caps (most and least), and never less distorted
// than the best map there is, a/sin a (Milnor 1969).
func TestFilmOnCaps(t *testing.T) {
	t.Parallel()
	for _, c := range [][3]float64{{15, 1.0086, 0.9957}, {30, 1.0351, 0.9829}, {45, 1.0814, 0.9615}} {
		a := c[0] * deg
		m := dome(40, a)
		in := inputOn(t, m, r3.Vec{Z: 1}, r3.Vec{X: 1})
		in.Film = true
		r := solved(t, in)
		most, least := singular(m, t, r.Flat)
		if math.Abs(most-c[1]) > 0.01 || math.Abs(least-c[2]) > 0.01 {
			t.Errorf("cap of %v°: stretch %.4f to %.4f, want %.4f to %.4f", c[0], least, most, c[2], c[1])
		}
		if most/least < 0.999*a/math.Sin(a) {
			t.Errorf("cap of %v°: ratio %.4f is less than any map has", c[0], most/least)
		}
	}
}

// Sides are turned until no two angles across a side exceed 180° by much, and
// the area stays what it was.
func TestReshaped(t *testing.T) {
	m := sheetOf(30, 6, func(s, u float64) r3.Vec { return r3.Vec{X: s + 0.3*u, Y: u, Z: 0.1 * s * s} })
	s := newSurface(topologyOf(t, m))
	out, err := s.reshaped()
	if err != nil {
		t.Fatal(err)
	}
	var area float64
	for _, a := range out.area {
		area += a
	}
	if math.Abs(area/s.whole-1) > 1e-9 || len(out.Triangles) != len(m.Triangles) {
		t.Errorf("area %.9f of %.9f, %d triangles of %d", area, s.whole, len(out.Triangles), len(m.Triangles))
	}
	d := newFlipper(out)
	for h, twin := range d.twin {
		if twin >= 0 && d.opposite(h)+d.opposite(int(twin)) > math.Pi+flipBeyond+1e-6 {
			t.Fatalf("side %d still has %.2f rad across", h, d.opposite(h)+d.opposite(int(twin)))
		}
	}
}

// Refusals: a closed surface, one in two parts, a warp that stands up on it, and
// a call that was given up.
func TestRefusals(t *testing.T) {
	flat := graph(1, 4, func(x, y float64) float64 { return 0 })
	two := flat.Clone()
	for _, p := range flat.Vertices {
		two.Vertices = append(two.Vertices, r3.Add(p, r3.Vec{X: 5}))
	}
	for _, tri := range flat.Triangles {
		k := int32(len(flat.Vertices))
		two.Triangles = append(two.Triangles, [3]int32{tri[0] + k, tri[1] + k, tri[2] + k})
	}
	ball := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}},
		Triangles: [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}}}
	for name, in := range map[string]Input{
		"closed":   inputOn(t, ball, r3.Vec{}, r3.Vec{X: 1}),
		"in two":   inputOn(t, two, r3.Vec{}, r3.Vec{X: 1}),
		"warp up":  inputOn(t, flat, r3.Vec{}, r3.Vec{Z: 1}),
		"no warp":  inputOn(t, flat, r3.Vec{}, r3.Vec{}),
		"NaN warp": inputOn(t, flat, r3.Vec{}, r3.Vec{X: math.NaN()}),
	} {
		if _, err := Solve(context.Background(), in); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Solve(ctx, inputOn(t, dome(12, 1), r3.Vec{Z: 1}, r3.Vec{X: 1})); err == nil {
		t.Error("a call that was given up went on")
	}
}
