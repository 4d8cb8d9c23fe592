package exchanger

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

func glycol(t *testing.T) *Fluid {
	t.Helper()
	// Half ethylene glycol by volume, [ashrae-fundamentals].
	f, err := NewFluid("glycol", "fluid", material.Fluid{Table: []material.FluidPoint{
		{T: si.Celsius(0), Density: 1081, Cp: 3203, K: 0.364, Viscosity: 8.09e-3},
		{T: si.Celsius(40), Density: 1064, Cp: 3358, K: 0.394, Viscosity: 2.26e-3},
		{T: si.Celsius(80), Density: 1038, Cp: 3512, K: 0.411, Viscosity: 0.98e-3},
		{T: si.Celsius(120), Density: 1005, Cp: 3667, K: 0.415, Viscosity: 0.53e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Over random heaters: what the air gains the liquid loses, to 1e-9; the air
// stays below the liquid's inlet; no arrangement beats counterflow.
func TestEnergyBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	zero := 0.0
	rated, err := NewRated(Rated{UA: 90, At: 0.06, AirExponent: &zero}, "rated")
	if err != nil {
		t.Fatal(err)
	}
	tubes, err := NewSurface(Geometry{Face: Face{0.25, 0.1524}, Depth: 0.066}, plates, glycol(t), "core")
	if err != nil {
		t.Fatal(err)
	}
	cores := []Core{referenceCore(t), rated, tubes}
	for i := range 300 {
		core := cores[i%len(cores)]
		liquid, err := NewLiquid(si.Celsius(70+30*r.Float64()), 0, LiquidFlow{ByMass: si.MassFlow(0.05 + r.Float64())}, glycol(t), "liquid")
		if err != nil {
			t.Fatal(err)
		}
		h := Heater{Core: core, Flow: Cross, Arrangement: []Arrangement{AcrossCounter, AcrossParallel, Along}[r.IntN(3)],
			Passes: 1 + r.IntN(6), Leak: si.Fraction(0.1 * r.Float64()), Liquid: liquid,
			AirIn: si.Celsius(-40 + 60*r.Float64()), Pressure: si.Pressure(5e4 + 5e4*r.Float64())}
		p, err := h.At(si.MassFlow(math.Exp(-6 + 5*r.Float64())))
		if err != nil {
			t.Fatal(err)
		}
		given := float64(p.LiquidRate) * float64(liquid.Inlet-p.LiquidOut)
		taken := float64(p.AirRate) * float64(p.AirOut-h.AirIn)
		if math.Abs(given/taken-1) > 1e-9 || math.Abs(float64(p.Heat)/taken-1) > 1e-9 {
			t.Errorf("the liquid gives %.9g W, the air takes %.9g W", given, taken)
		}
		if !(p.AirOut <= liquid.Inlet+1e-9 && p.LiquidOut > h.AirIn && p.Effectiveness <= p.Best+1e-12) {
			t.Errorf("outlets %v and %v, effectiveness %v of %v", p.AirOut, p.LiquidOut, p.Effectiveness, p.Best)
		}
		for k := 1; k < len(p.Passes); k++ {
			if p.Passes[k].AirIn != p.Passes[k-1].AirOut {
				t.Errorf("pass %d does not begin where the one before ends", k)
			}
		}
	}
}

// One rated pass is the exact relation; two in counter order are the closed
// form. Rated 120 W/K, liquid 600 W/K, 0.06 kg/s from −10 °C against 90 °C.
func TestRatedHeater(t *testing.T) {
	zero := 0.0
	core, err := NewRated(Rated{UA: 120, AirExponent: &zero, At: 0.06}, "rated")
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= 2; n++ {
		h := Heater{Core: core, Flow: Cross, Arrangement: AcrossCounter, Passes: n, Liquid: Liquid{Inlet: si.Celsius(90), Rate: 600}, AirIn: si.Celsius(-10), Pressure: 84300}
		p, err := h.At(0.06)
		if err != nil {
			t.Fatal(err)
		}
		air := float64(p.AirRate)
		e := CrossFlow(120/air/float64(n), air/600)
		want := e
		if n == 2 {
			x := math.Pow((1-e*air/600)/(1-e), 2)
			want = (x - 1) / (x - air/600)
		}
		limit := 1e-9
		if n == 2 {
			limit = 1e-3 // the closed form mixes the liquid between the passes
		}
		near(t, "effectiveness", p.Effectiveness, want, limit)
		near(t, "heat", float64(p.Heat), want*air*100, limit)
	}
}

// Leaks past the separators cost heat; a single pass has no separator.
func TestLeak(t *testing.T) {
	for n, wants := range map[int]bool{1: false, 3: true} {
		h := reference(t, n)
		tight, _ := h.At(0.06)
		h.Leak = 0.1
		leaky, err := h.At(0.06)
		if err != nil || (leaky.Heat < tight.Heat) != wants {
			t.Errorf("%d passes: %v W with a leak, %v W without (%v)", n, leaky.Heat, tight.Heat, err)
		}
	}
}

// Test points made from a known law come back as that law, and the law holds at
// other flows; one point alone gives its own conductance again.
func TestMeasuredCore(t *testing.T) {
	truth := func(air, liquid float64) float64 {
		return 1 / (0.006*math.Pow(air/0.06, -0.51) + 0.004*math.Pow(liquid/800, -0.33))
	}
	point := func(flow, liquid float64) Point {
		p := Point{AirFlow: si.MassFlow(flow), AirIn: si.Celsius(15), LiquidRate: si.Conductance(liquid), LiquidIn: si.Celsius(98)}
		q := 0.0
		for range 50 { // the heat whose mean air temperature gives the same heat again
			rate := flow * float64(air.SpecificHeat(p.AirIn+si.Temperature(q/flow/2010)))
			q = Cross.AirEffectiveness(truth(flow, liquid), rate, liquid) * rate * 83
		}
		p.Heat = si.Power(q)
		mean := p.AirIn + si.Temperature(q/(2*1007*flow))
		p.AirLoss = si.Pressure(30 * math.Pow(flow/0.06, 1.6) / float64(air.Density(101325, mean)))
		return p
	}
	points := []Point{point(0.03, 500), point(0.06, 800), point(0.12, 800), point(0.12, 1600)}
	core, err := NewTested(points, Cross, nil, "measured")
	if err != nil || !core.Fitted {
		t.Fatal(err, core)
	}
	for _, r := range core.Residuals {
		near(t, "residual", float64(r.Fitted), float64(r.UA), 1e-6)
	}
	f, _ := core.Film(Conditions{Passes: 2, AirFlow: 0.045, LiquidRate: 650, AirIn: 270, AirOut: 320, Pressure: 9e4})
	near(t, "UA elsewhere", 2*float64(f.UA), truth(0.09, 650), 1e-6)
	near(t, "loss elsewhere", float64(f.Loss), 30*math.Pow(0.09/0.06, 1.6)/float64(air.Density(9e4, 295)), 1e-6)
	one, err := NewTested(points[1:2], Cross, nil, "measured")
	if err != nil || one.Fitted {
		t.Fatal(err, one)
	}
	f, _ = one.Film(Conditions{Passes: 1, AirFlow: 0.06, LiquidRate: 800, AirIn: 290, AirOut: 330, Pressure: 101325})
	near(t, "UA of the point", float64(f.UA), truth(0.06, 800), 1e-6)
	// 1/UA' = (1/UA)[0.6/r^0.51 + 0.4] at twice the air flow
	f, _ = one.Film(Conditions{Passes: 1, AirFlow: 0.12, LiquidRate: 800, AirIn: 290, AirOut: 330, Pressure: 101325})
	near(t, "rescaled UA", float64(f.UA), truth(0.06, 800)/(0.6/math.Pow(2, 0.51)+0.4), 1e-6)
}

// A pass is 1/n of the face at n times the flux: the loss of n passes at one
// flow grows as n·n^b.
func TestRatedLossOfPasses(t *testing.T) {
	b := 1.5
	core, _ := NewRated(Rated{UA: 65, At: 0.06, AirLoss: 28, LossExponent: &b}, "rated")
	c := Conditions{Passes: 1, AirFlow: 0.06, AirIn: 288.15, AirOut: 288.15, Pressure: 101325}
	f, _ := core.Film(c)
	near(t, "rated loss in rated air", float64(f.Loss), 28, 1e-4)
	c.Passes = 3
	g, _ := core.Film(c)
	near(t, "three passes", 3*float64(g.Loss), 28*math.Pow(3, 2.5), 1e-4)
}

func TestRefusals(t *testing.T) {
	fins := material.Fins{Family: "plain", Pitch: 2e-3, Height: 8e-3, Thickness: 0.1e-3, TubeThick: 3e-3, K: 180}
	for name, spoil := range map[string]func(*Geometry, *material.Fins){
		"no face":           func(g *Geometry, _ *material.Fins) { g.Face.Width = 0 },
		"wall fills tube":   func(g *Geometry, _ *material.Fins) { g.Tubes.Wall = 2e-3 },
		"tube beyond core":  func(g *Geometry, _ *material.Fins) { g.Tubes.Thickness = 0.06 },
		"negative film":     func(g *Geometry, _ *material.Fins) { g.Tubes.Film = -5 },
		"unknown family":    func(_ *Geometry, f *material.Fins) { f.Family = "wavy" },
		"fins without room": func(_ *Geometry, f *material.Fins) { f.Pitch = 0.05e-3 },
		"no louvres":        func(_ *Geometry, f *material.Fins) { f.Family = "louvred" },
	} {
		g, f := Geometry{Face: Face{0.25, 0.15}, Depth: 0.05, Tubes: Tubes{Film: 900}}, fins
		if _, err := NewSurface(g, f, nil, "core"); err != nil {
			t.Fatal(err)
		}
		spoil(&g, &f)
		if _, err := NewSurface(g, f, nil, "core"); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	h := reference(t, 1)
	var limit *fault.Range
	for name, spoil := range map[string]func(*Heater){
		"air hotter than the liquid": func(h *Heater) { h.AirIn = si.Celsius(95) },
		"seven passes":               func(h *Heater) { h.Passes = 7 },
		"NaN leak":                   func(h *Heater) { h.Leak = si.Fraction(math.NaN()) },
	} {
		x := h
		spoil(&x)
		if _, err := x.At(0.06); !errors.As(err, &limit) {
			t.Errorf("%s: %v, want a range error", name, err)
		}
	}
	if _, err := h.At(-0.1); !errors.As(err, &limit) {
		t.Errorf("negative flow: %v", err)
	}
	if _, err := glycol(t).At(si.Celsius(-20), "liquid.inlet"); !errors.As(err, &limit) || limit.Field != "liquid.inlet" {
		t.Errorf("outside the table: %v", err)
	}
	if _, err := NewLiquid(si.Celsius(80), 0, LiquidFlow{}, nil, "liquid"); err == nil {
		t.Error("a liquid without flow was taken")
	}
}
