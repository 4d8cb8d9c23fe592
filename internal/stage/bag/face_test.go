package bag

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// sheet is a peel ply of permeability k, 0.1 mm thick, under a film with holes of
// diameter d, apart by s.
func sheet(k si.Area, d, s si.Length) Input {
	return Input{PeelPly: material.Consumable{Use: material.PeelPly, Thickness: material.Exactly[si.Length](1e-4), Permeable: material.Exactly(k)},
		ReleaseFilm: material.Consumable{Use: material.ReleaseFilm, Thickness: material.Exactly[si.Length](25e-6), Hole: material.Exactly(d), HoleApart: material.Exactly(s)}}
}

// The terms one by one. A peel ply as open as can be leaves the holes alone: a sharp
// mouth of radius c passes Q = c³·Δp/(3μ) [sampson1891], and 24/d³ = 3/c³; a pipe
// 8μtQ/(πc⁴). The way along the peel ply against its own equation, solved here by
// summing rings from the field's rim to the hole.
func TestFaceResistanceTermByTerm(t *testing.T) {
	const c, s = 0.2e-3, 6e-3
	open := sheet(1e-7, 2*c, s)
	open.PeelPly.Permeable.Value = 1 // a test's own, beyond what a job may say
	holes := 3/(c*c*c) + 8*25e-6/(math.Pi*math.Pow(c, 4))
	near(t, "holes", open.faceResistance(), s*s*holes, 1e-6)

	tight := sheet(1e-13, 2*c, s)
	const transmit = 1e-13 * 1e-4
	field := s / math.Sqrt(math.Pi)
	p, mean, n := 0.0, 0.0, 200000
	for i := range n { // v = 1, μ = 1: dp/dρ = (field² − ρ²)/(2ρT), mean over the field
		dr := (field - c) / float64(n)
		r := c + (float64(i)+0.5)*dr
		p += (field*field - r*r) / (2 * r * transmit) * dr
		mean += p * 2 * r * dr / (field * field)
	}
	near(t, "along the peel ply", tight.faceResistance()-1e-4/1e-13-s*s*holes, mean, 0.005)

	solid := sheet(1e-11, 0, s)
	near(t, "film without holes", solid.faceResistance(), 1e-4/1e-11, 1e-12)
	if got := (Input{}).faceResistance(); got != 0 {
		t.Errorf("nothing resists by %g", got)
	}
}

// With all resistance in the sheets the stack presses evenly, and
//
//	M·de/dt = −(push − σ(e))/(μ·R)
//
// is an ordinary equation, solved here by small steps. The end does not change.
func TestSheetsInSeriesSlowTheBleeding(t *testing.T) {
	in := Input{Barometer: 101325, Spec: Spec{Vacuum: 85000}, Stack: carbon(3), Area: 1, ResinRho: 1150, Viscosity: steady(1)}
	free, err := Pack(in)
	if err != nil {
		t.Fatal(err)
	}
	const r = 1e12
	in.PeelPly = sheet(1e-4/r, 0, 1).PeelPly
	in.PeelPly.Thickness, in.PeelPly.Permeable = material.Exactly[si.Length](1e-3), material.Exactly[si.Area](1e-15)
	slow, err := Pack(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "end", slow.Fraction, free.Fraction, 1e-3)
	c, m := carbon(1)[0], 3*0.2/1780.0
	e, goal, at, dt := 1.5, 0.0, 0.0, 0.5
	rest := 1.5 - (1/(0.52*math.Pow(0.85, 0.08)) - 1)
	for goal < 0.9*rest {
		e -= dt * (85000 - c.bedStress(1/(1+e))) / r / m
		goal, at = 1.5-e, at+dt
	}
	near(t, "nine tenths", float64(*slow.PressedIn), at, 0.02)
}

