package mould

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// By hand at 20 degC and 50 %: filler 24 h; two coats of sealer at 1 h; primer 1 h
// and a day; five of wax at 45 min with 12 h after the last, 15 h; three of film at
// 20 min with 1 h after the last.
func TestCoatsAddUp(t *testing.T) {
	t.Parallel()
	in := read(t, boxYAML)
	in.Materials = []Material{
		{"board", material.MouldMaterial{Porous: true, Sealer: 2, SealerDry: material.Exactly(si.Time(3600)),
			Limit: material.Exactly(si.Celsius(60)), Board: material.Exactly(si.Length(0.025)), Density: material.Exactly(si.Density(700))}},
		{"filler", material.MouldMaterial{Dry: material.Exactly(si.Time(24 * 3600)), Limit: material.Exactly(si.Celsius(45))}},
	}
	r := work(t, in)
	near(t, "time", float64(r.Ready), (24+2+25+15+2.0/3+1)*3600, 1e-12)
	if r.Limit == nil || math.Abs(r.Limit.Celsius()-45) > 1e-9 || r.LimitBy != "filler" {
		t.Errorf("limit %v by %s", r.Limit, r.LimitBy)
	}
	for _, code := range []string{"mould-porous", "mould-heat", "shop-humidity-taken"} {
		if !has(r, code) {
			t.Errorf("no %s in %v", code, r.Findings)
		}
	}
	if r.Build.Boards != 2 {
		t.Errorf("%d boards of 25 mm in 50 mm", r.Build.Boards)
	}
	// Two boards of the sharp block's outline and 5 mm all round.
	near(t, "board volume", float64(r.Build.BoardVolume), 2*0.13*0.09*0.025, 1e-3)
	near(t, "board mass", float64(r.Build.BoardMass), 700*2*0.13*0.09*0.025, 1e-3)
}

// Film takes 2.74 times as long at 15 degC and 75 % as at 20 and 50: 55 min a coat.
func TestDampShop(t *testing.T) {
	t.Parallel()
	in := read(t, boxYAML)
	in.Air = Air{Temperature: si.Celsius(15), Humidity: 0.75}
	film := work(t, in).Coats
	near(t, "film", float64(film[len(film)-1].Dry), 55*60, 0.02)
	in.Air = Air{Temperature: si.Celsius(8), Humidity: 0.9}
	if r := work(t, in); !has(r, "air-damp") || !has(r, "air-cold") {
		t.Errorf("findings %v", r.Findings)
	}
}

func TestHeldRefused(t *testing.T) {
	t.Parallel()
	if _, err := Work(read(t, boxYAML+"part: {held: {edge: glued}}")); err == nil {
		t.Error("an edge held in an unknown way was taken")
	}
}
