package cure

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// bindLine is a schedule that was found, as a person would give it.
func bindLine(l Line, before si.Time) bind.Auto[Curve] {
	s := bind.Auto[Curve]{Given: true}
	for i, t := range l.Time {
		if t >= float64(before) {
			s.Value.X = append(s.Value.X, si.Time(t)-before)
			s.Value.Y = append(s.Value.Y, l.Temperature[i])
		}
	}
	return s
}

// Wet laminates on 18 mm of MDF straight into an oven at 60 degC: 64.5, 93.0 and
// 122.8 degC (cases heat_wet_laminate_on_mdf, a finite-volume code of its own with LSODA).
// The thin one does no harm, the next is told, the thick one stops.
func TestWetLaminateStraightIntoTheOven(t *testing.T) {
	for name, want := range map[string]fault.Severity{"2mm": "", "6mm": fault.Caution, "12mm": fault.Stop} {
		c := load(t, "heat_wet_laminate_on_mdf_"+name)
		r := simulate(t, onBoard(c))
		if got := severity(r, "exotherm"); got != want {
			t.Errorf("%s: exotherm is %q, want %q", name, got, want)
		}
		if f := finding(r, "exotherm"); name == "12mm" && !strings.Contains(f.Do, "no more than 3 mm of its 12 mm") {
			t.Errorf("what to do: %s", f.Do) // 2 mm stay cool, 6 mm don't
		}
		hottest := r.Limits[0]
		for _, l := range r.Limits {
			if l.Seen > hottest.Seen {
				hottest = l
			}
		}
		near(t, name, hottest.Seen.Celsius(), c.want("T_peak_C"), 0.5)
		if hottest.Of != "laminate" || hottest.Limit != nil {
			t.Errorf("%s: hottest is %+v", name, hottest)
		}
	}
}

// finding is the first of a code; the zero value where there is none.
func finding(r Result, code string) fault.Finding {
	for _, f := range r.Findings {
		if f.Code == code {
			return f
		}
	}
	return fault.Finding{}
}

// What is nearest to its limit is named.
func TestWeakest(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Layers = append(in.Layers, in.Layers[0], Layer{Name: "foam", Thickness: 0.005, Fraction: 1, Density: 80, Cp: 1300, K: 0.03, Limit: si.Celsius(68)})
	in.Spec.Schedule = given(0, 16, 1440, 16, 1704, 60, 2304, 60, 2424, 16)
	r := simulate(t, in)
	weakest, ok := r.Weakest()
	if !ok || weakest.Name != "foam" || len(r.Limits) != 4 {
		t.Fatalf("%+v of %+v", weakest, r.Limits)
	}
	near(t, "margin", float64(*weakest.Margin), 8, 0.2)
	if severity(r, "near-heat-limit") != fault.Caution {
		t.Errorf("%+v", r.Findings)
	}
}

// First-order cure at one temperature turns to glass when Tg(α) = T, with α from
// the inverse of DiBenedetto's formula and t = −ln(1 − α)/k.
func TestVitrifies(t *testing.T) {
	law := read(t, `{kinetics: {model: nth-order, A1: "20000.0 1/s", E1: "55.0 kJ/mol", n: 1.0}, heat_of_reaction: "450 J/g",
gel_conversion: 0.55, tg: {start: "-40 degC", full: "95 degC", lambda: 0.4}}`)
	r := simulate(t, Input{Law: law, Spec: Spec{Schedule: given(0, 60, 2000, 60)}})
	x := 100.0 / 135
	a := x / (0.4 + 0.6*x)
	k := 2e4 * math.Exp(-55e3/(8.314462618*333.15))
	if r.Vitrify == nil || r.VitrifyDegree == nil {
		t.Fatal("it never turns to glass")
	}
	near(t, "degree of cure", *r.VitrifyDegree, a, 1e-6)
	near(t, "time", float64(*r.Vitrify), -math.Log(1-a)/k, 0.5)
}

// A measured glass transition stands over the forecast: 84 dry less 15 when moist
// less 28, or 84 moist less 28.
func TestMeasuredGlassTransition(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.WetDrop, in.Matters = 15, true
	in.Spec.Schedule = given(0, 16, 1440, 16, 1704, 60, 2304, 60)
	if r := simulate(t, in); severity(r, "tg-not-measured") != fault.Caution || r.TgMeasured {
		t.Errorf("%+v", r.Findings)
	}
	for state, limit := range map[Moisture]float64{Dry: 41, Wet: 56} {
		in.Spec.MeasuredTg = &MeasuredTg{Value: si.Celsius(84), State: state}
		r := simulate(t, in)
		near(t, string(state), r.ServiceLimit.Celsius(), limit, 1e-9)
		if severity(r, "tg-not-measured") != "" || !r.TgMeasured {
			t.Errorf("%s: %+v", state, r.Findings)
		}
	}
	in.Spec.MeasuredTg.Value = si.Celsius(30)
	in.Spec.MeasuredTg.State = Dry
	service := si.Celsius(20)
	in.Service = &service
	if r := simulate(t, in); severity(r, "tg-differs") != fault.Caution || severity(r, "too-hot-in-service") != fault.Stop {
		t.Errorf("%+v", r.Findings)
	}
	in.Spec.MeasuredTg.State = ""
	if _, err := settle(in); err == nil {
		t.Error("a measurement without its state is taken")
	}
	in.Spec.MeasuredTg, in.TgMeasured = nil, true
	if r := simulate(t, in); severity(r, "tg-not-measured") != "" {
		t.Error("the record's measurement does not count")
	}
}
