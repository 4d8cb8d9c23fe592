package job_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// panel is a whole job on a flat plate, where areas are known by hand.
const panel = `
laywright: 1
job: {quantity: 2, seed: 1}
shop: {temperature: "20 degC", elevation: "0 m"}
mould: {kind: plug, solids: [{plate: {length: "300 mm", width: "200 mm"}}], pull: [0, 0, 1], materials: [plate-glass]}
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.42
  stack: [{fabric: glass-twill-290, angle: "0 deg"}, {fabric: glass-light-105, angle: "0 deg"}]
plies: {trim_allowance: "20 mm"}
roll: {search: "0.1 s"}
bag: {style: one-sided, vacuum: "20 inHg"}
cure: {in: room, schedule: {unit: [h, degC], points: [[0, 20], [24, 20]]}}
bench: {hands: 1, pace: {wet_out: "8 min", place: "10 min", bag: "40 min"}}
`

// What a stage works out reaches the next one: areas, masses, counts and times
// of a flat panel, by hand.
func TestPanelByHand(t *testing.T) {
	p := mustMake(t, panel)
	near := func(what string, got, want, rel float64) {
		t.Helper()
		if !(math.Abs(got-want) <= rel*math.Abs(want)) {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	near("area of the mould", float64(p.Mould.Area), 0.3*0.2, 1e-9)
	near("cloth", float64(p.Wetout.Cloth), 0.3*0.2*(0.290+0.105), 1e-6)
	for _, ply := range p.Plies.Plies {
		near("area of ply "+ply.Fabric, float64(job.PlyArea(ply)), 0.3*0.2, 1e-6)
	}
	// a strip of 20 mm round it, by Steiner's formula
	const cut = 0.3*0.2 + 2*(0.3+0.2)*0.02 + math.Pi*0.02*0.02
	outlines := p.Outlines()
	if len(outlines) != 2 {
		t.Errorf("%d outlines, want 2", len(outlines))
	}
	for name, outline := range outlines {
		near("cut outline of "+name, math.Abs(outline.Area()), cut, 1e-4)
	}
	for _, r := range p.Roll.Rolls {
		if len(r.Placements) != 2 {
			t.Errorf("%s: %d pieces on the roll, want one for each of two parts", r.Material, len(r.Placements))
		}
		near("use of "+r.Material, r.Use, 2*cut/float64(r.Width*r.Length), 1e-4)
	}
	// 18 minutes a ply, 40 for the bag; the rest is one mixing
	wet := float64(*p.Bench.BagDown - *p.Bench.WetStart)
	mixing := wet - (2*18+40)*60
	if mixing <= 0 || mixing > 15*60 {
		t.Errorf("from the first mixing to the vacuum %v s, %v s of them for mixing", wet, mixing)
	}
	line := p.Cure.Schedule.Time
	near("end of the cure", float64(line[len(line)-1]), wet+24*3600, 1e-9)
}

// A wall as warm as the shop that it was cured in is free of heat stress, and
// one that is warmer is not: held all round by what does not grow, it can't either. Closed form: the index
// is 1 over what the load may grow by while the heat stress stays.
func TestHeatStressCountsFromTheShop(t *testing.T) {
	const held = `laywright: 1
shop: {temperature: "30 degC"}
mould: {kind: plug, solids: [{plate: {length: "200 mm", width: "100 mm"}}], pull: [0, 0, 1]}
part: {trim: whole, held: {edge: clamped, expansion: "0 1/K"}}
duty: {loads: {pressure: "1 kPa", deflection_limit: "2 mm"}}
laminate: {stack: [{ply: p, angle: "0 deg"}]}
materials: {plies: {p: {E1: "181 GPa", E2: "10.3 GPa", G12: "7.17 GPa", nu12: 0.28, thickness: "2 mm", density: "1600 kg/m^3",
  alpha1: "0.02e-6 1/K", alpha2: "22.5e-6 1/K", Xt: "1500 MPa", Xc: "1500 MPa", Yt: "40 MPa", Yc: "40 MPa", S: "68 MPa"}}}
`
	index := func(wall string) float64 {
		return *mustMake(t, strings.Replace(held, "{loads: {", "{loads: {wall_temperature: \""+wall+"\", ", 1)).Strength.Index
	}
	cold, warm := index("30 degC"), index("90 degC")
	// stress across the fibres, held back, of 40 MPa: what is left bears the load
	const q22 = 10.3e9 / (1 - 0.28*0.28*10.3/181)
	const q12 = 0.28 * q22
	const share = (q22*22.5e-6 + q12*0.02e-6) * 60 / 40e6
	if !(math.Abs(warm*(1-share)/cold-1) < 0.002) {
		t.Errorf("index %v at the shop's 30 degC and %v at 90 degC, want %v", cold, warm, cold/(1-share))
	}
}

// The vacuum there is goes by the shop's height: the standard atmosphere at
// 1500 m, US Standard Atmosphere 1976, table of pressures.
func TestVacuumGoesByTheShopsHeight(t *testing.T) {
	p := mustMake(t, strings.Replace(bagged, "1300 m", "1500 m", 1))
	if got := float64(p.Bag.Available); math.Abs(got-84556) > 10 {
		t.Errorf("%v Pa of vacuum to be had at 1500 m, want 84556", got)
	}
}

// The sum of what is cut, mixed and laid for one part, at the library's prices.
func TestCostIsTheSum(t *testing.T) {
	p, set := mustMake(t, panel), library(t)
	want := float64(p.Wetout.ToMix) * set.Resins["laminating-epoxy-slow"].CostPerKg
	for _, r := range p.Roll.Rolls {
		used := float64((r.Bought - r.Rest) * r.Width)
		for _, m := range r.Left {
			used -= float64(m.Area)
		}
		want += used * set.Fabrics[r.Material].CostPerM2 / float64(max(1, p.Job.Quantity))
	}
	for name, area := range map[string]float64{"peel-ply-80": float64(p.Bag.PeelPlyArea), "release-film-perforated": float64(p.Bag.FilmSheet),
		"bleeder-150": float64(p.Bag.BleederArea + p.Bag.BreatherArea), "release-film-solid": float64(p.Bag.BarrierArea), "bag-film-nylon-50": float64(p.Bag.FilmArea)} {
		want += area * set.Consumables[name].CostPerM2
	}
	want += float64(p.Bag.Tape) * set.Consumables["sealant-tape-12"].CostPerM
	if p.Cost == nil || !(math.Abs(*p.Cost-want) <= 1e-9*want) {
		t.Errorf("cost %v, want %v", p.Cost, want)
	}
}

func TestNoSumWithoutEveryPrice(t *testing.T) {
	own := `materials: {fabrics: {glass-light-105: {areal_mass: "105 g/m^2", fibre: e-glass, weave: plain, width: "1 m", locking: "40 deg"}}}` + "\n"
	p := mustMake(t, panel+own)
	if p.Cost != nil {
		t.Errorf("cost %v, though one cloth has no price", *p.Cost)
	}
	if f := finding(p, "price-unknown"); f == nil || !strings.Contains(f.What, "glass-light-105") {
		t.Errorf("no finding that says whose price lacks: %+v", f)
	}
}

// A shop that is not described is taken at 20 °C, and a finding says so.
func TestUsualShop(t *testing.T) {
	f := finding(mustMake(t, kit), "shop-temperature-taken")
	if f == nil || f.Value == nil || math.Abs(*f.Value-20) > 1e-9 || f.Unit != "degC" {
		t.Errorf("finding %+v, want one of 20 degC", f)
	}
	if f := finding(mustMake(t, bagged), "shop-temperature-taken"); f != nil {
		t.Errorf("finding %+v, though the job says how warm the shop is", f)
	}
	told := strings.Replace(kit, "laywright: 1", "laywright: 1\nshop: {temperature: \"20 degC\"}", 1)
	a, b := mustMake(t, kit).Wetout, mustMake(t, told).Wetout
	if *a.FilmGel != *b.FilmGel {
		t.Errorf("a film gels after %v s in the usual shop and %v s at 20 degC", *a.FilmGel, *b.FilmGel)
	}
}

// The fraction that the wall was worked out with, against the one that the bag leaves.
func TestWallAgainstBag(t *testing.T) {
	for _, c := range []struct {
		fraction string
		differs  bool
	}{{"0.30", true}, {"0.48", false}} {
		p := mustMake(t, strings.Replace(bagged, "0.42", c.fraction, 1))
		f := finding(p, "too-dry")
		if (f != nil) != c.differs {
			t.Errorf("at %s the bag leaves %.3f: finding %+v", c.fraction, p.Bag.Fraction, f)
		}
		if f != nil && (*f.Value != p.Bag.Fraction || math.Abs(*f.Limit-0.36) > 1e-9) {
			t.Errorf("finding compares %v with %v %s", *f.Value, *f.Limit, f.Unit)
		}
	}
}

func finding(p job.Plan, code string) *fault.Finding {
	if i := slices.IndexFunc(p.Findings, func(f fault.Finding) bool { return f.Code == code }); i >= 0 {
		return &p.Findings[i]
	}
	return nil
}
