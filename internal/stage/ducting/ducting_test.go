package ducting

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, rel)
	}
}

// lost is the loss of a chain in air of 1.2 kg/m³ at 293 K.
func lost(t *testing.T, c Chain, flow float64) float64 {
	t.Helper()
	l, err := c.Loss(flow, 1.2, 293)
	if err != nil {
		t.Fatal(err)
	}
	return l.Pressure
}

// A 76 mm hose of 3 m with one right bend at 0.06 kg/s of air of 1.2 kg/m³, by
// hand: V 11.02 m/s, head 72.9 Pa, K = 0.05758·3/0.076 + 0.75 + 0.5 + 1 = 4.523.
func TestHoseByHand(t *testing.T) {
	hose := Duct{Hose: 0.076, Length: 3, Bends: []si.Angle{si.Degrees(90)}}
	_, r, err := Split([]Duct{hose}, nil, false, "duty.heater")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "loss", lost(t, r, 0.06), 4.523*72.9, 2e-3)
	hose.Count = 2 // two hoses share the flow: a quarter of the loss
	twin, err := lay(hose, "duct")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "twin", lost(t, Chain{inside: []section{twin}}, 0.06), 4.523*72.9/4, 2e-3)
}

// Bores of 60, 80 and 50 mm without length: half a head at the entrance and
// (1 − A₁/A₂)² of the first, 0.5(1 − A₃/A₂)^0.75 and one head of the last.
func TestStepsByHand(t *testing.T) {
	before, after, err := Split([]Duct{{Round: 0.060, Place: Before}, {Round: 0.080, Place: Before}, {Round: 0.050, Place: Before}}, nil, false, "duty.heater")
	if err != nil || !after.Empty() {
		t.Fatal(err, after)
	}
	head := func(d float64) float64 { v := 0.05 / (1.2 * math.Pi / 4 * d * d); return 1.2 * v * v / 2 }
	widen, narrow := 1-36.0/64, 0.5*math.Pow(1-25.0/64, 0.75)
	near(t, "loss", lost(t, before, 0.05), head(0.06)*(0.5+widen*widen)+head(0.05)*(narrow+1), 1e-12)
	before.scooped = true // the scoop's recovery holds the entrance
	near(t, "scooped", lost(t, before, 0.05), head(0.06)*widen*widen+head(0.05)*(narrow+1), 1e-12)
}

// Laminar f = 64/Re; bends of 45, 90 and 180 degrees against a right one,
// [idelchik]: 0.9·sin 45° = 0.636, 1 and 1.4; no bend, no loss.
func TestFrictionAndBends(t *testing.T) {
	near(t, "laminar", Darcy(1000, 0), 0.064, 1e-12)
	for degrees, want := range map[float64]float64{0: 0, 45: 0.6364, 90: 1, 180: 1.4} {
		if got := angleShare(si.Degrees(degrees)); math.Abs(got-want) > 1e-4 {
			t.Errorf("%g degrees: %.4f, want %.4f", degrees, got, want)
		}
	}
	for _, d := range []float64{70, 100} {
		near(t, "bends join", angleShare(si.Degrees(d*(1+1e-9))), angleShare(si.Degrees(d*(1-1e-9))), 1e-6)
	}
}

// Two equal hoses straight off the box share the flow and cost what one hose of
// twice the area does, that is what two side by side do.
func TestBranchesOffTheBox(t *testing.T) {
	hose := Duct{Hose: 0.05, Length: 1.5, Bends: []si.Angle{si.Degrees(90)}}
	_, split, err := Split(nil, &Wye{Branches: []Branch{{"screen", []Duct{hose}}, {"feet", []Duct{hose}}}}, false, "duty.heater")
	if err != nil {
		t.Fatal(err)
	}
	hose.Count = 2
	_, twin, err := Split([]Duct{hose}, nil, false, "duty.heater")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "two branches", lost(t, split, 0.05), lost(t, twin, 0.05), 1e-9)
	l, _ := split.Loss(0.05, 1.2, 293)
	if len(l.Outlets) != 2 || l.Outlets[0].Name != "screen" {
		t.Fatalf("outlets %+v", l.Outlets)
	}
	near(t, "half the flow", float64(l.Outlets[0].Flow), 0.025, 1e-9)
}

