package wall

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/si"
)

// Strength ratios of single plies (Kaw, examples 2.13 to 2.19, and constructed
// ones worked out independently).
func TestStrengthRatiosOfLaminae(t *testing.T) {
	keys := map[Criterion]string{MaxStress: "max_stress", MaxStrain: "max_strain",
		TsaiHill: "tsai_hill_modified", TsaiWu: "tsai_wu_mises", Hashin: "hashin"}
	for name, c := range loadCases(t) {
		if !strings.HasPrefix(name, "fail_") || c.Inputs["theta_deg"] == nil {
			continue
		}
		p := read[caseMaterial](t, c.Inputs, "material").ply(0, 1)
		var xy Vec
		if c.Inputs["stress_xy"] != nil {
			xy = read[Vec](t, c.Inputs, "stress_xy")
		} else {
			xy = read[Vec](t, c.Inputs, "stress_xy_per_MPa")
			for i := range xy {
				xy[i] *= 1e6
			}
		}
		s := StressIn(xy, si.Degrees(read[float64](t, c.Inputs, "theta_deg")))
		for criterion, key := range keys {
			f := p.Fail(criterion, Vec{}, s)
			near(t, name+" "+key, f.Ratio, read[float64](t, c.Expected, key), 0)
			if criterion == Hashin {
				want := strings.ReplaceAll(read[string](t, c.Expected, "hashin_mode"), "_", " ")
				if f.Mode != want {
					t.Errorf("%s: mode %q, want %q", name, f.Mode, want)
				}
			}
		}
	}
}

// The coefficients of Tsai and Wu's criterion (Kaw, example 2.19).
func TestTsaiWuCoefficientsOfKaw(t *testing.T) {
	c := loadCases(t)["fail_tsai_wu_coefficients_GE"]
	m := read[caseMaterial](t, c.Inputs, "material").ply(0, 1).modes(TsaiWu)[0]
	for key, got := range map[string]float64{"H1": m.linear[0], "H2": m.linear[1], "H11": m.b11, "H22": m.b22, "H66": m.b33, "H12_mises": m.b12} {
		near(t, key, got, read[float64](t, c.Expected, key), 0)
	}
}

// First ply failure of [0/90/0] under Nx (Kaw, example 5.3).
func TestFirstPlyFailureOfKaw(t *testing.T) {
	c := loadCases(t)["fpf_kaw_5_3_0_90_0_Nx"]
	plies := c.plies(t)
	w, _ := Stiffen(plies)
	want := read[map[string]float64](t, c.Expected, "fpf_N_per_m")
	faces := Stresses(plies, w.Respond(Load{N: Vec{1, 0, 0}}), 0)
	for criterion, key := range map[Criterion]string{TsaiWu: "tsai_wu", MaxStress: "max_stress", MaxStrain: "max_strain", TsaiHill: "tsai_hill_mod"} {
		near(t, key, plies[1].Fail(criterion, Vec{}, faces[1].Top).Ratio, want[key], 0)
		if r := plies[0].Fail(criterion, Vec{}, faces[0].Top).Ratio; r < want[key] {
			t.Errorf("%s: the 0 ply fails first at %g", key, r)
		}
	}
}

// Whatever is held, the stress at the ratio must lie on the criterion's surface:
// failing again from there takes a ratio of 1.
func TestHeldStressStaysWhileLoadScales(t *testing.T) {
	p := caseMaterial{E1: 38.6e9, E2: 8.27e9, G12: 4.14e9, Nu12: 0.26,
		Xt: 1062e6, Xc: 610e6, Yt: 31e6, Yc: 118e6, S: 72e6}.ply(0, 1)
	helds := []Vec{{0, 0, 0}, {-30e6, 20e6, 5e6}, {50e6, -60e6, -20e6}, {-100e6, 20e6, 0}}
	loads := []Vec{{10e6, 1e6, 2e6}, {-10e6, 3e6, 0}, {5e6, -8e6, 4e6}, {0, 0, 1e6}, {200e6, -1e6, 0}}
	for _, c := range Criteria {
		for _, h := range helds {
			for _, l := range loads {
				f := p.Fail(c, h, l)
				if math.IsInf(f.Ratio, 1) {
					t.Errorf("%s: no failure for %v %v", c, h, l)
					continue
				}
				var s Vec
				for i := range s {
					s[i] = h[i] + f.Ratio*l[i]
				}
				near(t, string(c), p.Fail(c, Vec{}, s).Ratio, 1, 0)
			}
		}
	}
}

func TestRatioAtTheEnds(t *testing.T) {
	p := caseMaterial{E1: 100e9, E2: 10e9, G12: 5e9, Nu12: 0.3,
		Xt: 1e9, Xc: 1e9, Yt: 40e6, Yc: 100e6, S: 60e6}.ply(0, 1)
	for _, c := range Criteria {
		if r := p.Fail(c, Vec{}, Vec{}).Ratio; !math.IsInf(r, 1) {
			t.Errorf("%s: no load fails at %g", c, r)
		}
		if r := p.Fail(c, Vec{0, 45e6, 0}, Vec{1e6, 0, 0}).Ratio; r != 0 {
			t.Errorf("%s: a ply that heat alone has broken has ratio %g, want 0", c, r)
		}
	}
	if index, mode := p.Index(MaxStress, Vec{0, 20e6, 0}); index != 0.5 || mode != "matrix tension" {
		t.Errorf("index %g %q, want 0.5 in matrix tension", index, mode)
	}
	p.Woven = true
	if _, mode := p.Index(Hashin, Vec{0, 20e6, 0}); mode != "weft tension" {
		t.Errorf("mode %q of a weave, want weft tension", mode)
	}
}

// ε₁ = (σ₁ − ν₁₂σ₂)/E₁ = (100 + 0.28·5) MPa/E₁ against 1500 MPa/E₁, by hand.
func TestFibreStrainGoverns(t *testing.T) {
	f := graphite.ply(0, 1).Fail(MaxStrain, Vec{}, Vec{100e6, -5e6, 0})
	near(t, "ratio", f.Ratio, 1500/101.4, 0)
	if f.Mode != "fibre tension" {
		t.Errorf("mode %q", f.Mode)
	}
}
