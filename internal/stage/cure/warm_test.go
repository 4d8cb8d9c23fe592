package cure

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// slow is a resin that takes more than ten days at room temperature to stand.
func slow() resin.Law {
	return resin.Law{Kinetics: resin.Kinetics{A1: 1.2e3, E1: 58e3, A2: 2.0e5, E2: 60e3, M: 0.6, N: 1.6},
		Heat: 450e3, Gel: 0.55, Firm: 5, Density: 1150, Cp: 1900, K: 0.2,
		Glass: resin.Glass{Start: si.Celsius(-40), Full: si.Celsius(95), Lambda: 0.4}}
}

// A resin too slow for the shop is gelled warm. What is wanted: the glass
// transition of 87 degC (full less 8 K) in no more time than a person's own
// schedule takes, 4 h to 60 degC, 24 h there, 24 h to 80 degC, 24 h there, 4 h
// down, and every step of it gentle.
func TestSlowResinIsGelledWarm(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20)}
	in.Spec.In = Oven
	r := simulate(t, in)
	t.Log(r.Chosen)
	if r.Tg < si.Celsius(87) || r.Total > 80*3600 || !strings.Contains(r.Chosen, "at 20 degC it would") {
		t.Errorf("Tg %.1f degC after %.0f h: %s", r.Tg.Celsius(), float64(r.Total)/3600, r.Chosen)
	}
	if r.Schedule.Temperature[1] > kelvin(gentle) {
		t.Errorf("the wet laminate is heated to %.0f degC", r.Schedule.Temperature[1].Celsius())
	}
	// A tenth more than the law asks for, in whole half hours of hold.
	if over := r.Schedule.Time[2] - spare*float64(*r.Demould); over < -5 || over > holdStep+5 {
		t.Errorf("first hold ends %.0f s past a tenth more than %.0f s", over, float64(*r.Demould))
	}
	walk, firm := in.Law.Start(0), false
	for i := 1; i < len(r.Schedule.Time); i++ {
		a, b := r.Schedule.Temperature[i-1], r.Schedule.Temperature[i]
		if rate := float64(b-a) / (r.Schedule.Time[i] - r.Schedule.Time[i-1]) * 3600; rate > usualRamp+1e-6 {
			t.Errorf("heats at %.1f K an hour", rate)
		}
		err := walk.Follow(si.Time(r.Schedule.Time[i-1]), si.Time(r.Schedule.Time[i]), a, b, func(_, g resin.Glimpse, _ func(si.Time) float64) bool {
			lead := float64(in.Law.Glass.Transition(g.Degree) - g.Temperature)
			firm = firm || lead >= 5
			if firm && lead < 2.9 {
				t.Errorf("glass transition %.1f K ahead at %.1f h", lead, float64(g.Time)/3600)
			}
			return true
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range r.Findings {
		if f.Severity != fault.Note {
			t.Errorf("%s: %s", f.Code, f.What)
		}
	}
	in.Spec.In = Room
	if r = simulate(t, in); r.Peak > si.Celsius(20.1) || !strings.HasPrefix(r.Chosen, "264 h at 20 degC") {
		t.Errorf("in a room: %.1f degC, %s", r.Peak.Celsius(), r.Chosen)
	}
}

// In a real stack the part lags, under lamps by much: it must stand all the same
// when its first hold ends, on a mould that stands 65 degC with margin.
func TestWarmHoldAllowsForLag(t *testing.T) {
	for _, c := range []struct {
		place   Place
		service float64
	}{{Oven, 20}, {Lamps, 20}, {Lamps, 5}} {
		place, service := c.place, si.Celsius(c.service)
		in := onPlywood(t, "laminating-epoxy-slow")
		in.Law, in.Spec.In = slow(), place
		in.Shop, in.Service = si.Celsius(18), &service
		r := simulate(t, in)
		t.Log(place, r.Chosen)
		if severity(r, "heat-limit")+severity(r, "near-heat-limit")+severity(r, "oven-ahead-of-tg")+severity(r, "too-hot-in-service")+severity(r, "exotherm") != "" {
			t.Errorf("%s: %+v", place, r.Findings)
		}
		if end := r.Schedule.Time[3]; r.Demould == nil || float64(*r.Demould) > end {
			t.Errorf("%s: it does not stand when its first hold ends after %.0f s", place, end)
		}
	}
}

// 40 mm of wet laminate heat themselves in a warm first hold that suits a thin one:
// the hold must be the cooler for it.
func TestThickLaminateIsGelledCooler(t *testing.T) {
	warmth := func(thick si.Length) float64 {
		in := onPlywood(t, "laminating-epoxy-slow")
		in.Law, in.Shop, in.Before = slow(), si.Celsius(20), 0
		in.Layers[0].Thickness = thick
		r := simulate(t, in)
		t.Log(r.Chosen)
		if severity(r, "exotherm") != "" {
			t.Errorf("%.0f mm: exotherm to %.0f degC", float64(thick)*1e3, r.Peak.Celsius())
		}
		return r.Schedule.Temperature[2].Celsius()
	}
	if thin, thick := warmth(0.001), warmth(0.040); !(thick < thin) {
		t.Errorf("1 mm gelled at %.0f degC, 40 mm at %.0f degC", thin, thick)
	}
}

// A first hold past patience gives way to a warmer one that saves little; one
// within it does not.
func TestPatience(t *testing.T) {
	p := planner{target: 350}
	warm := program{stands: true, first: 60 * 3600, total: 72 * 3600, tg: 351}
	for hours, gives := range map[float64]bool{80: true, 71: false} {
		cold := program{stands: true, first: hours * 3600, total: hours * 3600, tg: 351}
		if p.prefers(warm, cold) != gives {
			t.Errorf("%.0f h at room temperature: gives way %v", hours, !gives)
		}
	}
}

func TestNoScheduleForWhatNeverGels(t *testing.T) {
	in := Input{Law: slow(), Shop: si.Celsius(20)}
	in.Law.Kinetics.A1, in.Law.Kinetics.A2 = 1e-9, 1e-9
	in.Spec.In = Oven
	r := simulate(t, in)
	if !strings.HasPrefix(r.Chosen, "no schedule found") || strings.Contains(r.Chosen, "until it stands") || severity(r, "not-gelled") != fault.Stop {
		t.Errorf("%s, findings %+v", r.Chosen, r.Findings)
	}
	if r.Total > 100*3600 {
		t.Errorf("%.0f h in vain", float64(r.Total)/3600)
	}
}

func TestRampIsJudgedByWhoseLimit(t *testing.T) {
	for limit, word := range map[si.TemperatureDifference]string{0: "usually", 8: "data sheet"} {
		in := Input{Law: slow(), Shop: si.Celsius(20), Ramp: limit}
		in.Spec.Schedule = given(0, 20, 60, 60, 6000, 60)
		found := false
		for _, f := range simulate(t, in).Findings {
			if f.Code == "ramp-too-fast" {
				found = strings.Contains(f.What, word)
			}
		}
		if !found {
			t.Errorf("limit %v: %q is not said", limit, word)
		}
	}
}

// A trace with a schedule: what is followed is told, a jump between them too.
func TestTraceAndScheduleAreTold(t *testing.T) {
	for _, c := range []struct {
		end, level float64 // of the trace, min and degC
		severity   fault.Severity
		total      float64 // min
		word       string
	}{
		{120, 78, fault.Note, 600, "from there the schedule"},
		{120, 30, fault.Caution, 600, "jumps"},
		{700, 30, fault.Note, 700, "Only the measured trace"},
	} {
		in := Input{Law: slow(), Shop: si.Celsius(20)}
		in.Spec.Schedule = given(0, 20, 60, 80, 600, 80)
		in.Trace = given(0, 20, c.end, c.level).Value
		r := simulate(t, in)
		near(t, "total", float64(r.Total)/60, c.total, 1e-9)
		for _, f := range r.Findings {
			if f.Code == "trace-before-schedule" && f.Severity == c.severity && strings.Contains(f.What+f.Why, c.word) {
				c.word = ""
			}
		}
		if c.word != "" {
			t.Errorf("trace of %.0f min to %.0f degC: %+v", c.end, c.level, r.Findings)
		}
	}
}

func TestReadingOfACurve(t *testing.T) {
	c := given(10, 20, 70, 80, 70, 60, 100, 60).Value
	for minutes, want := range map[float64]float64{0: 20, 10: 20, 40: 50, 70: 60, 90: 60, 500: 60} {
		near(t, "reading", reading(c, si.Time(60*minutes)).Celsius(), want, 1e-9)
	}
}

func TestOddActivationEnergyIsTold(t *testing.T) {
	for e, odd := range map[float64]bool{58e3: false, 0: true, 58: true, 250e3: true, 20e3: false} {
		law := slow()
		law.Kinetics.E1 = si.MolarEnergy(e)
		if got := oddConstants(law).Code != ""; got != odd {
			t.Errorf("%.3g J/mol: odd %v", e, got)
		}
	}
	law := slow()
	law.Kinetics.A2, law.Kinetics.E2 = 0, 0 // an n-th order law has no second rate
	if oddConstants(law).Code != "" {
		t.Error("a rate that is not there is judged")
	}
	if math.IsNaN(*oddConstants(resin.Law{Kinetics: resin.Kinetics{A1: 1}}).Value) {
		t.Error("not a number")
	}
}

// A room that cools at night: the hours below the resin's working temperature are
// told while the laminate is wet, not when it has gelled, and its cure follows.
func TestColdNightInTheRoom(t *testing.T) {
	in := onPlywood(t, "laminating-epoxy-slow")
	in.Shop, in.Before, in.MinShop, in.Spec.In = si.Celsius(18), 0, si.Celsius(15), Room
	night := func(after float64) Result {
		in.Spec.Schedule = given(0, 18, 60*after, 18, 60*(after+6), 7, 60*(after+12), 7, 60*(after+20), 18, 60*80, 18)
		return simulate(t, in)
	}
	early, late := night(4), night(40)
	if severity(early, "shop-too-cold") != fault.Caution || severity(late, "shop-too-cold") != "" {
		t.Errorf("a night after 4 h: %+v; after 40 h: %+v", early.Findings, late.Findings)
	}
	if !(*early.Gel > *late.Gel+3600) {
		t.Errorf("gels after %v s, and without the night after %v s", *early.Gel, *late.Gel)
	}
	if severity(early, "ramp-too-fast") != "" || late.Peak > si.Celsius(19) {
		t.Errorf("%+v", early.Findings)
	}
}
