package plydraw

import (
	"bytes"
	"math"
	"os"
	"strings"

	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/pdf"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
	"laywright/internal/stage/plies"
)

// hood is a box whose corners must be slit, in two plies that can't share their
// seams, on a coarse mesh.
const hood = `
laywright: 1
job: {name: Hood}
mould:
  kind: plug
  solids:
    - block: {size: {unit: mm, xyz: [200, 150, 60]}, edge: "20 mm", draft: "8 deg"}
  triangle: "9 mm"
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: glass-satin-300, angle: "0 deg"}, {fabric: glass-satin-300, angle: "0 deg"}]
plies: {seed: {unit: mm, xyz: [0, 0, 60]}, warp: [1, 0, 0]}
`

func planOf(t *testing.T, source string) job.Plan {
	t.Helper()
	return jobtest.Plan(t, source, nil)
}

var hoodPlan *job.Plan

// planned makes the hood once.
func planned(t *testing.T) job.Plan {
	t.Helper()
	if hoodPlan == nil {
		p := planOf(t, hood)
		hoodPlan = &p
	}
	return *hoodPlan
}

func printed(pages ...draw.Page) string {
	var words []string
	for _, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if x, ok := it.(draw.Text); ok {
					words = append(words, x.String)
				}
			}
		}
	}
	return strings.Join(words, " ")
}

// Every picture stays on its page, in either system; no number is none; two
// drawings are the same bytes.
func TestPicturesStayOnTheirPages(t *testing.T) {
	p := planned(t)
	for _, show := range []string{"us", "metric"} {
		q := p
		if show == "us" {
			q.Spec.Show = "us"
		}
		pages := Pages(q)
		for _, pg := range pages {
			for _, it := range pg.Layer(draw.Paper) {
				if b := it.Bounds(); b.Min.X < 3 || b.Min.Y < 3 || b.Max.X > pg.W-3 || b.Max.Y > pg.H-3 {
					t.Errorf("%s: %T at %v leaves a page of %.0f x %.0f mm", pg.Name, it, b, pg.W, pg.H)
				}
			}
		}
		all := printed(pages...)
		for _, bad := range []string{"NaN", "Inf", "%!"} {
			if strings.Contains(all, bad) {
				t.Errorf("%q stands on a picture", bad)
			}
		}
		if a, b := bytesOf(t, pages), bytesOf(t, Pages(q)); !bytes.Equal(a, b) {
			t.Error("two drawings of one plan differ")
		}
	}
}

