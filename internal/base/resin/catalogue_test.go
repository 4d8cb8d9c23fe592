package resin

import (
	"os"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

func library(t *testing.T) map[string]material.Resin {
	t.Helper()
	raw, err := os.ReadFile("../../store/catalogue/data/resins.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, problems := bind.Parse(raw)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var set material.Set
	b := bind.New()
	b.Into(&set, "", root)
	if len(b.Problems) > 0 {
		t.Fatal(b.Problems)
	}
	return set.Resins
}

// Every class of the library calibrates, meets its own sheet, gels at the bench
// in hours, is solid after a day in a 23 degC shop and firmer after a post-cure.
// The bounds are what data sheets of these classes differ by.
func TestLibraryResins(t *testing.T) {
	records := library(t)
	for _, name := range []string{"laminating-epoxy-slow", "laminating-epoxy-fast", "high-temperature-epoxy", "medium-heat-epoxy", "toughened-epoxy"} {
		r, ok := records[name]
		if !ok {
			t.Errorf("no %s", name)
			continue
		}
		l, err := New(name, r)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, x := range l.Fit.Readings {
			t.Logf("%s: %s %.5g, model %.5g %s", name, x.What, x.Sheet, x.Model, x.Unit)
			if x.Off() {
				t.Errorf("%s misses its sheet: %s %.5g, model %.5g %s", name, x.What, x.Sheet, x.Model, x.Unit)
			}
		}
		t.Logf("%s: ratio %.3f, shift %.1f K", name, l.Fit.Ratio, *l.Fit.Shift)
		if l.Fit.Ratio < 0.02 || l.Fit.Ratio > 0.4 {
			t.Errorf("%s: ratio %.3f is not that of an amine", name, l.Fit.Ratio)
		}
		gel, ok, err := l.GelTime(si.Celsius(16))
		if err != nil || !ok || gel < 3600 || gel > 24*3600 {
			t.Errorf("%s: gel at 16 degC after %.1f h, %v", name, gel/3600, err)
		}
		day, err := l.After(0, []Hold{{86400, si.Celsius(23)}})
		if err != nil || l.Glass.Transition(day) < si.Celsius(23) {
			t.Errorf("%s: after a day Tg %.1f degC, %v", name, l.Glass.Transition(day).Celsius(), err)
		}
		t.Logf("%s: gel at 16 degC %.2f h; after a day at 23 degC %.3f, Tg %.1f", name, gel/3600, day, l.Glass.Transition(day).Celsius())
	}
}