// A wye by hand: a stem of 70 mm parts at 30 degrees into two of 50 mm. Equal
// branches take half each, w_b/w_s = (70/50)²/2 = 0.98, K = 1 + x² − 2x·cos 30°.
// Unlike ones share the flow so that both cost the same.
func TestWyeByHand(t *testing.T) {
	stem := Duct{Round: 0.07}
	with := func(second Duct) Chain {
		_, c, err := Split([]Duct{stem}, &Wye{Branches: []Branch{{"a", []Duct{{Hose: 0.05, Length: 1}}}, {"b", []Duct{second}}}}, false, "duty.heater")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	head := func(flow, bore float64) float64 {
		v := flow / (1.2 * math.Pi / 4 * bore * bore)
		return 1.2 * v * v / 2
	}
	branch := func(flow float64) float64 { // entry off the stem, friction and outlet
		x := flow / 0.05 * 1.96
		return head(0.05, 0.07)*(1+x*x-2*x*math.Cos(math.Pi/6)) + head(flow, 0.05)*(HoseFriction(0.05, 0.00635)/0.05+1)
	}
	near(t, "equal branches", lost(t, with(Duct{Hose: 0.05, Length: 1}), 0.05), 0.5*head(0.05, 0.07)+branch(0.025), 1e-6)
	l, err := with(Duct{Hose: 0.05, Length: 4}).Loss(0.05, 1.2, 293)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "flows add up", float64(l.Outlets[0].Flow+l.Outlets[1].Flow), 0.05, 1e-12)
	near(t, "the first branch's way", l.Pressure, 0.5*head(0.05, 0.07)+branch(float64(l.Outlets[0].Flow)), 1e-6)
	if !(l.Outlets[0].Flow > 1.3*l.Outlets[1].Flow) {
		t.Errorf("outlets %+v: the longer hose takes too much", l.Outlets)
	}
}

// A gate's position gives back the coefficient it was found for, [idelchik].
func TestGate(t *testing.T) {
	for _, open := range []float64{0.02, 0.2, 0.6, 0.95} {
		near(t, "open", float64(OpenFor(Plate(open))), open, 1e-6)
	}
	if OpenFor(0) != 1 || OpenFor(1e9) != leastOpen {
		t.Error("the ends of a gate's way")
	}
}

func TestRefusals(t *testing.T) {
	hose := []Duct{{Hose: 0.05}}
	for name, ducts := range map[string][]Duct{
		"no kind":            {{Length: 1}},
		"two kinds":          {{Hose: 0.05, Round: 0.05}},
		"beside":             {{Hose: 0.05, Place: "beside"}},
		"longer than a hall": {{Hose: 0.05, Length: 200}},
	} {
		if _, _, err := Split(ducts, nil, false, "duty.heater"); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	back := si.Degrees(120)
	for name, w := range map[string]Wye{
		"one branch":          {Branches: []Branch{{"a", hose}}},
		"branch without duct": {Branches: []Branch{{"a", nil}, {"b", hose}}},
		"branch before":       {Branches: []Branch{{"a", []Duct{{Hose: 0.05, Place: Before}}}, {"b", hose}}},
		"branch backwards":    {Angle: &back, Branches: []Branch{{"a", hose}, {"b", hose}}},
	} {
		if _, _, err := Split(nil, &w, false, "duty.heater"); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

// Two smooth tubes of unlike bore and length side by side: parted as the chain
// parts them, each alone loses the same as both together; the flows are found here
// by halving, as in any book's pair of pipes in parallel. A hose beside its like
// is two of it, and the pieces before and behind add up in series.
func TestDuctsBeside(t *testing.T) {
	thin, wide := Duct{Round: 0.050, Length: 1.5, Bends: []si.Angle{si.Degrees(90)}}, Duct{Round: 0.070, Length: 4}
	chain := func(ducts ...Duct) Chain {
		_, c, err := Split(ducts, nil, false, "duty.heater")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	beside := func(d Duct) Duct { d.Beside = true; return d }
	const flow = 0.06
	low, high := 0.0, flow
	for range 60 {
		if mid := (low + high) / 2; lost(t, chain(thin), mid) < lost(t, chain(wide), flow-mid) {
			low = mid
		} else {
			high = mid
		}
	}
	both := chain(thin, beside(wide))
	near(t, "as each alone", lost(t, both, flow), lost(t, chain(thin), low), 1e-9)
	near(t, "widest", both.Widest(), math.Pi/4*0.07*0.07, 1e-12)
	twin := thin
	twin.Count = 2
	near(t, "its like", lost(t, chain(thin, beside(thin)), flow), lost(t, chain(twin), flow), 1e-9)
	stem := Duct{Hose: 0.08, Length: 1}
	near(t, "in series", lost(t, chain(stem, thin, beside(thin), stem), flow), lost(t, chain(stem, twin, stem), flow), 1e-9)
	for _, wrong := range [][]Duct{{beside(thin)}, {{Round: 0.05}, beside(thin)}, {thin, {Round: 0.05, Length: 1, Beside: true, Place: Before}}} {
		if _, _, err := Split(wrong, nil, false, "duty.heater"); err == nil {
			t.Errorf("%+v was taken", wrong)
		}
	}
}
