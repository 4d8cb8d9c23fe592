package cure

import (
	"context"
	"math"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/probes"
)

// logOf reads functions of time (s, degC) each minute.
func logOf(minutes int, channels map[string]func(t float64) float64) *probes.Log {
	log := &probes.Log{File: "probe.csv"}
	for i := range minutes + 1 {
		log.Times = append(log.Times, 60*float64(i))
	}
	for _, name := range sortedKeys(channels) {
		c := probes.Channel{Name: name}
		for _, t := range log.Times {
			c.Values = append(c.Values, channels[name](t)+273.15)
		}
		log.Channels = append(log.Channels, c)
	}
	return log
}

func partOnly(minutes int, f func(t float64) float64) *probes.Log {
	return logOf(minutes, map[string]func(float64) float64{"part": f})
}

func steadyAt(c float64) func(float64) float64 { return func(float64) float64 { return c } }

// oneStep is the resin of the closed form 1 − exp(−kt).
func oneStep(t *testing.T) (law resin.Law, k func(celsius float64) float64) {
	law = read(t, `{kinetics: {model: nth-order, A1: "20000.0 1/s", E1: "55.0 kJ/mol", n: 1.0}, heat_of_reaction: "450 J/g",
gel_conversion: 0.55, tg: {start: "-40 degC", full: "95 degC", lambda: 0.4}}`)
	return law, func(celsius float64) float64 { return 2e4 * math.Exp(-55e3/(8.314462618*(celsius+273.15))) }
}

// Isothermal: the closed form, and the time left to the gel point −ln(1−α)/k. With
// the log begun later than the first mixing, the shop's temperature holds before;
// begun earlier, what lies before it does not count.
func TestLogIsothermal(t *testing.T) {
	law, k := oneStep(t)
	for _, starts := range []float64{0, 1200, -1800} {
		in := Input{Law: law, Log: partOnly(120, steadyAt(60)), Shop: si.Celsius(20)}
		in.Spec.Trace.Starts = bind.Auto[si.Time]{Given: true, Value: si.Time(starts)}
		r := simulate(t, in)
		reacted := k(60)*(7200+min(starts, 0)) + k(20)*max(starts, 0)
		near(t, "degree of cure", r.State.Degree, 1-math.Exp(-reacted), 1e-6)
		near(t, "degree at the end", r.Degree, r.State.Degree, 0)
		near(t, "end", float64(r.State.At), 7200+starts, 1e-9)
		if r.Forecast.Gel == nil {
			t.Fatal("no gel is forecast")
		}
		near(t, "gels in", float64(*r.Forecast.Gel), (-math.Log(1-0.55)-reacted)/k(60), 3)
		near(t, "held at", r.Forecast.Hold.Celsius(), 60, 1e-9)
	}
}

// wave is two days of an oven that swings, with a hump of exotherm.
func wave(t float64) float64 {
	return 22 + 38*(1-math.Exp(-t/9000)) + 3*math.Sin(t/2500) + 12*math.Exp(-math.Pow((t-20000)/1500, 2))
}

// Two days at 1 min against classical Runge-Kutta in steps of 2 s on the function
// that was sampled; noise of ±0.5 K, evened out, moves it no more.
func TestLogAgainstDirectIntegration(t *testing.T) {
	law := slow()
	const minutes = 2880
	a, h := 0.0, 2.0
	rate := func(t, a float64) float64 {
		x := 1 / (8.314462618 * (wave(t) + 273.15))
		return (1.2e3*math.Exp(-58e3*x) + 2.0e5*math.Exp(-60e3*x)*math.Pow(max(a, 0), 0.6)) * math.Pow(1-a, 1.6)
	}
	for s := 0.0; s < 60*minutes; s += h {
		k1 := rate(s, a)
		k2 := rate(s+h/2, a+h/2*k1)
		k3 := rate(s+h/2, a+h/2*k2)
		k4 := rate(s+h, a+h*k3)
		a += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
	}
	chance := uint32(7)
	noisy := func(t float64) float64 {
		chance = chance*1664525 + 1013904223
		return wave(t) + float64(chance>>8)/(1<<24) - 0.5
	}
	for name, f := range map[string]func(float64) float64{"clean": wave, "noisy": noisy} {
		r := simulate(t, Input{Law: law, Log: partOnly(minutes, f), Shop: si.Celsius(22)})
		near(t, name, r.State.Degree, a, 1e-4)
	}
}