func bytesOf(t *testing.T, pages []draw.Page) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, pages, pdf.Meta{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The pictures of a slit ply show its limit, its seed, its slits and its pieces;
// the map of seams has a row for each.
func TestPicturesShowThePlies(t *testing.T) {
	p := planned(t)
	a := Open(p)
	kinds := a.Kinds()
	seams, any := a.Seams()
	if len(kinds) == 0 || !any {
		t.Fatalf("%d kinds of ply, seams: %v", len(kinds), any)
	}
	rows := 0
	for _, k := range kinds {
		shear := a.Shear(k)
		all := printed(shear.Page())
		for _, s := range []string{k.Label(), "limit 55°", "largest shear", "Heavy line on paper: slit", "Threads every"} {
			if !strings.Contains(all, s) {
				t.Errorf("%s: %q is not there", shear.Name, s)
			}
		}
		flat := printed(a.Flat(k).Page())
		for _, ply := range k.Plies {
			if !strings.Contains(all, ply.Pieces[0].Name) {
				t.Errorf("%s does not name %s", shear.Name, ply.Pieces[0].Name)
			}
		}
		if !strings.Contains(flat, k.First.Pieces[0].Name) {
			t.Errorf("the flat piece %s has no name", k.First.Pieces[0].Name)
		}
		rows += len(k.First.Seams)
	}
	if len(seams.Table.Rows) != rows || rows < 4 {
		t.Errorf("%d rows for %d seams of a box", len(seams.Table.Rows), rows)
	}
}

// The scale of colours holds the locking angle, however little the cloth shears,
// and the largest shear where that is more.
func TestScaleHoldsTheLimit(t *testing.T) {
	p := planned(t)
	k := kindsOf(p)[0]
	for top, want := range map[float64]float64{0.5: 55, 54: 55, 61: 65} {
		r := ShearRange(p, k.First.Fabric, []float64{0, top, math.NaN()})
		if r.High != want || r.Limit == nil || *r.Limit != 55 {
			t.Errorf("shear to %g°: scale to %g°", top, r.High)
		}
	}
}

// Plies that lie alike are one kind, in the order of the first of each.
func TestKinds(t *testing.T) {
	a, b := &plies.Laid{}, &plies.Laid{Flat: []r2.Vec{{X: 1}}}
	p := job.Plan{Plies: &plies.Result{Plies: []plies.Ply{{Number: 1, Fabric: "g", Laid: a}, {Number: 2, Fabric: "g", Laid: b}, {Number: 4, Fabric: "c", Laid: a}, {Number: 7, Fabric: "g", Laid: a}, {Number: 9}}}}
	kinds := kindsOf(p)
	if len(kinds) != 2 || kinds[0].Label() != "Plies 1, 4 and 7" || kinds[1].Label() != "Ply 2" {
		t.Fatalf("%+v", kinds)
	}
	if got := kinds[0].Cloth(); got != "g and c at 0°" {
		t.Errorf("%q", got)
	}
	if got := kinds[0].sign(); got != "1·4·7" {
		t.Errorf("%q", got)
	}
	if Open(job.Plan{}).All() != nil || Open(p).All() != nil {
		t.Error("a plan without a mould has pictures")
	}
}

// The hemisphere of docs/theory: the most that cloth shears on it, at the rim on
// the bias, is 52.4252° by integration of (z·γ′)′ = cos γ along the bias, as the
// page says.
func TestDomeOfTheTheoryPage(t *testing.T) {
	source, err := os.ReadFile(root + "/docs/pictures/dome.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := planOf(t, string(source))
	if got := p.Plies.Plies[0].ShearMax.Degrees(); math.Abs(got-rimShear()) > 0.5 {
		t.Errorf("sheared by %.2f°, the page says %.2f°", got, rimShear())
	}
	if got := rimShear(); math.Abs(got-52.43) > 0.005 {
		t.Errorf("the page says 52.43°, worked out %.4f°", got)
	}
}

// rimShear follows the bias from the pole to the rim: with r = 2u,
//
//	γ″ + γ′/r = cos γ,   dθ/dr = cos(45° − γ/2),   to θ = 90°
func rimShear() float64 {
	γ, slope, θ, r := 0.0, 0.0, 0.0, 1e-6
	slope = r / 2
	const h = 1e-4
	rates := func(r, γ, slope float64) (float64, float64, float64) {
		return slope, math.Cos(γ) - slope/r, math.Cos(math.Pi/4 - γ/2)
	}
	for {
		a1, b1, _ := rates(r, γ, slope)
		a2, b2, c2 := rates(r+h/2, γ+h/2*a1, slope+h/2*b1)
		step := c2 * h
		if θ+step >= math.Pi/2 {
			share := (math.Pi/2 - θ) / step
			return (γ + share*h*a2) * 180 / math.Pi
		}
		γ, slope, θ, r = γ+h*a2, slope+h*b2, θ+step, r+h
	}
}

// The order of work has each step's number where its arrow ends in sight, and a
// row for it; a step that is out of sight from one side is seen from the other.
func TestOrderOfWork(t *testing.T) {
	p := planned(t)
	steps := []plies.AdviceStep{
		{Kind: began, What: "Lay it down.", From: [3]float64{0, 0, 0.06}, To: [3]float64{0.02, 0, 0.06}},
		{Kind: "line", What: "To the left.", From: [3]float64{0, 0, 0.06}, To: [3]float64{0.098, 0, 0.02}, Also: [][2][3]float64{{{0, 0, 0.06}, {-0.098, 0, 0.02}}}, Shear: 0.1},
		{Kind: "line", What: "To the back.", From: [3]float64{0, 0, 0.06}, To: [3]float64{0, 0.073, 0.02}},
	}
	pic := Open(p).work(kindsOf(p)[0], steps)
	count := map[string]int{}
	for _, it := range pic.Draw(r2.NewBox(0, 0, 160, 90)) {
		if x, ok := it.(draw.Text); ok {
			count[x.String]++
		}
	}
	if count["1"] != 2 || count["2"] != 2 || count["3"] != 1 {
		t.Errorf("numbers in two views: %v", count)
	}
	if rows := pic.Table.Rows; len(rows) != 3 || rows[1][2] != "5.7°" || rows[0][2] != "" {
		t.Errorf("%q", rows)
	}
}
