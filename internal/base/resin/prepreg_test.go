package resin

import (
	"math"
	"strconv"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// prepreg is the published law of an aerospace prepreg in two parts: up to a degree
// of cure of 0.3 it is (B − α) times a law of Kamal and Sourour with a negative A₂,
// beyond of first order. The rate jumps there.
func prepreg(c one) (early func(t, a float64) float64, late Kinetics) {
	k := Kinetics{A1: si.Rate(c.in("A1") / 60), A2: si.Rate(c.in("A2") / 60),
		E1: si.MolarEnergy(c.in("E1")), E2: si.MolarEnergy(c.in("E2")), M: 1, N: 1}
	return func(t, a float64) float64 { return (c.in("B") - a) * k.chemical(t, a) },
		Kinetics{A1: si.Rate(c.in("A3") / 60), E1: si.MolarEnergy(c.in("E3")), N: 1}
}

func TestPrepregRate(t *testing.T) {
	c, constants := load(t, "kin_3501-6_rate"), load(t, "kin_3501-6_isothermal_400K")
	early, late := prepreg(constants)
	for i, a := range list(c.Inputs["alpha"]) {
		got := 60 * early(c.in("T_K"), a)
		if a > 0.3 {
			got = 60 * late.chemical(c.in("T_K"), a)
		}
		want := list(c.Expected["rate_1_min"])[i]
		near(t, c.Name, got, want, 1e-4*want)
	}
}

// The run stops where the law jumps, and goes on with the other part.
func TestPrepregHolds(t *testing.T) {
	for _, name := range []string{"kin_3501-6_isothermal_400K", "kin_3501-6_isothermal_425K", "kin_3501-6_isothermal_450K"} {
		c := load(t, name)
		at := c.in("T_K")
		early, late := prepreg(c)
		solver := func(rate func(t, a float64) float64) *num.Solver {
			return num.NewSolver(num.Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, dy []float64) { dy[0] = rate(at, y[0]) }}, 1e-8)
		}
		jump, y := math.NaN(), []float64{c.in("alpha0")}
		if err := solver(early).Run(0, 7200, y, func(s *num.Step) bool {
			x, ok := s.Crossing(func(_ float64, y []float64) float64 { return y[0] - 0.3 })
			if ok {
				jump = x
			}
			return !ok
		}); err != nil {
			t.Fatal(err)
		}
		for key, want := range c.Expected {
			minutes, err := strconv.Atoi(key[len("alpha_") : len(key)-len("min")])
			if err != nil {
				t.Fatal(err)
			}
			end, got := 60*float64(minutes), []float64{0}
			if end < jump {
				err = solver(early).Run(0, end, got, nil)
			} else {
				got[0] = 0.3
				err = solver(late.chemical).Run(jump, end, got, nil)
			}
			if err != nil {
				t.Fatal(err)
			}
			near(t, name+" "+key, got[0], want.(float64), 2e-6) // six digits are printed
		}
	}
}

// The energy of flow that two viscosities tell.
func TestViscosityAtTwoTemperatures(t *testing.T) {
	c := load(t, "visc_arrhenius_two_point")
	l := Law{Gel: 0.55, Flow: &Flow{Fresh: 1, At: si.Celsius(c.in("T2_C")), E: si.MolarEnergy(c.want("E_J_mol"))}}
	cold, _ := l.Viscosity(si.Celsius(c.in("T1_C")), 0)
	near(t, c.Name, float64(cold), c.in("ratio"), 1e-4*2)
}

// A prepreg's viscosity as published, by a record with its constants.
func TestPrepregFlows(t *testing.T) {
	c := load(t, "visc_3501-6")
	at, degree, want := list(c.Inputs["T_K"]), list(c.Inputs["alpha"]), list(c.Expected["mu_Pa_s"])
	const κ, energy = 14.1, 9.08e4
	l, err := New("prepreg", material.Resin{Kinetics: &material.Kinetics{Model: material.NthOrder, A1: material.Exactly[si.Rate](1e3), E1: material.Exactly[si.MolarEnergy](6e4)},
		Tg:         material.DiBenedetto{Full: material.Exactly(si.Celsius(200))},
		Viscosity:  material.Datum[si.Viscosity]{Known: true, Value: si.Viscosity(want[1]), At: si.Temperature(at[1])},
		ViscosityE: material.Exactly[si.MolarEnergy](energy), ViscosityRise: material.Exactly[si.Fraction](κ)})
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		mu, _ := l.Viscosity(si.Temperature(at[i]), degree[i])
		near(t, c.Name, float64(mu), want[i], 1e-3*want[i])
	}
	if mu, _ := l.Viscosity(400, l.Gel); !math.IsInf(float64(mu), 1) {
		t.Errorf("gelled resin flows: %v", mu)
	}
}
