package scan_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

// sound checks what a solid must be: closed, turned outwards, free of crossings.
func sound(t testing.TB, name string, s scan.Solid) {
	t.Helper()
	top := topology(t, s.Mesh)
	found, all := mesh.NewLocator(s.Mesh).Crossings(10)
	if !top.Closed() || len(top.BowTies()) > 0 || len(found) > 0 || !all || !(s.Mesh.Volume() > 0) {
		t.Errorf("%s: closed %v, %d crossings, volume %g", name, top.Closed(), len(found), s.Mesh.Volume())
	}
}

// Shells in closed form: a plate A·t, half a tube π/2·(R²−(R−t)²)·l, the cap of a
// sphere Ω/3·(R³−(R−t)³); facets make the curved ones smaller by a few in ten thousand.
func TestShellVolumes(t *testing.T) {
	const thick = 0.01
	plate := shapes.Patch(20, 15, func(u, v float64) r3.Vec { return r3.Vec{X: 0.3 * u, Y: 0.2 * v} })
	half := shapes.Patch(90, 40, func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(math.Pi * u)
		return r3.Vec{X: -0.08 * cos, Y: 0.25 * v, Z: 0.08 * sin}
	})
	const θ = math.Pi / 3
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want float64
		rel  float64
	}{
		{"plate", plate, 0.3 * 0.2 * thick, 1e-12},
		{"half tube", half, math.Pi / 2 * (0.08*0.08 - 0.07*0.07) * 0.25, 1e-3},
		{"cap", shapes.Cap(0.1, θ, 60), 2 * math.Pi * (1 - math.Cos(θ)) / 3 * (0.1*0.1*0.1 - 0.09*0.09*0.09), 1.5e-3},
	} {
		s, err := scan.Thicken(c.m, scan.Thick{Shell: thick})
		if err != nil {
			t.Fatal(err)
		}
		sound(t, c.name, s)
		t.Logf("%s: %.6g m³, closed form %.6g (%+.3f %%)", c.name, s.Volume, c.want, 100*(s.Volume/c.want-1))
		if math.Abs(s.Volume/c.want-1) > c.rel || len(s.Folds) > 0 {
			t.Errorf("%s: volume %g, want %g; folds %v", c.name, s.Volume, c.want, s.Folds)
		}
	}
}

// A box's shell has the volume of the box less its inside, the edges mitred; where
// its triangles are smaller than the shell is thick, the back is eased at the edges and stays
// whole.
func TestShellOfBox(t *testing.T) {
	for _, c := range []struct {
		cells int
		rel   float64
	}{{4, 1e-5}, {20, 0.05}} {
		m := shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.1, Z: 0.05}, c.cells)
		s, err := scan.Thicken(m, scan.Thick{Shell: 0.01})
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "box", s)
		want := 0.2*0.1*0.05 - 0.18*0.08*0.04
		t.Logf("%d cells: %.6g m³, closed form %.6g; least thickness %.2f mm at %v", c.cells, s.Volume, want, 1e3*s.Least, s.Thin)
		if math.Abs(s.Volume/want-1) > c.rel || len(s.Folds) > 0 || s.Least < 0.004 {
			t.Errorf("%d cells: volume %.9g, want %.9g; folds %v, least %g", c.cells, s.Volume, want, s.Folds, s.Least)
		}
	}
}

// Plugs on a flat base: a prism under a plate, and half an ellipsoid's worth under
// a cap: h·πa² + the cap's π·h²·(3R−h)/3.
func TestPlugVolumes(t *testing.T) {
	up := r3.Vec{Z: 1}
	tilted := shapes.Patch(10, 10, func(u, v float64) r3.Vec { return r3.Vec{X: 0.2 * u, Y: 0.1 * v, Z: 0.05 * u} })
	s, err := scan.Thicken(tilted, scan.Thick{Base: 0.03, Up: up})
	if err != nil {
		t.Fatal(err)
	}
	sound(t, "wedge", s)
	if want := 0.2 * 0.1 * (0.03 + 0.025); math.Abs(s.Volume/want-1) > 1e-12 {
		t.Errorf("wedge: %g, want %g", s.Volume, want)
	}
	const r, θ, base = 0.1, 1.0, 0.02
	cap, err := scan.Thicken(shapes.Cap(r, θ, 60), scan.Thick{Base: base, Up: up})
	if err != nil {
		t.Fatal(err)
	}
	sound(t, "cap", cap)
	h, a := r*(1-math.Cos(θ)), r*math.Sin(θ)
	if want := math.Pi*h*h*(3*r-h)/3 + base*math.Pi*a*a; math.Abs(cap.Volume/want-1) > 1e-3 {
		t.Errorf("cap: %g, want %g", cap.Volume, want)
	}
}

// A shell thicker than a bulge is tight folds, and says where; a surface that
// hangs over is no plug, and the refusal says where.
func TestThickenTellsWhere(t *testing.T) {
	tight := shapes.Patch(80, 10, func(u, v float64) r3.Vec { // a ridge of 8 mm radius between flats
		x := 0.2 * (u - 0.5)
		const r = 0.008
		if y := math.Abs(x); y < r*math.Pi/2 {
			return r3.Vec{X: math.Copysign(r*math.Sin(y/r), x), Y: 0.1 * v, Z: r * math.Cos(y/r)}
		}
		return r3.Vec{X: math.Copysign(r, x), Y: 0.1 * v, Z: -(math.Abs(x) - r*math.Pi/2)}
	})
	if n := tight.AreaVector(0); n.X > 0 { // the left wall looks left
		tight = tight.Flipped()
	}
	s, err := scan.Thicken(tight, scan.Thick{Shell: 0.012})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Folds) == 0 {
		t.Error("walls 16 mm apart took shells of 12 mm each")
	}
	for _, f := range s.Folds {
		if math.Abs(f.At.X) > 0.0085 {
			t.Errorf("a fold at %v", f.At)
		}
	}
	if s, err = scan.Thicken(tight, scan.Thick{Shell: 0.004}); err != nil || len(s.Folds) > 0 {
		t.Errorf("4 mm: folds %v, %v", s.Folds, err)
	}
	_, err = scan.Thicken(shapes.Cap(0.1, 2.2, 30), scan.Thick{Base: 0.01, Up: r3.Vec{Z: 1}})
	if err == nil || !strings.Contains(err.Error(), "look down") || !strings.Contains(err.Error(), "shell") {
		t.Errorf("a ball past its equator: %v", err)
	}
}
