package cure

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// library is read once; calibrating a resin takes tens of milliseconds.
var library = sync.OnceValues(func() (map[string]material.Resin, error) {
	raw, err := os.ReadFile("../../store/catalogue/data/resins.yaml")
	if err != nil {
		return nil, err
	}
	root, problems := bind.Parse(raw)
	if len(problems) > 0 {
		return nil, fmt.Errorf("%v", problems)
	}
	var set material.Set
	bind.New().Into(&set, "", root)
	return set.Resins, nil
})

// class returns a resin of the library.
func class(t testing.TB, name string) (resin.Law, material.Resin) {
	t.Helper()
	resins, err := library()
	if err != nil {
		t.Fatal(err)
	}
	r, err := material.Pick(resins, "resin", "x", name)
	if err != nil {
		t.Fatal(err)
	}
	l, err := resin.New(name, r)
	if err != nil {
		t.Fatal(err)
	}
	return l, r
}

// onPlywood is a thin carbon wall on a plywood mould in a cold shop.
func onPlywood(t *testing.T, name string) Input {
	law, r := class(t, name)
	in := Input{Law: law, Shop: si.Celsius(16), Before: 7200,
		WetDrop: r.WetDrop.Value, Ramp: r.RampLimit.Value, MinShop: r.MinShop.Value,
		Mould:  []Layer{{Name: "plywood", Thickness: 0.018, Fraction: 1, Density: 600, Cp: 1600, K: 0.13, Limit: si.Celsius(75)}},
		Layers: []Layer{{Name: "carbon", Thickness: 0.0009, Fraction: 0.44, Density: 1780, Cp: 800, K: 3}},
		Bag:    []Cover{{Name: "bag film", Resistance: 0.02, Limit: si.Celsius(180)}}}
	in.Spec.In = Oven
	return in
}

