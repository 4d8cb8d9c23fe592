package coats

import (
	"math"
	"slices"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/radius"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %.6g, want %.6g within %.3g %%", what, got, want, 100*relative)
	}
}

// By the steam tables ([iapws-if97]): air at 20 degC and 50 % lacks 1169.7 Pa, at
// 15 degC and 75 % a quarter of 1705.7, at 30 degC and 30 % seven tenths of 4247.
func TestWaterDriesByTheDeficit(t *testing.T) {
	near(t, "as usual", Water.Factor(usual), 1, 1e-12)
	near(t, "cool and damp", Water.Factor(Air{si.Celsius(15), 0.75}), 1169.7/(0.25*1705.7), 5e-3)
	near(t, "hot and dry", Water.Factor(Air{si.Celsius(30), 0.3}), 1169.7/(0.7*4247), 5e-3)
	if a, b := Water.Factor(Air{si.Celsius(20), 0.95}), Water.Factor(Air{si.Celsius(20), 1}); a != b {
		t.Errorf("fog takes %g, the dampest %g", b, a)
	}
}

// The trade's numbers for film: 15 to 30 min a coat, and one to two hours in cool
// or damp air. Toluene's vapour pressure is 2.91 kPa at 20 and 4.89 at 30 degC
// ([nist-webbook], from memory): 1.68 times as fast. A reaction doubles in 10 K.
func TestFactorsMeetPractice(t *testing.T) {
	if dry := float64(film.in(Air{si.Celsius(22), 0.5}, 1, material.Practice).Dry) / 60; dry < 15 || dry > 30 {
		t.Errorf("film dries in %.0f min", dry)
	}
	if last := float64(film.in(Air{si.Celsius(15), 0.65}, 1, material.Practice).Last) / 3600; last < 1 || last > 2.2 {
		t.Errorf("film in cool air dries in %.1f h", last)
	}
	near(t, "solvent", 1/Solvent.Factor(Air{Temperature: si.Celsius(30)}), 4.89/2.91, 0.03)
	near(t, "reaction", Reaction.Factor(Air{Temperature: 300})/Reaction.Factor(Air{Temperature: 310}), 2, 1e-3)
}

func input() Input {
	return Input{Air: usual, Face: 0.5, Part: 0.4, Fillets: 2,
		Shape: radius.Areas{Flat: 0.2, Single: 0.2, Double: 0.1},
		Bodies: []Body{{Name: "board", Porous: true, Sealer: 2, SealerDry: material.Exactly(si.Time(3600))},
			{Name: "filler", Porous: true, Sealer: 1, SealerDry: material.Exactly(si.Time(1800)), Hardening: material.Exactly(si.Time(24 * 3600))}}}
}

// Added up by hand: filler 24 h; two coats of sealer at 1 h; two of primer, 1 h and
// then 24 h; five of wax, 4·45 min and 12 h; three of film, 2·20 min and 1 h.
func TestCoatsAddUp(t *testing.T) {
	p := Make(input())
	near(t, "drying", float64(p.Ready), (24+2+25+15+2.0/3+1)*3600, 1e-12)
	// 2·120 g/m² on 0.5 m², 2·250 mL/m² likewise, 5·15 g/m² and 3·65 mL/m² on 0.4 m².
	near(t, "sealer", float64(*p.Coats[1].Mass), 0.120, 1e-12)
	near(t, "primer", float64(*p.Coats[2].Volume), 250e-6, 1e-12)
	near(t, "wax", float64(*p.Coats[3].Mass), 0.030, 1e-12)
	near(t, "film", float64(*p.Coats[4].Volume), 78e-6, 1e-12)
	if p.Coats[1].What != "sealer on board and filler" {
		t.Errorf("sealed: %s", p.Coats[1].What)
	}
	if !slices.Equal(p.Coats[0].Sand, []int{80, 120, 180, 240}) || !slices.Equal(p.Coats[2].Sand, []int{320, 400}) || len(p.Paper) != 6 || p.Paper[0].Sheets != 2 {
		t.Errorf("sanding %v", p.Paper)
	}
	// 1 + 0.2·1.5 + 0.2·3 + 0.1·6 + 2·0.2 + 0.4·0.75, and twice to 2.5 times that.
	low, high := Hours(p.Work)
	near(t, "least hours", float64(low)/3600, 1+0.3+0.6+0.6+0.4+0.3, 1e-12)
	near(t, "most hours", float64(high)/3600, 2+0.6+1.2+1.2+1+0.6, 1e-12)
}

// Whatever the air, a day lies between primer and wax; in the cold, more.
func TestPrimerStandsADay(t *testing.T) {
	in := input()
	for c, want := range map[float64]bool{35: true, 20: true, 10: false} {
		in.Air.Temperature = si.Celsius(c)
		last := Make(in).Coats[2].Last
		if (last == 24*3600) != want || last < 24*3600 {
			t.Errorf("at %g degC primer stands %.1f h", c, float64(last)/3600)
		}
	}
}

// Glass is bought smooth: wiped, waxed and filmed.
func TestGlassIsNotSanded(t *testing.T) {
	in := input()
	in.Bodies = []Body{{Name: "glass"}}
	p := Make(in)
	if len(p.Coats) != 2 || len(p.Paper) != 0 || len(p.Work) != 1 {
		t.Errorf("%+v", p)
	}
}

func TestClearTakesMore(t *testing.T) {
	in := input()
	_, painted := Hours(Make(in).Work)
	in.Finish = Clear
	p := Make(in)
	if _, high := Hours(p.Work); high <= painted || p.Paper[len(p.Paper)-1].Grit != 1000 {
		t.Errorf("clear takes %g s, painted %g s, %v", float64(high), float64(painted), p.Paper)
	}
}
