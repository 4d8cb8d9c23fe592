package cure

import (
	"math"
	"testing"

	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Resin 27 mm deep in air on both faces, as a cup is: its middle gels and peaks as
// an independent method of lines has it.
func TestDeepResin(t *testing.T) {
	c := load(t, "cup_1d_slab_27mm")
	for name, hours := range map[string]float64{"film_gel_1h": 1, "film_gel_3h": 3, "film_gel_6h": 6} {
		s := newSlab(castResin(c, hours), nil, []Layer{{Name: "resin", Thickness: si.Length(c.in("L_m")), Density: 1, Cp: 1, Through: si.Conductivity(c.in("k"))}},
			c.in("h"), c.in("h"))
		y, peak, gel := atRest(s), 0.0, math.NaN()
		middle := len(s.cells) / 2
		if err := num.NewSolver(s.problem(), slabTolerance).Run(0, hours*3600, y, func(st *num.Step) bool {
			if at, ok := st.Crossing(func(_ float64, y []float64) float64 { return y[2*middle+1] - 0.55 }); ok {
				gel = at
			}
			peak = math.Max(peak, st.End()[2*middle])
			return true
		}); err != nil {
			t.Fatal(err)
		}
		want := c.Expected[name].(map[string]any)
		at := want["t_gel_centre_s"].(float64)
		near(t, name+" gel", gel, at, 0.002*at) // the case allows 0.02
		near(t, name+" peak", peak-273.15, want["T_centre_peak_C"].(float64), 1)
	}
}

// castResin is the case's resin, whose film gels in the hours given at 25 degC.
func castResin(c one, hours float64) *resin.Law {
	const gel = 3.31798 // K₂·t at α = 0.55 and r₀ = 0.1 (case kin_horie_gel_integral_r0_0.1 of base/resin)
	a := si.Rate(gel / (hours * 3600) * math.Exp(c.in("E_J_mol")/(8.314462618*298.15)))
	e := si.MolarEnergy(c.in("E_J_mol"))
	return &resin.Law{Kinetics: resin.Kinetics{A1: si.Rate(c.in("r0")) * a, A2: a, E1: e, E2: e, M: 1, N: 2},
		Heat: si.SpecificEnergy(c.in("H_J_kg")), Gel: 0.55, Density: si.Density(c.in("rho")), Cp: si.SpecificHeat(c.in("c_J_kgK")),
		K: si.Conductivity(c.in("k"))}
}

// atRest is a slab as fresh and as warm as the air of 25 degC round it.
func atRest(s *slab) []float64 {
	s.back = func(float64) float64 { return 298.15 }
	s.front = s.back
	y := make([]float64, 2*len(s.cells))
	for i := range s.cells {
		y[2*i] = 298.15
	}
	return y
}

// Frank-Kamenetskii's slab, whose faces are held and whose reaction does not run
// out: it runs off past δ = E·q·L²/(R·T²·k) = 0.878, L half its thickness, where the
// activation energy is high. Two high ones lead there along a line in RT/E.
func TestRunsOffWhereFrankKamenetskiiSays(t *testing.T) {
	c := load(t, "cup_frank_kamenetskii_critical")
	at := func(ratio float64) float64 { // critical δ at E/RT = ratio
		low, high := 0.5, 1.5
		for range 16 {
			δ := (low + high) / 2
			if runsOff(t, δ, ratio) {
				high = δ
			} else {
				low = δ
			}
		}
		return (low + high) / 2
	}
	a, b := at(250), at(500)
	near(t, c.Name, 2*b-a, c.want("slab_half_thickness"), c.Tolerance["abs"])
}

func runsOff(t *testing.T, δ, ratio float64) (off bool) {
	t.Helper()
	const temp, half, k, rhoCp, gas = 298.15, 0.01, 0.2, 1e6, 8.314462618
	e := ratio * gas * temp
	q := δ * gas * temp * temp * k / (e * half * half) // W/m³ at temp
	// so little reacts of so much heat that none is used up
	const heat, density = 1e15, 1000.0
	law := &resin.Law{Kinetics: resin.Kinetics{A1: si.Rate(q / (heat * density) * math.Exp(ratio)), E1: si.MolarEnergy(e)},
		Heat: heat, Density: density, Cp: rhoCp / density, K: k}
	s := &slab{law: law}
	s.cut([]Layer{{Thickness: 2 * half, Density: 1, Cp: 1, Through: k}}, 0, 60)
	s.join(1e9, 1e9)
	y, middle := atRest(s), len(s.cells)/2
	const tau = half * half * rhoCp / k
	far := temp * (1 + 4/ratio) // the middle of the last quiet slab is 1.2·RT²/E warmer
	if err := num.NewSolver(s.problem(), 1e-9).Run(0, 500*tau, y, func(st *num.Step) bool {
		off = st.End()[2*middle] > far
		return !off
	}); err != nil {
		t.Fatal(err)
	}
	return off
}

// The other two bodies of the case by the steady balance θ” + j/ξ·θ' = −δ·exp θ,
// integrated from the middle outwards: scaled so that its face is cold, each middle
// temperature belongs to one δ, and the largest of these is critical.
func TestCriticalBodies(t *testing.T) {
	c := load(t, "cup_frank_kamenetskii_critical")
	for name, j := range map[string]float64{"slab_half_thickness": 0, "long_cylinder_radius": 1, "sphere_radius": 2} {
		const tiny = 1e-6
		y := []float64{0, -tiny / (1 + j)} // near the middle θ = −ξ²/(2(1+j))
		critical := 0.0
		s := num.NewSolver(num.Problem{N: 2, Lower: 1, Upper: 1, Scale: []float64{1, 1}, F: func(x float64, y, dy []float64) {
			dy[0], dy[1] = y[1], -math.Exp(y[0])-j/x*y[1]
		}}, 1e-9)
		if err := s.Run(tiny, 10, y, func(st *num.Step) bool {
			for i := range 20 { // δ = ξ²·exp θ(ξ) where the face is at ξ
				x, at := st.T0+st.H*float64(i)/20, []float64{0, 0}
				st.At(x, at)
				critical = math.Max(critical, x*x*math.Exp(at[0]))
			}
			return true
		}); err != nil {
			t.Fatal(err)
		}
		near(t, name, critical, c.want(name), c.Tolerance["abs"])
	}
}