// The coldest probe says what has set, the warmest what is held against limits.
func TestColdestDecidesWarmestLimits(t *testing.T) {
	law, k := oneStep(t)
	in := Input{Law: law, Shop: si.Celsius(20), Log: logOf(700, map[string]func(float64) float64{"a": steadyAt(50), "b": steadyAt(62), "oven air": steadyAt(64)})}
	in.Layers = []Layer{{Name: "foam", Thickness: 0.01, Fraction: 1, Density: 80, Cp: 1300, K: 0.03, Limit: si.Celsius(60)}}
	r := simulate(t, in)
	near(t, "degree of cure", r.Degree, 1-math.Exp(-k(50)*700*60), 1e-6)
	near(t, "peak", r.Peak.Celsius(), 62, 1e-9)
	near(t, "lag", float64(r.Lag), 14, 1e-6)
	near(t, "gel, of the first", float64(*r.Gel), -math.Log(0.45)/k(62), 3)
	near(t, "coldest", r.State.Coldest.Celsius(), 50, 1e-9)
	near(t, "warmest", r.State.Warmest.Celsius(), 62, 1e-9)
	for code, want := range map[string]fault.Severity{"heat-limit": fault.Stop, "probes-apart": fault.Caution, "behind-air": fault.Caution, "where-it-stands": fault.Note} {
		if got := severity(r, code); got != want {
			t.Errorf("%s: %q, want %q", code, got, want)
		}
	}
	if len(r.Probes) != 3 || !r.Probes[0].Followed || r.Probes[2].Followed || r.Probes[2].Role != probes.Air {
		t.Errorf("%+v", r.Probes)
	}
	// Said to be on the air, a probe is not followed.
	in.Spec.Trace.Probes = map[string]probes.Role{"A": probes.Out, "b": probes.Part}
	r = simulate(t, in)
	near(t, "degree of cure", r.Degree, 1-math.Exp(-k(62)*700*60), 1e-6)
}

// Where only the air is measured and the stack is known, the part is reckoned
// through the stack, as from a schedule of the same air.
func TestMeasuredAirGoesThroughTheStack(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Before = 0
	in.Spec.In, in.Spec.Schedule = Oven, given(0, 20, 60, 60, 600, 60)
	in.Shop = si.Celsius(20)
	want := simulate(t, in)
	in.Spec.Schedule = bind.Auto[Curve]{}
	in.Log = logOf(600, map[string]func(float64) float64{"air": func(t float64) float64 { return min(60, 20+t/90) }})
	r := simulate(t, in)
	near(t, "degree of cure", r.Degree, want.Degree, 1e-5)
	near(t, "peak", float64(r.Peak), float64(want.Peak), 0.06)
	near(t, "lag", float64(r.Lag), float64(want.Lag), 0.06)
	if severity(r, "no-probe-on-part") != fault.Note {
		t.Error("what stands for the part is not told")
	}
	in.Mould, in.Layers = nil, nil
	if r = simulate(t, in); severity(r, "no-probe-on-part") != fault.Caution {
		t.Error("air taken for the part is not told")
	}
}

// Only what was read until now counts, and the schedule's rest follows.
func TestNowAndTheRestOfTheSchedule(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20), Log: partOnly(600, func(t float64) float64 { return min(50, 20+t/360) })}
	in.Spec.Schedule = given(0, 20, 120, 60, 1200, 60, 1400, 20)
	in.Spec.Trace.Now = bind.Auto[si.Time]{Given: true, Value: 4 * 3600}
	r := simulate(t, in)
	near(t, "now", float64(r.State.At), 4*3600, 1e-9)
	near(t, "total", float64(r.Total), 1400*60, 1e-9)
	if r.Forecast.Hold != nil || r.Planned == nil || severity(r, "behind-schedule") != fault.Caution {
		t.Errorf("%+v", r.Forecast)
	}
	if r.Forecast.Gel == nil || math.Abs(float64(*r.Forecast.Gel+r.State.At-*r.Gel)) > 1e-6 {
		t.Error("the gel forecast is not the plan's")
	}
}

// What is advised is tried: the log, then the advice, reaches the glass transition
// wanted, and the part stands.
func TestAdviceReachesWhatIsWanted(t *testing.T) {
	for _, level := range []float64{22, 45, 60} {
		service := si.Celsius(40)
		in := Input{Law: slow(), Shop: si.Celsius(20), Service: &service, Log: partOnly(600, func(t float64) float64 { return min(level, 20+t/360) })}
		in.Spec.In = Oven
		r := simulate(t, in)
		g := r.Forecast.GoOn
		if g == nil {
			t.Fatalf("%g degC: no advice: %+v", level, r.Forecast)
		}
		at, temp := float64(r.State.At), r.State.Coldest.Celsius()
		points := []float64{0, 20}
		for _, p := range r.Probes[0].History.Time[1:] {
			points = append(points, p/60, num.Linear(r.Probes[0].History.Time, celsiusOf(r.Probes[0].History.Temperature), p))
		}
		at += float64(g.Wait)
		points = append(points, at/60, temp)
		at += (g.Temperature.Celsius() - temp) / float64(g.Ramp) * 3600
		points = append(points, at/60, g.Temperature.Celsius())
		at += float64(g.Hold)
		points = append(points, at/60, g.Temperature.Celsius(), at/60+120, 20)
		then := Input{Law: slow(), Shop: si.Celsius(20)}
		then.Spec.In, then.Spec.Schedule = Oven, given(points...)
		end := simulate(t, then)
		t.Logf("%g degC: %+v", level, *g)
		if level > 30 && end.Tg.Celsius() < 40+15+28-0.1 || end.Demould == nil || math.Abs(float64(end.Tg-g.Tg)) > 1.5 {
			t.Errorf("%g degC: glass transition %.1f degC, promised %.1f", level, end.Tg.Celsius(), g.Tg.Celsius())
		}
	}
}

