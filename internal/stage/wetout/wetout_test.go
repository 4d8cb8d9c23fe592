package wetout

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, abs float64) {
	t.Helper()
	if !(math.Abs(got-want) <= abs) {
		t.Errorf("%s: %.8g, want %.8g ± %.2g", what, got, want, abs)
	}
}

// kit is a duct of 0.35 m²: one glass and three carbon plies at the trade's
// ratios, 100:70 glass and 100:85 carbon (common practice, no source).
func kit() Input {
	return Input{Area: 0.35, Resin: "e", Mixing: mixing, Mix: material.Mix{Resin: 100, Hardener: 27},
		Spec: Spec{CupLimit: 0.1, Lost: bind.Auto[si.Fraction]{Given: true, Value: 0.2}},
		Layers: []Layer{
			{Name: "glass", Areal: 0.105, Ratio: 0.70}, {Name: "carbon", Areal: 0.193, Ratio: 0.85},
			{Name: "carbon", Areal: 0.193, Ratio: 0.85}, {Name: "carbon", Areal: 0.193, Ratio: 0.85},
		}}
}

const mixing = 180 // s

// brisk is a law whose film gels in the given hours at 25 degC; r₀ = 0.1, E = 55
// kJ/mol. At 1 h, 100 g lives 9.4 min to gel (case computed with LSODA).
func brisk(hours float64) *resin.Law {
	const gel = 3.31798 // K₂·t at α = 0.55 and r₀ = 0.1, closed form
	a := si.Rate(gel / (hours * 3600) * math.Exp(55e3/(8.314462618*298.15)))
	return &resin.Law{Kinetics: resin.Kinetics{A1: 0.1 * a, A2: a, E1: 55e3, E2: 55e3, M: 1, N: 2},
		Heat: 430e3, Gel: 0.55, Cp: 1900, K: 0.2, Density: 1150, Glass: resin.Glass{Start: si.Celsius(-45), Full: si.Celsius(98), Lambda: 0.4}}
}

// Worked by hand: 0.35·(0.105 + 3·0.193) = 0.2394 kg of cloth, and so on.
func TestDuctKit(t *testing.T) {
	r, err := Weigh(kit())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "cloth", float64(r.Cloth), 0.2394, 1e-12)
	near(t, "resin in part", float64(r.ResinInPart), 0.1979775, 1e-12)
	near(t, "part", float64(r.PartMass), 0.4373775, 1e-12)
	near(t, "to mix", float64(r.ToMix), 0.237573, 1e-12)
	near(t, "hardener", float64(*r.Hardener), 0.237573*27/127, 1e-12)
	near(t, "resin and hardener", float64(*r.Resin+*r.Hardener), 0.237573, 1e-12)
	if len(r.Pots) != 3 {
		t.Errorf("%d pots, want 3", len(r.Pots))
	}
	if r.Pots[0].UseBefore != nil || !has(r, "pots-without-clock") {
		t.Error("times from a resin without a law")
	}
	sum := 0.0
	for _, p := range r.Pots {
		sum += float64(p.Mass)
	}
	near(t, "pots together", sum, 0.237573, 1e-12)
}

func TestLimitThatDividesEvenly(t *testing.T) {
	in := kit()
	in.Spec.CupLimit = si.Mass(0.237573 / 3)
	if r, err := Weigh(in); err != nil || len(r.Pots) != 3 {
		t.Errorf("%d pots, %v", len(r.Pots), err)
	}
}

func TestAbsorbedAndSoaked(t *testing.T) {
	in := kit()
	in.Absorbers = []Absorber{{"peel ply", 0.040, 0.5}}
	in.Layers = append(in.Layers, Layer{Name: "foam", Soaked: 0.2, Solid: 0.4})
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "resin in part", float64(r.ResinInPart), 0.1979775+0.07, 1e-12)
	near(t, "absorbed", float64(r.Absorbed), 0.02, 1e-12)
	near(t, "to mix", float64(r.ToMix), 1.2*(0.1979775+0.07+0.02), 1e-12)
	near(t, "part", float64(r.PartMass), 0.4373775+0.07+0.14, 1e-12)
}

