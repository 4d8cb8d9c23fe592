package strength

import (
	"testing"

	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// By hand: Tg 150 degC dry, 28 K less when moist, wall at 82 degC:
// √((122 − 82)/(150 − 21)) = 0.5568, within what the literature keeps of shear and
// compression hot and wet (0.55 to 0.80, from memory). At room temperature √(101/129).
func TestKeptByHand(t *testing.T) {
	m := Matrix{Glass: si.Celsius(150), WetDrop: 28}
	within(t, "at 82 degC", m.kept(si.Celsius(82)), 0.55684, 1e-4)
	within(t, "at 21 degC", m.kept(si.Celsius(21)), 0.88484, 1e-4)
	within(t, "beyond its glass transition", m.kept(si.Celsius(130)), leastKept, 0)
	within(t, "not known", Matrix{}.kept(si.Celsius(82)), 1, 0)
	within(t, "colder never counts for more", Matrix{Glass: si.Celsius(90)}.kept(si.Celsius(-40)), 1, 0)
}

// A share of the strength raises the index by its inverse where shear or compression
// governs, and not at all where yarns in tension do.
func TestRetentionReachesTheIndex(t *testing.T) {
	in := plate(8, Pinned, 0.3)
	weak := func(f func(*wall.Strength), woven bool) Input {
		l := metal(0.3)
		s := wall.Strength{Xt: 1e12, Xc: 1e12, Yt: 1e12, Yc: 1e12, S: 1e12}
		f(&s)
		l.Strength, l.Woven = &s, woven
		out := in
		out.Layers = []Layer{l}
		return out
	}
	half := si.Fraction(0.5)
	for _, c := range []struct {
		what   string
		f      func(*wall.Strength)
		woven  bool
		factor float64
	}{
		{"shear", func(s *wall.Strength) { s.S = 1e6 }, true, 2},
		{"compression", func(s *wall.Strength) { s.Xc = 1e6 }, true, 2},
		{"yarns in tension", func(s *wall.Strength) { s.Xt = 1e6 }, true, 1},
		{"weft in tension", func(s *wall.Strength) { s.Yt = 1e6 }, true, 1},
		{"across fibres", func(s *wall.Strength) { s.Yt = 1e6 }, false, 2},
	} {
		dry := weak(c.f, c.woven)
		wet := dry
		wet.Spec.Retention = &half
		a, b := run(t, dry).ByCriterion[wall.MaxStress].Index, run(t, wet)
		within(t, c.what, b.ByCriterion[wall.MaxStress].Index/a, c.factor, 1e-9)
		if !has(b, "hot-wet-strength") {
			t.Errorf("%s: nothing says what the margin rests on", c.what)
		}
	}
}

// Heat that is left out is told where the resin would lose much by it, and counted where
// the job asks.
func TestHotWetIsAskedFor(t *testing.T) {
	in := plate(4, Pinned, 0.3)
	l := metal(0.3)
	l.Woven, l.Strength = true, &wall.Strength{Xt: 1e12, Xc: 1e12, Yt: 1e12, Yc: 1e12, S: 1e6}
	in.Layers = []Layer{l}
	in.Cases[0].Wall, in.Matrix = si.Celsius(82), Matrix{Glass: si.Celsius(150), WetDrop: 28}
	dry := run(t, in)
	if !has(dry, "hot-wet-not-counted") || dry.Retention != nil {
		t.Errorf("left out and not told: %v", dry.Findings)
	}
	in.Spec.HotWet = true
	wet := run(t, in)
	within(t, "index", *wet.Index / *dry.Index, 1/0.55684, 1e-4)
	if has(wet, "hot-wet-not-counted") || !has(wet, "hot-wet-strength") {
		t.Errorf("counted and told otherwise: %v", wet.Findings)
	}
}
