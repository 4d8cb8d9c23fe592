package radius

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

const sharp = math.Pi / 4

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %.6g, want %.6g within %.3g %%", what, got, want, 100*relative)
	}
}

func topology(t testing.TB, m *mesh.Mesh) *mesh.Topology {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	return top
}

var cloths = []Cloth{{"light", 3e-3, 1e-3}, {"heavy", 6e-3, 2e-3}}

// filleted is a strip, 200 mm wide, that runs level for 40 mm, turns up (or down)
// through an angle on a radius, and runs on for 40 mm.
func filleted(radius, turn float64, along, across int) *mesh.Mesh {
	const arm = 0.04
	arc := radius * math.Abs(turn)
	return shapes.Patch(along, across, func(u, v float64) r3.Vec {
		s := u * (2*arm + arc)
		p := r3.Vec{X: min(s, arm), Y: 0.2 * v}
		if s > arm {
			θ := min((s-arm)/radius, math.Abs(turn))
			sin, cos := math.Sincos(θ)
			up := math.Copysign(1, turn)
			p.X += radius * sin
			p.Z += up * radius * (1 - cos)
			if rest := s - arm - arc; rest > 0 {
				p.X += rest * cos
				p.Z += up * rest * sin
			}
		}
		return p
	})
}

// A sharp hollow of 90 deg over a width of 200 mm: filled to 6 mm it takes
// (1 − π/4)·R² of section, in closed form.
func TestSharpHollow(t *testing.T) {
	m := shapes.Folded([]float64{0.1, 0.1}, []float64{math.Pi / 2}, 0.2, 8, 16)
	s, _ := Fitted(topology(t, m), 6e-3, sharp)
	lines := Hollows(s, cloths)
	if len(lines) != 1 || len(Edges(s, cloths)) != 0 {
		t.Fatalf("%d hollows, %d edges", len(lines), len(Edges(s, cloths)))
	}
	l := lines[0]
	near(t, "length", float64(l.Length), 0.2, 1e-9)
	near(t, "turn", float64(l.Turn), math.Pi/2, 1e-9)
	near(t, "filler", float64(*l.Filler), (1-math.Pi/4)*36e-6*0.2, 1e-9)
	if l.Radius != 0 || len(l.Cloths) != 2 || l.Wanted != 6e-3 {
		t.Errorf("%+v", l)
	}
	if s, _ = Fitted(topology(t, m.Flipped()), 6e-3, sharp); len(Hollows(s, cloths)) != 0 || len(Edges(s, cloths)) != 1 {
		t.Error("seen from below it is an outer edge")
	}
}

// A fillet of 4 mm through 60 deg suits the light cloth and not the heavy one; the
// length, the turn and the filler (R² − r²)·(tan(θ/2) − θ/2) are known.
func TestFillet(t *testing.T) {
	const r, θ = 4e-3, math.Pi / 3
	s, _ := Fitted(topology(t, filleted(r, θ, 140, 160)), 6e-3, sharp)
	lines := Hollows(s, cloths)
	if len(lines) != 1 || len(lines[0].Cloths) != 1 || lines[0].Cloths[0] != "heavy" {
		t.Fatalf("%+v", lines)
	}
	l := lines[0]
	near(t, "radius", float64(l.Radius), r, 0.03)
	near(t, "length", float64(l.Length), 0.2, 0.12)
	near(t, "turn", float64(l.Turn), θ, 0.05)
	near(t, "filler", float64(*l.Filler), (36e-6-r*r)*(math.Tan(θ/2)-θ/2)*0.2, 0.15)
	if got := Edges(s, cloths); len(got) != 0 {
		t.Errorf("outer edges %+v", got)
	}
}