// Five to one by volume of 1150 and 1050 kg/m³ is 5.476 to one by mass (a
// supplier's rule, worked by hand).
func TestByVolume(t *testing.T) {
	in := kit()
	in.Mix, in.ResinDensity, in.HardenerDensity = material.Mix{Resin: 5.47619, Hardener: 1}, 1150, 1050
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "parts by volume", *r.ByVolume, 20, 1e-4)
	near(t, "mass of both volumes", float64(*r.ResinVolume)*1150+float64(*r.HardenerVol)*1050, float64(r.ToMix), 1e-12)
}

// The glass errs by 3 % of 0.03675·1.7 kg, the carbon of 0.20265·1.85 kg, the
// hand by 10 % of 0.1979775 kg; squares add.
func TestMassRange(t *testing.T) {
	r, err := Weigh(kit())
	if err != nil {
		t.Fatal(err)
	}
	half := math.Sqrt(math.Pow(0.03*0.03675*1.7, 2) + math.Pow(0.03*0.20265*1.85, 2) + math.Pow(0.01979775, 2))
	near(t, "low", float64(r.MassLow), 0.4373775-half, 1e-9)
	near(t, "high", float64(r.MassHigh), 0.4373775+half, 1e-9)
}

func TestPotsFollowTheClock(t *testing.T) {
	in := kit()
	in.Law, in.Shop = brisk(1), si.Celsius(25)
	for i := range in.Layers {
		in.Layers[i].Work = 360 // four plies: 24 min
	}
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "film gel", float64(*r.FilmGel), 3600, 1)
	for i, p := range r.Pots {
		each := 1440 / float64(len(r.Pots))
		near(t, "mixed at", float64(p.At), float64(i)*(each+mixing), 1e-9)
		if each > inHand*float64(*p.Life) {
			t.Errorf("pot %d takes %.0f s of a life of %.0f s", i, each, float64(*p.Life))
		}
		near(t, "use before", float64(*p.UseBefore-p.At), 0.6*float64(*p.Life), 1e-9)
	}
	// 100 g live 9.4 min, so 60 % are 5.6 min and the three pots of the limit, 8 min each, won't do.
	if len(r.Pots) <= 3 {
		t.Errorf("%d pots", len(r.Pots))
	}
	if !has(r, "cup-runs-off") {
		t.Error("no warning of a cup that smokes")
	}
}

func TestTooFastResinStops(t *testing.T) {
	in := kit()
	in.Law, in.Shop = brisk(0.25), si.Celsius(35)
	for i := range in.Layers {
		in.Layers[i].Work = 420
	}
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	if severity(r, "first-ply-gels") != fault.Stop || !has(r, "shop-too-warm") {
		t.Errorf("findings: %+v", r.Findings)
	}
}

func TestShopAndScale(t *testing.T) {
	in := kit()
	in.Law, in.Shop, in.MinShop, in.Humidity = brisk(6), si.Celsius(10), si.Celsius(15), 0.8
	in.Spec.Scale = 1e-3
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	if severity(r, "shop-too-cold") != fault.Caution || severity(r, "shop-too-humid") != fault.Caution || severity(r, "scale") != fault.Caution {
		t.Errorf("findings: %+v", r.Findings) // 1 g of 16.8 g is 6 %
	}
}