func simulate(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Simulate(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func severity(r Result, code string) fault.Severity {
	for _, f := range r.Findings {
		if f.Code == code {
			return f.Severity
		}
	}
	return ""
}

// Whatever the search finds must keep its own promises when it is walked through
// again by the resin's law alone.
func TestSearchKeepsItsPromises(t *testing.T) {
	for _, c := range []struct {
		name     string
		service  float64 // degC
		hottest  float64 // of the oven, degC
		offMould bool
	}{
		{"laminating-epoxy-slow", 40, 80, false},
		{"toughened-epoxy", 30, 80, false}, // its ramp must be halved
		{"medium-heat-epoxy", 45, 80, false},
		{"medium-heat-epoxy", 60, 100, true},
		{"high-temperature-epoxy", 90.6, 150, true}, // 195 degF: behind a coolant heater
	} {
		in := onPlywood(t, c.name)
		service := si.Celsius(c.service)
		in.Service, in.Spec.Hottest = &service, si.Celsius(c.hottest)
		r := simulate(t, in)
		t.Log(c.name, r.Chosen)
		if severity(r, "too-hot-in-service") != "" || service > r.ServiceLimit {
			t.Errorf("%s: %.1f degC in service, allowed %.1f", c.name, c.service, r.ServiceLimit.Celsius())
		}
		if (r.OffMould != nil) != c.offMould {
			t.Errorf("%s: off the mould %v", c.name, r.OffMould)
		}
		walk := in.Law.Start(0)
		line, heated := r.Schedule, false
		for i := 1; i < len(line.Time); i++ {
			err := walk.Follow(si.Time(line.Time[i-1]), si.Time(line.Time[i]), line.Temperature[i-1], line.Temperature[i],
				func(_, g resin.Glimpse, _ func(si.Time) float64) bool {
					if g.Temperature > si.Celsius(25) {
						heated = true
						if lead := in.Law.Glass.Transition(g.Degree) - g.Temperature; lead < 2.9 {
							t.Errorf("%s: glass transition %.1f K ahead at %.0f s", c.name, float64(lead), float64(g.Time))
							return false
						}
					}
					return true
				})
			if err != nil {
				t.Fatal(err)
			}
			if line.Temperature[i] > si.Celsius(c.hottest) || r.OffMould == nil && line.Temperature[i] > si.Celsius(65.01) {
				t.Errorf("%s: %.0f degC is too hot", c.name, line.Temperature[i].Celsius())
			}
		}
		if !heated {
			t.Errorf("%s is not heated", c.name)
		}
		near(t, c.name+": glass transition", in.Law.Glass.Transition(walk.Degree()).Celsius(), r.Tg.Celsius(), 0.7)
		for _, code := range []string{"oven-ahead-of-tg", "heat-limit", "near-heat-limit", "taken-off-soft", "ramp-too-fast", "exotherm"} {
			if severity(r, code) != "" {
				t.Errorf("%s: %s", c.name, code)
			}
		}
	}
}

func TestNoScheduleIsSaid(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	service := si.Celsius(93)
	in.Service = &service
	r := simulate(t, in)
	if severity(r, "too-hot-in-service") != fault.Stop || !strings.Contains(r.Chosen, "no hold") {
		t.Errorf("%s; findings %+v", r.Chosen, r.Findings)
	}
	// 93 in service + 28 margin + 15 lost when moist; and the same backwards.
	for _, f := range r.Findings {
		if f.Code == "too-hot-in-service" && !strings.Contains(f.Do, "reaches 136 degC") {
			t.Errorf("what to do: %s", f.Do)
		}
	}
	near(t, "service limit", r.ServiceLimit.Celsius(), r.Tg.Celsius()-28-15, 1e-9)
	near(t, "wet", r.TgWet.Celsius(), r.Tg.Celsius()-15, 1e-9)
	in.Spec.In = Room
	if r = simulate(t, in); !strings.Contains(r.Chosen, "no heat") || r.Peak > si.Celsius(20) {
		t.Errorf("%s, peak %.1f", r.Chosen, r.Peak.Celsius())
	}
}

// A day at 21 degC, then a ramp to 80 degC: at 60 K an hour the oven overtakes
// the glass transition by some kelvin, at 10 it does not (case
// postcure_ramp_margin of the resin's tests, computed with LSODA: −6.6, +5.6 K).
func TestFastRampSoftens(t *testing.T) {
	f := 3.31798 / 10800 * math.Exp(55e3/(8.314462618*298.15))
	law := resin.Law{Kinetics: resin.Kinetics{A1: si.Rate(0.1 * f), A2: si.Rate(f), E1: 55e3, E2: 55e3, M: 1, N: 2},
		Diffusion: &resin.Diffusion{Shift: 4.7, Width: 5}, Heat: 430e3, Gel: 0.55, Firm: 5, Density: 1150, Cp: 1900, K: 0.2,
		Glass: resin.Glass{Start: si.Celsius(-45), Full: si.Celsius(98), Lambda: 0.4}}
	for hours, soft := range map[float64]bool{59.0 / 60: true, 5.9: false} {
		in := Input{Law: law, Shop: si.Celsius(21)}
		in.Spec.Schedule = given(0, 21, 1440, 21, 1440+60*hours, 80, 1440+60*hours+60, 80)
		r := simulate(t, in)
		if (severity(r, "oven-ahead-of-tg") == fault.Caution) != soft {
			t.Errorf("ramp of %.1f h: findings %+v", hours, r.Findings)
		}
		for _, f := range r.Findings { // between +5.6 K at 10 and +2.3 K at 20 K an hour
			if f.Code == "oven-ahead-of-tg" && !strings.Contains(f.Do, "from 21 to 80 degC at no more than 17.5 K an hour") {
				t.Errorf("what to do: %s", f.Do)
			}
		}
		if (severity(r, "ramp-too-fast") == fault.Caution) != soft {
			t.Errorf("ramp of %.1f h: its speed is not judged", hours)
		}
		in.Spec.OffMould = bind.Auto[si.Time]{Given: true, Value: 86400}
		if r = simulate(t, in); (severity(r, "oven-ahead-of-tg") == fault.Stop) != soft || r.OffMould == nil {
			t.Errorf("off the mould, ramp of %.1f h: findings %+v", hours, r.Findings)
		}
		in.Spec.OffMould.Value = 3600
		if r = simulate(t, in); severity(r, "taken-off-soft") != fault.Stop {
			t.Error("a wet part leaves its mould unseen")
		}
	}
}

func TestThickWetLaminateIsStopped(t *testing.T) {
	in := onBoard(load(t, "heat_wet_laminate_on_mdf_12mm"))
	in.Mould[0].Limit = si.Celsius(60)
	in.Bag = []Cover{{Name: "bag film", Limit: si.Celsius(130)}}
	r := simulate(t, in)
	if severity(r, "exotherm") != fault.Stop || severity(r, "heat-limit") != fault.Stop || severity(r, "near-heat-limit") != fault.Caution {
		t.Errorf("findings %+v", r.Findings)
	}
	if r = simulate(t, onBoard(load(t, "heat_wet_laminate_on_mdf_2mm"))); severity(r, "exotherm") != "" {
		t.Error("4.5 K over the air is called an exotherm")
	}
}

// On a steady ramp a thin stack lags by rate·Σρct/Σh, once the start is forgotten.
func TestRampLag(t *testing.T) {
	law := resin.Law{Kinetics: resin.Kinetics{A1: 1e-12, N: 1}, Heat: 1, Gel: 0.5, Density: 1000, Cp: 1650, K: 20,
		Glass: resin.Glass{Start: 230, Full: 400, Lambda: 0.4}}
	in := Input{Law: law, Shop: si.Celsius(20),
		Mould:  []Layer{{Name: "sheet", Thickness: 0.003, Fraction: 1, Density: 2700, Cp: 900, K: 150}},
		Layers: []Layer{{Name: "laminate", Thickness: 0.003, Fraction: 0.5, Density: 1000, Cp: 1650, K: 20}}}
	in.Spec.In, in.Spec.Air = Oven, 12
	in.Spec.Schedule = given(0, 20, 120, 140)
	r := simulate(t, in)
	// 1 K/min · (2700·900 + 1650·1000)·3 mm / 24 W/(m²K) = 8.5 K
	near(t, "lag", float64(r.Lag), 8.5, 0.02)
}

func TestLampsWarmOneFace(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Mould[0].K = 0.13
	in.Spec.In, in.Spec.Air = Lamps, 10
	in.Spec.Schedule = given(0, 16, 60, 60, 4000, 60)
	in.Bag[0].Resistance = 0.05
	r := simulate(t, in)
	// Steady: resistances 1/10 and 0.05, 0.018/0.13 (and the thin laminate), 1/10.
	near(t, "laminate", r.History.Temperature[len(r.History.Temperature)-1].Celsius(), 60-44*0.15/(0.25+0.018/0.13), 0.3)
}

func TestTraceStandsOverSchedule(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Before = 0
	in.Spec.Schedule = given(0, 16, 60, 80, 600, 80)
	in.Trace = given(0, 30, 120, 30).Value
	r := simulate(t, in)
	law := in.Law
	course := law.Start(0)
	for _, p := range [][4]float64{{0, 7200, 30, 30}, {7200, 36000, 80, 80}} {
		if err := course.Follow(si.Time(p[0]), si.Time(p[1]), si.Celsius(p[2]), si.Celsius(p[3]), nil); err != nil {
			t.Fatal(err)
		}
	}
	near(t, "degree of cure", r.Degree, course.Degree(), 1e-5)
	if r.Lag != 0 {
		t.Error("a measured part lags behind itself")
	}
}

func TestRefusals(t *testing.T) {
	for field, change := range map[string]func(*Input){
		"cure.schedule":              func(in *Input) { in.Spec.Schedule = given(0, 20) },
		"cure.schedule.points[1]":    func(in *Input) { in.Spec.Schedule = given(60, 20, 30, 60) },
		"cure.schedule.points[1] is": func(in *Input) { in.Spec.Schedule = given(0, 20, 60, math.NaN()) },
		"cure.in":                    func(in *Input) { in.Spec.In = "kitchen" },
		"cure.hottest":               func(in *Input) { in.Spec.Hottest = si.Celsius(10) },
		"cure.off_mould":             func(in *Input) { in.Spec.OffMould.Given = true },
		"cure layer carbon density":  func(in *Input) { in.Layers[0].Density = 0 },
		"shop.temperature":           func(in *Input) { in.Shop = si.Celsius(100) },
		"bench":                      func(in *Input) { in.Before = 300 * 3600 }, // worked out from hands and area
		"cure.start":                 func(in *Input) { in.Spec.Start.Given, in.Spec.Start.Value = true, 300*3600 },
	} {
		in := onPlywood(t, "laminating-epoxy-slow")
		change(&in)
		if _, err := Simulate(context.Background(), in); err == nil || !strings.HasPrefix(err.Error(), field) {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// The plan is JSON: nothing in it may be infinite or not a number.
func TestResultIsJSON(t *testing.T) {
	in := onPlywood(t, "medium-heat-epoxy")
	r := simulate(t, in)
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"gel_s", "demould_s", "degree_of_cure", "tg_degC", "peak_degC", "lag_K", "history", "time_s", "temperature_degC", "fit"} {
		if !strings.Contains(string(text), "\""+key+"\":") {
			t.Errorf("no %s", key)
		}
	}
	h := r.History
	if n := len(h.Time); n > maxHistory || n != len(h.Air) || n != len(h.Temperature) || n != len(h.Degree) || n != len(h.Tg) {
		t.Errorf("history of %d times", len(h.Time))
	}
	for i := 1; i < len(h.Time); i++ {
		if h.Time[i] <= h.Time[i-1] || h.Degree[i] < h.Degree[i-1] {
			t.Errorf("history goes back at %d", i)
		}
	}
}

func TestInterrupt(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Spec.Schedule = given(0, 20, 600, 60)
	if _, err := Simulate(ctx, in); err == nil {
		t.Error("a stopped run gave a result")
	}
}

// A coarse search and a data sheet's spread must not make two runs differ.
func TestSameInputSameResult(t *testing.T) {
	in := onPlywood(t, "medium-heat-epoxy")
	_, record := class(t, "medium-heat-epoxy")
	spread, err := resin.Spread("medium-heat-epoxy", record)
	if err != nil {
		t.Fatal(err)
	}
	in.Spread = spread
	a, b := simulate(t, in), simulate(t, in)
	if *a.Gel != *b.Gel || a.Degree != b.Degree || a.Chosen != b.Chosen || len(a.Findings) != len(b.Findings) {
		t.Error("two runs differ")
	}
	if !(*a.GelLow < *a.Gel && *a.Gel < *a.GelHigh) {
		t.Errorf("gel %v in %v to %v", *a.Gel, *a.GelLow, *a.GelHigh)
	}
}

// The section as a job file writes it.
func TestSpecReads(t *testing.T) {
	root, problems := bind.Parse([]byte(`{resin: my-epoxy, in: box-oven, schedule: {unit: [min, degC], points: [[0, 20], [60, 60], [300, 60]]},
trace: probe.csv, start: "2 h", hottest: "176 degF", off_mould: "24 h", heat_transfer: "12 W/(m^2*K)", measured_tg: {value: "84 degC", state: wet},
oven: {size: {unit: in, xyz: [48, 32, 24]}, wall: "2 in", heater: "1 kW", band: "4 K", air_changes: 3, load: "55 lb", spread: "11 delta_degF", cut_out: "176 degF"}}`))
	var s Spec
	b := bind.New()
	b.Into(&s, "cure", root)
	if len(problems)+len(b.Problems) > 0 {
		t.Fatal(problems, b.Problems)
	}
	if s.In != Oven || s.Schedule.Value.Y[2] != si.Celsius(60) || s.Start.Value != 7200 || s.OffMould.Value != 86400 || s.Air != 12 {
		t.Errorf("%+v", s)
	}
	near(t, "hottest", s.Hottest.Celsius(), 80, 1e-9)
	if s.MeasuredTg.State != Wet || s.Oven.Heater != 1000 || s.Oven.Changes != 3 {
		t.Errorf("%+v %+v", s.MeasuredTg, s.Oven)
	}
	near(t, "size", s.Oven.Size.V.X, 1.2192, 1e-9)
	var auto Spec
	root, _ = bind.Parse([]byte("{in: room, schedule: auto}"))
	if b.Into(&auto, "cure", root); len(b.Problems) > 0 || auto.Schedule.Given {
		t.Errorf("auto: %v %+v", b.Problems, auto)
	}
}

// Two days with a reading a minute.
func BenchmarkTrace(b *testing.B) {
	resins, err := library()
	if err != nil {
		b.Fatal(err)
	}
	law, err := resin.New("r", resins["laminating-epoxy-slow"])
	if err != nil {
		b.Fatal(err)
	}
	in := Input{Law: law}
	for m := range 2880 {
		in.Trace.X = append(in.Trace.X, si.Time(60*m))
		in.Trace.Y = append(in.Trace.Y, si.Celsius(20+2*math.Sin(float64(m))+20*math.Min(1, float64(m)/2000)))
	}
	for b.Loop() {
		if _, err := Simulate(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
