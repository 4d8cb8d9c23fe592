package oven

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, abs float64) {
	t.Helper()
	if !(math.Abs(got-want) <= abs) {
		t.Errorf("%s: %.7g, want %.7g ± %.2g", what, got, want, abs)
	}
}

// box is 1.2 × 0.8 × 0.6 m with 50 mm of insulation of 0.035 W/(m K), 1 kW, 5
// changes of air an hour.
func box(t *testing.T, wall si.Length, load si.Mass) Box {
	t.Helper()
	s := Spec{Wall: wall, Heater: 1000, Load: load}
	s.Size.V = r3.Vec{X: 1.2, Y: 0.8, Z: 0.6}
	b, err := New(s, si.Celsius(20))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Case oven_heatup of the reference collection: UA 3.53074 W/K, C 49132.2 J/K of 25 kg of
// steel at 500 and 40 kg of mould at 900 J/(kg K), 2118.7 s to 40 K, 283.227 K at most.
func TestHeatUp(t *testing.T) {
	b := box(t, 0.050, 25)
	near(t, "UA", b.UA, 3.53074, 1e-3*3.53)
	near(t, "C", b.C+40*900, 49132.2, 1)
	b.UA, b.C = 3.53074, 49132.2
	near(t, "heat up", b.HeatUp(40), 2118.7, 0.1)
	near(t, "time constant", b.C/b.UA, 13915.6, 0.1)
	near(t, "ceiling", b.Ceiling()-b.Shop, 283.227, 1e-3)
	if !math.IsInf(b.HeatUp(284), 1) {
		t.Error("a box goes past its ceiling")
	}
	// Walls of bare sheet: 1/(1/10 + 1/10) = 5 W/(m² K) on 4.32 m², 864 W at 40 K, and the leak.
	near(t, "bare", box(t, 0, 0).UA*40-0.576*5*1098/3600*40, 864, 1e-9)
}

// A relay walked through by its own exponentials, in steps of a fiftieth of a second:
// its period and its mean, which the averaged thermostat stands for.
func TestCycleAgainstRelay(t *testing.T) {
	b := box(t, 0.050, 25)
	hold := b.Shop + 40
	on, off, ok := b.Cycle(hold)
	if !ok {
		t.Fatal("no cycle")
	}
	const dt = 0.02
	air, heating, sum, n, switched := hold, true, 0.0, 0, []float64{}
	for i := 0; len(switched) < 5; i++ {
		end := b.Shop
		if heating {
			end = b.Ceiling()
		}
		air = end + (air-end)*math.Exp(-b.UA/b.C*dt)
		if on := air <= hold-b.Band/2; on || air >= hold+b.Band/2 {
			if on != heating {
				switched = append(switched, float64(i)*dt)
			}
			heating = on
		}
		if len(switched) > 0 {
			sum, n = sum+air, n+1
		}
	}
	near(t, "off", switched[1]-switched[0], off, 0.3)
	near(t, "on", switched[2]-switched[1], on, 0.3)
	near(t, "mean", sum/float64(n), hold, 0.05)
	near(t, "duty", on/(on+off), b.Duty(hold), 1e-3)
}

// Once the start is forgotten, air on full heat stays behind, a schedule that the
// heater can follow is followed, and what goes in comes out.
func TestFlow(t *testing.T) {
	b := box(t, 0.050, 25)
	slow := Now{Air: b.Shop + 30, Set: b.Shop + 30, Slope: 10.0 / 3600, Taken: 20}
	rate, heater, lost := b.Flow(slow)
	near(t, "followed", rate, slow.Slope, 1e-12)
	near(t, "balance", heater, b.C*rate+lost+20, 1e-9)
	fast := slow
	fast.Slope = 1
	rate, heater, _ = b.Flow(fast)
	near(t, "full heat", heater, 1000, 1e-9)
	near(t, "full rate", rate, (1000-b.UA*30-20)/b.C, 1e-12)
	over := Now{Air: b.Shop + 30, Set: b.Shop + 20}
	rate, heater, _ = b.Flow(over)
	near(t, "coasting", rate, -b.UA*30/b.C, 1e-12)
	near(t, "no heat", heater, 0, 1e-9)
	over.Slope = -0.01
	if rate, _, _ = b.Flow(over); !(rate < -0.01) {
		t.Errorf("with the door open the air falls by %v", rate)
	}
	near(t, "lean", Box{Shop: 290, Spread: 6}.Lean(-1, 310, 330), -1.5, 1e-12)
}

// A first-order part behind a sine, from the textbook: amplitude 1/√(1+(ωτ)²).
func TestSwing(t *testing.T) {
	b := Box{Band: 4}
	near(t, "fast cycle", b.Swing(600, 60), 2/(2*math.Pi*10), 1e-3)
	near(t, "slow cycle", b.Swing(1, 1e6), 2, 1e-6)
}

func TestRefusals(t *testing.T) {
	good := Spec{Heater: 1000}
	good.Size.V = r3.Vec{X: 1, Y: 1, Z: 1}
	for name, change := range map[string]func(*Spec){
		"no size":   func(s *Spec) { s.Size.V = r3.Vec{} },
		"NaN":       func(s *Spec) { s.Size.V.Y = math.NaN() },
		"no heater": func(s *Spec) { s.Heater = 0 },
	} {
		s := good
		change(&s)
		if _, err := New(s, 293); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