// Plies near the bleeder are pressed first, those on the mould last, and the mean of the
// plies by their fibre is that of the stack.
func TestGradientThroughTheStack(t *testing.T) {
	in := Input{Barometer: 101325, Spec: Spec{Vacuum: 85000}, Stack: carbon(8), Area: 1, ResinRho: 1150,
		Viscosity: []Moment{{At: 0, Viscosity: 0.8}, {At: 10, Viscosity: 0.8}}}
	r, err := Pack(in)
	if err != nil {
		t.Fatal(err)
	}
	inverse := 0.0
	for i, v := range r.ByPly {
		if i > 0 && !(v >= r.ByPly[i-1]) {
			t.Errorf("ply %d at %.4f over one at %.4f", i, v, r.ByPly[i-1])
		}
		inverse += 1 / v / 8
	}
	if len(r.ByPly) != 8 || r.ByPly[7]-r.ByPly[0] < 0.02 {
		t.Errorf("by ply %.4v", r.ByPly)
	}
	near(t, "mean", 1/inverse, r.Fraction, 1e-9)
	if r.Findings[0].Code != "gels-before-pressed" {
		t.Errorf("findings %+v", r.Findings)
	}
	h := r.History
	if len(h.Time) > 200 || len(h.Time) != len(h.Fraction) || len(h.Time) != len(h.Viscosity) || h.Time[len(h.Time)-1] != 10 {
		t.Errorf("%d times", len(h.Time))
	}
	for i := 1; i < len(h.Time); i++ {
		if !(h.Time[i] > h.Time[i-1]) || !(h.Fraction[i] >= h.Fraction[i-1]-1e-5) {
			t.Errorf("history goes back at %d", i)
		}
	}
	if got := h.Fraction[len(h.Time)-1]; math.Abs(got-r.Fraction) > 1e-4 {
		t.Errorf("history ends at %.4f, the plan at %.4f", got, r.Fraction)
	}
}

// A bleeder that fills up leaves the mean where it was, and what is left evens out.
func TestFullBleederLeavesAnEvenStack(t *testing.T) {
	in := Input{Barometer: 101325, Spec: Spec{Vacuum: 85000}, Stack: carbon(8), Area: 1, ResinRho: 1150, Viscosity: steady(0.8),
		PeelPly: material.Consumable{Uptake: material.Exactly[si.ArealMass](0.2)}}
	in.Spec.BleederPlies.Given = true
	r, err := Pack(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "bled", float64(r.BledAreal), 0.2, 1e-9)
	solid := 8 * 0.2 / 1780
	near(t, "fraction", r.Fraction, solid/(solid/0.4-0.2/1150), 1e-6)
	for _, v := range r.ByPly {
		near(t, "ply", v, r.Fraction, 2e-3)
	}
}

func TestLateDryAndWet(t *testing.T) {
	base := Input{Barometer: 101325, Spec: Spec{Vacuum: 75000}, Stack: carbon(4), Area: 1, ResinRho: 1150, Viscosity: steady(0.8)}
	code := func(change func(*Input)) map[string]bool {
		in := base
		in.Stack = carbon(4)
		change(&in)
		r, err := Pack(in)
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]bool{}
		for _, f := range r.Findings {
			out[f.Code] = true
		}
		return out
	}
	lay := func(v float64) func(*Input) {
		return func(in *Input) {
			for i := range in.Stack {
				in.Stack[i].Fraction = v
			}
		}
	}
	for want, change := range map[string]func(*Input){
		"bag-late": func(in *Input) { in.Viscosity = steady(15) },
		"too-dry":  lay(0.40),
		"laid-dry": lay(0.60),
		"too-wet": func(in *Input) {
			lay(0.3)(in)
			in.Spec.BleederPlies.Given = true
		},
	} {
		if !code(change)[want] {
			t.Errorf("%s is not told", want)
		}
	}
	for c := range code(lay(0.48)) {
		if c != "trapped-air" {
			t.Errorf("%s is told of a good stack", c)
		}
	}
}