func TestRefusals(t *testing.T) {
	for field, change := range map[string]func(*Input){
		"part.area":                           func(in *Input) { in.Area = 0 },
		"part.area is":                        func(in *Input) { in.Area = si.Area(math.NaN()) },
		"wetout.cup_limit":                    func(in *Input) { in.Spec.CupLimit = 1e-4 },
		"wetout.lost":                         func(in *Input) { in.Spec.Lost.Value = -0.1 },
		"laminate.stack:":                     func(in *Input) { in.Layers = nil },
		"laminate.stack[1].resin_ratio":       func(in *Input) { in.Layers[1].Ratio = math.Inf(1) },
		"materials.resins.e.mix.hardener is ": func(in *Input) { in.Mix.Hardener = 300 },
		"shop.humidity":                       func(in *Input) { in.Humidity = 55 },
	} {
		in := kit()
		change(&in)
		if _, err := Weigh(in); err == nil || !strings.HasPrefix(err.Error(), field) {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func has(r Result, code string) bool { return severity(r, code) != "" }

func severity(r Result, code string) fault.Severity {
	for _, f := range r.Findings {
		if f.Code == code {
			return f.Severity
		}
	}
	return ""
}

// The section as a job file writes it.
func TestSpecReads(t *testing.T) {
	root, problems := bind.Parse([]byte(`{cup_limit: "100 g", lost: "18 %", pace: "8 min", scale: "0.1 g"}`))
	var s Spec
	b := bind.New()
	b.Into(&s, "wetout", root)
	if len(problems)+len(b.Problems) > 0 {
		t.Fatal(problems, b.Problems)
	}
	near(t, "cup", float64(s.CupLimit), 0.1, 1e-15)
	near(t, "lost", float64(s.Lost.Value), 0.18, 1e-15)
	near(t, "pace", float64(s.Pace), 480, 1e-9)
	near(t, "scale", float64(s.Scale), 1e-4, 1e-15)
}

// A limit of nothing must not pass for the usual one.
func TestNothingIsNotAbsent(t *testing.T) {
	for _, text := range []string{`{cup_limit: "0 g"}`, `{cup_limit: "-100 g"}`, `{pace: "0 min"}`, `{scale: "-1 g"}`} {
		root, _ := bind.Parse([]byte(text))
		var s Spec
		b := bind.New()
		if b.Into(&s, "wetout", root); len(b.Problems) != 1 {
			t.Errorf("%s: %v", text, b.Problems)
		}
	}
}

// Five of resin to one of hardener by volume (case mix_ratio_mass_from_volume).
func TestMixByVolume(t *testing.T) {
	var all []struct {
		Name             string
		Inputs, Expected map[string]float64
	}
	raw, err := os.ReadFile("testdata/cases.json")
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil || all[0].Name != "mix_ratio_mass_from_volume" {
		t.Fatal(err)
	}
	c, in := all[0], kit()
	in.Mix = material.Mix{Resin: c.Expected["mass_ratio"], Hardener: 1}
	in.ResinDensity, in.HardenerDensity = si.Density(1e3*c.Inputs["rho_r"]), si.Density(1e3*c.Inputs["rho_h"])
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, c.Name, *r.ByVolume, 100/c.Inputs["vol_ratio"], 1e-5*20)
	near(t, c.Name, float64(*r.Resin / *r.Hardener), c.Expected["mass_ratio"], 1e-9)
}

// What is mixed may be told without a part: one pot of it, what becomes of it,
// and a shallow tray of the same volume.
func TestMixAlone(t *testing.T) {
	in := Input{Spec: Spec{Mixed: 0.3, CupLimit: 0.3}, Resin: "e", Mix: material.Mix{Resin: 100, Hardener: 30}, Law: brisk(4), Shop: si.Celsius(27)}
	r, err := Weigh(in)
	if err != nil {
		t.Fatal(err)
	}
	s := r.Cup
	if len(r.Pots) != 1 || s == nil || s.Tray == nil || s.RunsOff == nil || s.Peak != *r.Pots[0].Peak {
		t.Fatalf("%+v", s)
	}
	near(t, "hardener", float64(*r.Hardener), 0.3*30/130, 1e-12)
	near(t, "volume in the tray", float64(s.Tray.Area)*float64(s.Tray.Depth), 0.3/1150, 1e-9)
	if s.SafeAny || s.SafeMass != nil && *s.SafeMass >= s.Mass {
		t.Errorf("%v kg runs off, and %v kg is said to be safe", s.Mass, *s.SafeMass)
	}
	in.Layers = kit().Layers
	if _, err := Weigh(in); err == nil || !strings.Contains(err.Error(), "wetout.mix") {
		t.Errorf("a mix beside a laminate: %v", err)
	}
}