// Round enough for every cloth: nothing is told.
func TestWideFillet(t *testing.T) {
	s, _ := Fitted(topology(t, filleted(6e-3, math.Pi/2, 160, 120)), 6e-3, sharp)
	if got := Hollows(s, cloths); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// Two fillets stay two lines.
func TestTwoLines(t *testing.T) {
	a, b := filleted(4e-3, math.Pi/3, 120, 100), filleted(5e-3, math.Pi/4, 120, 100)
	for i := range b.Vertices {
		b.Vertices[i].Y += 1
	}
	s, _ := Fitted(topology(t, shapes.Together(false, a, b)), 6e-3, sharp)
	if got := Hollows(s, cloths); len(got) != 2 || got[0].Radius >= got[1].Radius {
		t.Errorf("%+v", got)
	}
}

// Fifty micrometres of noise on a gutter of 8 mm with sides of 0.8 mm: the radius
// comes out within a tenth, and the curvature scatters as the formula says.
func TestNoisyGutter(t *testing.T) {
	const r, σ = 8e-3, 50e-6
	rng := rand.New(rand.NewPCG(7, 7))
	m := shapes.Patch(24, 75, func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(math.Pi * (0.1 + 0.8*u))
		ρ := r + σ*rng.NormFloat64()
		return r3.Vec{X: -ρ * cos, Y: 0.06 * v, Z: -ρ * sin}
	})
	top := topology(t, m)
	plain := top.Bends(0)
	s, fit := Fitted(top, r, sharp)
	near(t, "noise", float64(fit.Noise), σ, 0.25)
	var mean, square, rough float64
	n := 0.0
	for v, k := range s.Low {
		if !s.Skip[v] {
			mean, square, n = mean+k, square+k*k, n+1
			rough += (plain[v].Min + 1/r) * (plain[v].Min + 1/r)
		}
	}
	mean /= n
	scatter, roughly := math.Sqrt(square/n-mean*mean), math.Sqrt(rough/n)
	near(t, "mean radius", -1/mean, r, 0.1)
	if scatter > 2*float64(fit.Doubt) || scatter > roughly/2 {
		t.Errorf("curvature scatters by %.1f 1/m, told %.1f, of two rings %.1f", scatter, float64(fit.Doubt), roughly)
	}
	t.Logf("radius %.2f mm, scatter %.2f 1/m (told %.2f), of two rings %.1f 1/m, reach %.2f mm", -1e3/mean, scatter, float64(fit.Doubt), roughly, 1e3*float64(fit.Reach))
}

// Areas in closed form: a sphere is curved both ways, a tube one way, a plate flat.
func TestClasses(t *testing.T) {
	const flat = 0.5
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		pick func(Areas) float64
	}{
		{"ball", shapes.Sphere(0.1, 4), func(a Areas) float64 { return float64(a.Double) }},
		{"tube", shapes.Tube(0.1, 0.3, 60, 30), func(a Areas) float64 { return float64(a.Single) }},
		{"plate", shapes.Patch(20, 20, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v} }), func(a Areas) float64 { return float64(a.Flat) }},
	} {
		top := topology(t, c.m)
		s, _ := Fitted(top, 6e-3, sharp)
		for v := range s.Low { // the rim too: the class of all is known
			if s.Skip[v] && c.name == "tube" {
				s.Low[v], s.High[v] = 0, 10
			}
		}
		near(t, c.name, c.pick(Classes(s, flat)), c.m.Area(), 1e-9)
	}
}

// Identity: filling from r to R and on to S takes as much as from r to S, and a
// corner of 90 deg from sharp takes (1 − π/4)·R².
func TestSection(t *testing.T) {
	near(t, "section", Section(0, 5e-3, math.Pi/2), (1-math.Pi/4)*25e-6, 1e-12)
	near(t, "in two goes", Section(1e-3, 3e-3, 1)+Section(3e-3, 5e-3, 1), Section(1e-3, 5e-3, 1), 1e-12)
	if Section(5e-3, 3e-3, 1) != 0 {
		t.Error("a wide hollow takes filler")
	}
}