func celsiusOf(ts []si.Temperature) (out []float64) {
	for _, t := range ts {
		out = append(out, t.Celsius())
	}
	return out
}

// A gap is bracketed around what a straight line gives; a dead probe is told.
func TestGapsAndDeadProbesAreTold(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20), Log: logOf(900, map[string]func(float64) float64{
		"one": func(t float64) float64 {
			if t > 20000 && t < 32000 {
				return math.NaN()
			}
			return 20 + 35*(1-math.Exp(-t/3000))
		},
		"two": steadyAt(1372 - 273.15)})}
	r := simulate(t, in)
	s := r.State
	if s.Low == nil || !(*s.Low < s.Degree-0.02) || !(*s.High >= s.Degree) {
		t.Fatalf("%+v", s)
	}
	if severity(r, "log-gap") != fault.Caution || severity(r, "probe-dead") != fault.Caution || r.Probes[0].Gaps != 1 {
		t.Errorf("%+v", r.Findings)
	}
}

// A film is held against its own probe, not against the part's.
func TestFilmByItsOwnProbe(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20), Bag: []Cover{{Name: "bag-film", Limit: si.Celsius(120)}},
		Log: logOf(300, map[string]func(float64) float64{"part": steadyAt(60), "bag": steadyAt(125)})}
	if got := severity(simulate(t, in), "heat-limit"); got != fault.Stop {
		t.Errorf("film at 125 degC: %q", got)
	}
	in.Log = logOf(300, map[string]func(float64) float64{"part": steadyAt(60), "bag": steadyAt(70)})
	if got := severity(simulate(t, in), "heat-limit"); got != "" {
		t.Errorf("film at 70 degC: %q", got)
	}
}

func TestLogRefusals(t *testing.T) {
	for word, set := range map[string]func(*Input){
		"has no such probe":    func(in *Input) { in.Spec.Trace.Probes = map[string]probes.Role{"TC7": probes.Part} },
		"no probe can be":      func(in *Input) { in.Spec.Trace.Probes = map[string]probes.Role{"part": probes.Out} },
		"within the log":       func(in *Input) { in.Spec.Trace.Now = bind.Auto[si.Time]{Given: true, Value: 9e5} },
		"cure.trace.now":       func(in *Input) { in.Spec.Trace.Now = bind.Auto[si.Time]{Given: true, Value: si.Time(math.NaN())} },
		"cure.trace.starts is": func(in *Input) { in.Spec.Trace.Starts = bind.Auto[si.Time]{Given: true, Value: 9e5} },
		"before the first mi":  func(in *Input) { in.Spec.Trace.Starts = bind.Auto[si.Time]{Given: true, Value: -8e5} },
	} {
		in := Input{Law: slow(), Shop: si.Celsius(20), Log: partOnly(60, steadyAt(30))}
		set(&in)
		if _, err := Simulate(context.Background(), in); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v", word, err)
		}
	}
}

// The two ways to write a trace, and what is wrong with it.
func TestTraceIsBound(t *testing.T) {
	bound := func(text string) (Spec, []bind.Problem) {
		root, problems := bind.Parse([]byte(text))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		var s Spec
		b := bind.New()
		b.Into(&s, "cure", root)
		return s, b.Problems
	}
	if s, p := bound("trace: probe.csv"); len(p) > 0 || s.Trace.File != "probe.csv" {
		t.Errorf("%+v %v", s.Trace, p)
	}
	s, p := bound(`trace: {file: a.csv, unit: degF, time: min, starts: "20 min", now: "3 h", probes: {TC1: part, TC2: air}}`)
	if len(p) > 0 || s.Trace.Starts.Value != 1200 || s.Trace.Now.Value != 10800 || s.Trace.Probes["TC2"] != probes.Air {
		t.Errorf("%+v %v", s.Trace, p)
	}
	for text, want := range map[string]string{
		"trace: {unit: degF}":                  "file: probe.csv",
		"trace: {file: a, unit: F}":            "unit is F; write one of degC, degF, K",
		"trace: {file: a, probes: {TC1: top}}": "write one of part, mould, air, bag, left-out",
		"trace: {file: a, start: \"2 h\"}":     "did you mean starts",
		"trace: {file: a, time: fortnight}":    "write one of ms, s, min, h, d",
	} {
		if _, p := bound(text); len(p) != 1 || !strings.Contains(p[0].What, want) || p[0].Line != 1 || p[0].Column < 8 {
			t.Errorf("%s: %+v", text, p)
		}
	}
}
