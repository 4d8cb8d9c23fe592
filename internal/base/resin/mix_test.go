package resin

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Conversions at gel by Flory and Stockmayer; that of Carothers is an upper bound,
// and the gel that is taken where a record has none lies between four and five
// amine hydrogens.
func TestGelPoint(t *testing.T) {
	c := load(t, "gel_flory_diepoxide_amine")
	upper := load(t, "gel_carothers")
	_, _, usual := defaultsOf(material.Resin{})
	want := list(c.Expected["alpha_gel"])
	for i, fa := range list(c.Inputs["fa"]) {
		a, ok := GelPoint(c.in("r"), c.in("fe"), fa)
		near(t, c.Name, a, want[i], 1e-4)
		for k, f := range list(upper.Inputs["fa"]) {
			if bound := list(upper.Expected["alpha"])[k]; !ok || f == fa && !(a < bound && usual < bound) {
				t.Errorf("%g hydrogens: gel at %.3f, bound %.3f", fa, a, bound)
			}
		}
	}
	if !(want[1] < usual && usual < want[0]) {
		t.Errorf("the usual gel %.3f is not between %.3f and %.3f", usual, want[1], want[0])
	}
	c = load(t, "gel_flory_off_ratio")
	for _, index := range []float64{c.in("r"), 1 / c.in("r")} {
		a, _ := GelPoint(index, c.in("fe"), c.in("fa"))
		near(t, c.Name, a, c.want("alpha_gel_minority"), 1e-4)
	}
	if _, ok := GelPoint(0.3, 2, 4); ok { // below a third nothing gels
		t.Error("gels without hardener")
	}
}

// The heat of a mix by its equivalents, and the same from the mixing ratio of a
// record that does not tell its heat.
func TestHeatOfMix(t *testing.T) {
	for _, name := range []string{"heat_from_equivalents_IPDA", "heat_from_equivalents_TETA", "heat_from_equivalents_D230"} {
		c := load(t, name)
		want := c.want("H_J_kg")
		near(t, name, float64(HeatOfMix(c.in("EEW")/1e3, c.in("AHEW")/1e3)), want, 1e-4*want)
		record := material.Resin{Mix: material.Mix{Resin: 100, Hardener: HardenerParts(c.in("EEW"), c.in("AHEW"))}}
		near(t, name+" of a record", float64(heatOf(record)), want, 1e-4*want)
	}
}

func TestEquivalents(t *testing.T) {
	c := load(t, "stoich_eew_blend")
	var blend []Share
	for i, w := range list(c.Inputs["w"]) {
		e, _ := c.Inputs["EEW"].([]any)[i].(float64) // null: filler
		blend = append(blend, Share{w, e})
	}
	near(t, c.Name, Equivalent(blend...), c.want("EEW_blend"), 2e-3*209)
	near(t, c.Name, HardenerParts(Equivalent(blend...), c.in("AHEW")), c.want("phr"), 2e-3*20)
	c = load(t, "stoich_DETA")
	amine := AmineEquivalent(c.in("M"), int(c.in("nH")))
	near(t, c.Name, amine, c.want("AHEW"), 1e-6*20)
	near(t, c.Name, HardenerParts(c.in("EEW"), amine), c.want("phr"), 1e-6*10)
	c = load(t, "stoich_table_EEW190")
	for name, phr := range c.Expected["phr"].(map[string]any) {
		want := phr.(float64)
		near(t, name, HardenerParts(c.in("EEW"), c.Inputs["AHEW"].(map[string]any)[name].(float64)), want, 1e-3*want)
	}
	if e := Equivalent(Share{10, 0}); !math.IsInf(e, 1) {
		t.Errorf("a filler holds an equivalent in %g", e)
	}
}

func TestHardenerOff(t *testing.T) {
	c := load(t, "mix_error_effect")
	for i, h := range list(c.Inputs["hardener_g"]) {
		want := list(c.Expected["index"])[i]
		near(t, c.Name, Index(material.Mix{Resin: 100, Hardener: c.in("phr_nominal")}, c.in("resin_g"), h), want, 1e-6)
	}
}

// A cup that loses nothing ends H/c warmer than it began.
func TestAdiabaticRise(t *testing.T) {
	c := load(t, "cup_adiabatic_rise")
	l := amine(1e-3, 0.1, 55e3, 298.15)
	l.Heat, l.Cp = si.SpecificEnergy(c.in("H_J_kg")), si.SpecificHeat(c.in("c_J_kgK"))
	p, err := l.Watch(Cup{Mass: 0.1, Air: 298.15, Loss: 1e-15})
	if err != nil {
		t.Fatal(err)
	}
	near(t, c.Name, float64(p.Peak-298.15), c.want("dT_K"), 1e-6*c.want("dT_K"))
}
