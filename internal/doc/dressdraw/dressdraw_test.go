package dressdraw

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
)

// hood is a box that film goes over with slits, wet out from two pots.
const hood = `laywright: 1
mould:
  kind: plug
  solids: [{block: {size: {unit: mm, xyz: [200, 150, 60]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "15 mm", draft: "30 deg"}}]
  triangle: "10 mm"
  flange: "25 mm"
  pull: [0, 0, 1]
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: glass-satin-300, angle: "0 deg"}, {fabric: glass-satin-300, angle: "0 deg"}]
roll: {search: "0.01 s", gap: "3 mm"}
wetout: {cup_limit: "20 g"}
bag: {style: one-sided, vacuum: "24 inHg", bleeder_plies: 2}
`

func texts(layers []draw.Layer) (out []string) {
	for _, l := range layers {
		for _, it := range l.Items {
			if w, ok := it.(draw.Text); ok {
				out = append(out, w.String)
			}
		}
	}
	return out
}

// What is drawn is what the plan says: each piece at full size, and each roll with all
// pieces that come off it, inside its edges.
func TestDrawnAsPlanned(t *testing.T) {
	plan := jobtest.Plan(t, hood, nil)
	pieces := Pieces(plan, "part")
	if len(pieces) != 3 {
		t.Fatalf("%d pieces drawn, want peel ply, film and bleeder", len(pieces))
	}
	outlines := plan.DressOutlines()
	for _, p := range pieces {
		page, err := pattern.BoardSheet(p)
		if err != nil {
			t.Fatal(err)
		}
		words := strings.Join(texts(page.Layers), "\n")
		if !strings.Contains(words, p.Name) || !strings.Contains(words, "quarter turns") {
			t.Errorf("%s: its sheet says %q", p.Name, words)
		}
		if got, want := p.Saw[0].Outer.Area(), outlines[p.Name].Area(); got != want {
			t.Errorf("%s: %v m² drawn, want %v", p.Name, got, want)
		}
		if p.Name == "RF1" && len(p.Knife) == 0 && len(p.Drill) == 0 {
			t.Error("the film's slits are not drawn")
		}
		if p.Name == "BL1" && !strings.Contains(words, "Cut 2.") {
			t.Error("two layers of bleeder are cut, and its sheet does not say so")
		}
	}
	for _, r := range plan.Dress.Rolls {
		page := RollPage(plan, r)
		if len(texts(page.Layers)) != len(r.Placements) {
			t.Errorf("%s: %d names for %d pieces", r.Material, len(texts(page.Layers)), len(r.Placements))
		}
		checkInside(t, page, r.Material)
	}
}

// checkInside holds the drawn lines against the page, which is the roll, mm.
func checkInside(t *testing.T, page draw.Page, name string) {
	t.Helper()
	for _, l := range page.Layers {
		for _, it := range l.Items {
			path, ok := it.(draw.Path)
			for _, p := range path.Points {
				if box := page.Box(); ok && (p.X < box.Min.X-1e-3 || p.Y < box.Min.Y-1e-3 || p.X > box.Max.X+1e-3 || p.Y > box.Max.Y+1e-3) {
					t.Errorf("%s: %v lies off the roll", name, p)
				}
			}
		}
	}
}

// The film of each pot shows its pieces by their numbers, inside the box.
func TestFilmPicture(t *testing.T) {
	plan := jobtest.Plan(t, hood, nil)
	c, box := plan.Dress.Carrier, r2.NewBox(10, 10, 90, 70)
	if len(c.Batches) != 2 {
		t.Fatalf("%d batches, want two pots' worth", len(c.Batches))
	}
	for _, b := range c.Batches {
		items := FilmPicture(plan, c.Width, b, "head", box)
		words := strings.Join(texts([]draw.Layer{{Items: items}}), "\n")
		for _, p := range b.Pieces {
			if !strings.Contains(words, p.Piece) {
				t.Errorf("pot %d: %s is not named in %q", b.Pot, p.Piece, words)
			}
		}
		for _, it := range items {
			if path, ok := it.(draw.Path); ok {
				if in := geom.Polygon(path.Points).Bounds(); in.Min.X < box.Min.X-0.01 || in.Max.Y > box.Max.Y+0.01 || math.IsNaN(in.Min.Y) {
					t.Errorf("pot %d: drawn at %v, off %v", b.Pot, in, box)
				}
			}
		}
	}
}

// A plan without plies has nothing to draw.
func TestNothingToDraw(t *testing.T) {
	if p := Pieces(job.Plan{}, ""); p != nil {
		t.Errorf("%+v", p)
	}
}
