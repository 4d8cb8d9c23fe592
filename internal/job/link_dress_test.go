package job_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// dressed is a plate under a bag, wet out from several pots.
const dressed = `laywright: 1
job: {quantity: 2}
mould:
  kind: plug
  solids: [{plate: {length: "400 mm", width: "300 mm"}}]
  pull: [0, 0, 1]
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack:
    - {fabric: carbon-twill-200, angle: "0 deg"}
    - {core: pvc-foam-80, thickness: "5 mm"}
    - {fabric: carbon-twill-200, angle: "45 deg"}
    - {fabric: carbon-twill-200, angle: "0 deg"}
roll: {search: "0.01 s", gap: "3 mm"}
wetout: {cup_limit: "50 g"}
bag: {style: one-sided, vacuum: "24 inHg", bleeder_plies: 2}
`

// What lies over the cloth is cut for all parts, from rolls of its own; a flat plate takes
// what the bag reckons: its area with a margin round it.
func TestDress(t *testing.T) {
	p := mustMake(t, dressed)
	d := p.Dress
	if d == nil || d.Carrier == nil {
		t.Fatal("nothing is cut beside the cloth")
	}
	var uses []string
	for _, s := range d.Sheets {
		uses = append(uses, s.Use)
		if apart := math.Abs(float64(s.Area/s.Expected) - 1); apart > 0.05 || s.Coverage < 1-1e-6 {
			t.Errorf("%s: %.4f m² for %.4f, %.6f covered", s.Use, float64(s.Area), float64(s.Expected), s.Coverage)
		}
	}
	if want := []string{"peel ply", "release film", "bleeder", "bag film"}; !slices.Equal(uses, want) {
		t.Errorf("sheets %v, want %v", uses, want)
	}
	outlines, counts := p.DressOutlines(), map[string]int{}
	for _, r := range d.Rolls {
		for _, x := range r.Placements {
			counts[x.Piece]++
			if len(outlines[x.Piece]) < 3 {
				t.Errorf("%s has no outline", x.Piece)
			}
		}
	}
	for piece, want := range map[string]int{"PP1": 2, "RF1": 2, "BL1": 4, "BF1": 2} {
		if counts[piece] != want {
			t.Errorf("%d of %s on the rolls, want %d for two parts", counts[piece], piece, want)
		}
	}
	for _, r := range p.Roll.Rolls {
		if r.Material != "carbon-twill-200" {
			t.Errorf("the cloth's rolls hold %s", r.Material)
		}
	}
	checkCarrier(t, p)
}

// checkCarrier holds the films against the plies and the pots: every piece of cloth once,
// in the order of the stack, and no film without a pot.
func checkCarrier(t *testing.T, p job.Plan) {
	t.Helper()
	var laid, plies []string
	resin := 0.0
	for _, b := range p.Dress.Carrier.Batches {
		if b.Pot < 1 || b.Pot > len(p.Wetout.Pots) {
			t.Errorf("a film for pot %d of %d", b.Pot, len(p.Wetout.Pots))
		}
		for _, x := range b.Pieces {
			laid, resin = append(laid, x.Piece), resin+float64(x.Resin)
		}
	}
	for _, ply := range p.Plies.Plies {
		for _, piece := range ply.Pieces {
			plies = append(plies, piece.Name)
		}
	}
	if !slices.Equal(laid, plies) {
		t.Errorf("laid out %v, want %v", laid, plies)
	}
	core := float64(p.Wetout.ResinInPart) - resin
	if len(p.Wetout.Pots) > 1 && len(p.Dress.Carrier.Batches) < 2 || core <= 0 || core > 0.6*resin {
		t.Errorf("%d batches for %d pots; the core's faces would take %.1f g of %.1f", len(p.Dress.Carrier.Batches), len(p.Wetout.Pots), 1e3*core, 1e3*resin)
	}
}

// A mirrored part has the same pieces turned over: as many again.
func TestDressOfAMirroredPart(t *testing.T) {
	p := mustMake(t, strings.Replace(dressed, "laminate:", "part: {mirrored: x}\nlaminate:", 1))
	for _, r := range p.Dress.Rolls {
		if r.Material == "peel-ply-80" && len(r.Placements) != 4 {
			t.Errorf("%d pieces of peel ply for two pairs", len(r.Placements))
		}
	}
}

func TestCarrierFilmIsOne(t *testing.T) {
	for name, what := range map[string]string{"peel-ply-80": "carrier film", "nosuch": "nosuch"} {
		_, err := refusal(t, strings.Replace(dressed, `cup_limit: "50 g"`, `cup_limit: "50 g", carrier_film: `+name, 1))
		var in *fault.Input
		if !errors.As(err, &in) || in.Field != "wetout.carrier_film" || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A job without plies or a bag has nothing to dress.
func TestNothingToDress(t *testing.T) {
	for name, source := range map[string]string{"nothing": "laywright: 1\n", "kit": kit, "kit in a bag": kit + "bag: {style: envelope}\n"} {
		if p := mustMake(t, source); p.Dress != nil {
			t.Errorf("%s: %+v", name, p.Dress)
		}
	}
}
