package resin

import (
	"math"
	"testing"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// steady is a resin that heats for ever at a rate that only the temperature sets:
// what the theories of Semenov and of Frank-Kamenetskii take.
func steady() *Law {
	return &Law{Kinetics: Kinetics{A1: 1e-6 * si.Rate(math.Exp(60e3/(gasConstant*293.15))), E1: 60e3, N: 0},
		Heat: 4e6, Gel: 0.5, Cp: 1900, K: 0.2, Density: 1150, Glass: Glass{Start: 220, Full: 370, Lambda: 0.4}}
}

// A lump with heat q(T) = m·H·A·exp(−E/RT) and loss UA·(T − Ta) runs off where the
// line touches the curve: T² − ET/R + ETa/R = 0, T* the lower root, and there
// m·H·k(T*)·E/(R·T*²) = UA. Closed form of [semenov1928], the exponential as it is.
func TestTameMassIsSemenovs(t *testing.T) {
	l, air := steady(), 293.15
	er := float64(l.Kinetics.E1) / gasConstant
	touch := er / 2 * (1 - math.Sqrt(1-4*air/er))
	heatsLike := func(m, ua float64) float64 { // 1 where it just runs off
		return m * float64(l.Heat) * l.rate(touch, 0) * er / (touch * touch) / ua
	}
	for _, v := range []Vessel{{}, {Shape: Tin}, {Shape: FoamCup, Diameter: 0.08}, {Shape: PaperCup}} {
		want, err := num.Root(func(m float64) float64 {
			return math.Log(heatsLike(m, tameLoss*float64(v.CoreLoss(si.Mass(m), l))))
		}, 1e-4, 50, 1e-9)
		if err != nil {
			t.Fatal(err)
		}
		got, err := l.Tame(v, si.Temperature(air), 0, 1e-3, 5)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "tame mass", float64(got), want, 0.012*want)
	}
	want, err := num.Root(func(d float64) float64 {
		v := Vessel{Shape: Tray, Depth: si.Length(d)}
		return math.Log(heatsLike(0.1, tameLoss*float64(v.CoreLoss(0.1, l))))
	}, 1e-4, 1, 1e-9)
	if err != nil {
		t.Fatal(err)
	}
	got, err := l.TameDepth(si.Temperature(air), 0, 1e-4, 1)
	near(t, "tame depth", float64(got), want, 0.012*want)
	if err != nil {
		t.Error(err)
	}
}

// With walls that cost nothing the middle runs off at the critical numbers 0.878 of
// a slab's half thickness and 2.00 of a long cylinder's radius [frank-kamenetskii1939].
func TestCoreRunsOffAtCriticalSize(t *testing.T) {
	l := steady()
	inner := func(v Vessel, m si.Mass) float64 { // without the wall
		return 1 / (1/float64(v.CoreLoss(m, l)) - 1/float64(v.Loss(m, l.Density)))
	}
	// δ = E·q·L²/(R·T²·k) with q from m·q/ρ·E/(R·T²) = UA/e
	delta := func(ua, volume, size float64) float64 { return ua / math.E / volume * size * size / float64(l.K) }
	tray := Vessel{Shape: Tray, Depth: 0.3}
	near(t, "slab", delta(inner(tray, 1), 1/1150.0, 0.15), 0.878, 1e-9)
	pipe := Vessel{Diameter: 0.02} // so much of it that it stands 10 m high
	m := si.Mass(1150 * math.Pi / 4 * 0.02 * 0.02 * 10)
	near(t, "cylinder", delta(inner(pipe, m), float64(m)/1150, 0.01), 2.0, 1e-5)
}

// The usual cup loses what the fit of data sheets takes.
func TestUsualVesselIsTheCup(t *testing.T) {
	for _, m := range []si.Mass{0.02, 0.1, 1.5} {
		near(t, "loss", float64(Vessel{}.Loss(m, 1150)/CupLoss(m)), 1, 1e-12)
	}
	for i, v := range []Vessel{{}, {Shape: PaperCup}, {Shape: FoamCup}, {Shape: Tin}} {
		if next := (Vessel{Shape: Tin}).Loss(0.1, 1150); i < 3 && v.Loss(0.1, 1150) <= next {
			t.Errorf("vessel %d loses less than bright tin", i)
		}
	}
	// A cylinder 80 mm wide and 40 mm deep, by hand: two ends and a wall.
	m := si.Mass(1150 * math.Pi / 4 * 0.08 * 0.08 * 0.04)
	near(t, "cup of a width", float64(Vessel{Diameter: 0.08}.Loss(m, 1150)), 0.11/0.012*(2*math.Pi/4*0.0064+math.Pi*0.0032), 1e-9)
}

// Warm resin that does not react cools as exp(−UA·t/mc), exactly.
func TestInertCupCools(t *testing.T) {
	l := steady()
	l.Kinetics.A1 = 1e-30
	_, course, err := l.Trace(Cup{Mass: 0.1, Air: 293.15, Start: 313.15, Loss: 0.11}, 60)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(course.Time); n < 10 || n > 60 {
		t.Errorf("%d points", n)
	}
	for i, at := range course.Time {
		near(t, "temperature", float64(course.Temperature[i]), 293.15+20*math.Exp(-0.11*at/(0.1*1900)), 0.02)
	}
}

// Without loss all heat stays: the rise is H/c, and the
// course ends where the resin smokes.
func TestCourseEndsInSmoke(t *testing.T) {
	l, err := New("r", pair(55e3))
	if err != nil {
		t.Fatal(err)
	}
	pot, course, err := l.Trace(Cup{Mass: 0.1, Air: si.Celsius(25), Loss: 1e-9}, 60)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rise", float64(pot.Peak-si.Celsius(25)), 430e3/1900.0, 0.5)
	last := course.Temperature[len(course.Temperature)-1]
	if last < Smoke || last > Smoke+40 || len(course.Time) > 60 || pot.RunsAt == nil || !(*pot.RunsAt > *pot.To50) {
		t.Errorf("%d points to %.0f degC; runs off at %v", len(course.Time), last.Celsius(), pot.RunsAt)
	}
}

func TestWarmMixGoesSooner(t *testing.T) {
	l, err := New("r", pair(55e3))
	if err != nil {
		t.Fatal(err)
	}
	cool, _ := l.Watch(Cup{Mass: 0.1, Air: si.Celsius(20)})
	warm, _ := l.Watch(Cup{Mass: 0.1, Air: si.Celsius(20), Start: si.Celsius(30)})
	if !(*warm.Gel < *cool.Gel*7/10) {
		t.Errorf("gel %v s warm, %v s cool", *warm.Gel, *cool.Gel)
	}
}
