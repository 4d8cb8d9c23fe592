package strengthdraw

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pdf"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
	"laywright/internal/stage/strength"
)

// vault is a job whose part folds, swings and uses some of its strength; held and show
// as given.
func vault(t *testing.T, held, show string) job.Plan {
	t.Helper()
	const nx, na, radius = 8, 8, 0.15
	m := &mesh.Mesh{}
	for i := range nx + 1 {
		for k := range na + 1 {
			s, c := math.Sincos((float64(k)/na - 0.5) * 0.12 / radius)
			m.Vertices = append(m.Vertices, r3.Vec{X: 0.16 * float64(i) / nx, Y: radius * s, Z: radius * (c - 0.9)})
		}
	}
	for i := range int32(nx) {
		for k := range int32(na) {
			a, b := i*(na+1)+k, (i+1)*(na+1)+k
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	return jobtest.Plan(t, `
laywright: 1
job: {name: Vault}
show: `+show+`
mould: {file: vault.stl, unit: mm}
part: {trim: whole`+held+`}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: glass-satin-300, angle: "0 deg"}, {fabric: glass-light-105, angle: "45 deg"}]
plies: {warp: [1, 0, 0]}
duty: {loads: {pressure: "5 kPa", inertia: 6, wall_temperature: "60 degC", deflection_limit: "0.5 mm"}}
`, m)
}

const fastened = `, held: {fasteners: {diameter: "4 mm", at: {unit: mm, points: [[0, -58.4, 3.2], [160, -58.4, 3.2], [160, 58.4, 3.2], [0, 58.4, 3.2]]}}}`

func printed(pages []draw.Page) string {
	var all []string
	for _, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if x, ok := it.(draw.Text); ok {
					all = append(all, x.String)
				}
			}
		}
	}
	return strings.Join(all, " ")
}

func written(p job.Plan) []draw.Page {
	f := draw.NewFlow(draw.A4(), "")
	Write(f, p)
	return f.Pages()
}

// Held one way or another, in either system: the pages say the factor, how it is held
// and who decides, no number is none, and nothing leaves its frame.
func TestPages(t *testing.T) {
	for _, c := range [][3]string{{"metric", "", "taken as pinned"}, {"us", ", held: {edge: clamped}", "clamped: it neither"}, {"us", fastened, "Held by 4 fasteners"}} {
		p := vault(t, c[1], c[0])
		all := printed(written(p))
		for _, s := range []string{"Whether it holds", "Factor of safety 1.5", c[2], "This plan is no approval", "Strength used, with factor 1.5", "Swings first at", "largest strain", "room temperature"} {
			if !strings.Contains(all, s) {
				t.Errorf("%s: %q is not on the pages", c, s)
			}
		}
		for _, s := range []string{"NaN", "Inf", "%!"} {
			if strings.Contains(all, s) {
				t.Errorf("%s: %q in %s", c, s, all)
			}
		}
		for _, pic := range Pictures(p) {
			framed(t, pic)
		}
	}
}

// framed holds that a picture stays in its box, signs at its rim in the frame 2 mm
// round that.
func framed(t *testing.T, pic plydraw.Picture) {
	t.Helper()
	page := pic.Page()
	if err := page.Check(); err != nil {
		t.Errorf("%s: %v", pic.Name, err)
	}
	for _, size := range []r2.Vec{{X: 178, Y: 60}, {X: 86, Y: 66}} {
		for _, item := range pic.Draw(r2.NewBox(0, 0, size.X, size.Y)) {
			if b := item.Bounds(); b.Min.X < -2 || b.Min.Y < -2 || b.Max.X > size.X+2 || b.Max.Y > size.Y+2 {
				t.Errorf("%s in %v: %T reaches out to %v", pic.Name, size, item, b)
				break
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	p := vault(t, fastened, "metric")
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := pdf.Write(w, append(written(p), Pages(p)...), pdf.Meta{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two drawings of one plan differ")
	}
}

// A plan without strength has no page; where heat alone breaks a ply or no strength is
// known the pages say so.
func TestWhatIsNotThere(t *testing.T) {
	p := vault(t, "", "metric")
	none := p
	none.Strength = nil
	if len(Pictures(none)) != 0 || printed(written(none)) != printed(written(job.Plan{})) {
		t.Error("a plan without strength has pages")
	}
	broken := *p.Strength
	broken.Share = append([]float64(nil), broken.Share...)
	broken.Share[7] = math.Inf(1)
	broken.Index, broken.Margin, broken.Worst = nil, nil, nil
	p.Strength = &broken
	if all := printed(written(p)); !strings.Contains(all, "heat alone breaks a ply") || !strings.Contains(all, "Strength used") || strings.Contains(all, "Inf") {
		t.Errorf("broken by heat: %s", all)
	}
	far, snaps := *p.Strength, 1.2
	far.Large, far.Snaps = true, &snaps
	p.Strength = &far
	if all := printed(written(p)); !strings.Contains(all, "it snaps at 1.2 times its load") || !strings.Contains(all, "Large motions") {
		t.Errorf("snaps: %s", all)
	}
	less := -0.25
	loose := *p.Strength
	loose.Fasteners = []strength.FastenerLoad{{Mode: "bearing", Margin: &snaps}, {Mode: "shear-out", Margin: &less}}
	loose.Bond = &strength.Bond{Margin: -0.5, Shear: 2e7, Peel: 1e6}
	p.Strength = &loose
	if all := printed(written(p)); !strings.Contains(all, "fastener 2 does not hold, the bond line does not hold") || !strings.Contains(all, "no. 2, shear-out") {
		t.Errorf("loose: %s", all)
	}
	unknown := *p.Strength
	unknown.Index, unknown.Share, unknown.Lead, unknown.ByCriterion = nil, nil, nil, nil
	p.Strength = &unknown
	if all := printed(written(p)); !strings.Contains(all, "its strength is not known") || strings.Contains(all, "Strength used") {
		t.Errorf("unknown: %s", all)
	}
}

// A scale ends on a round number, at the limit if that lies within 1.6 of the largest.
// Worked out by hand.
func TestScale(t *testing.T) {
	for _, c := range []struct{ most, limit, want float64 }{{0.53, 0, 0.6}, {0.53, 0.8, 0.8}, {0.53, 3, 0.6}, {70.2, 100, 100}, {140, 100, 150}, {0, 1, 1}} {
		var limit *float64
		if c.limit > 0 {
			limit = &c.limit
		}
		if r := scale("", "", []float64{0, c.most, math.Inf(1)}, limit); math.Abs(r.High-c.want) > 1e-12 {
			t.Errorf("up to %g with limit %g: the scale ends at %g, want %g", c.most, c.limit, r.High, c.want)
		}
	}
	for x, want := range map[float64]float64{1: 1, 4.9: 2, 5: 5, 99: 50, 0.03: 0.02} {
		if got := roundDown(x); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("roundDown(%g) = %g, want %g", x, got, want)
		}
	}
}

// No peak is lost where the surface is finer than it is drawn.
func TestPeakSurvivesThinning(t *testing.T) {
	m := shapes.Cap(0.1, math.Pi/2, 120)
	share := make([]float64, len(m.Triangles))
	share[len(share)/3] = 0.9
	s := open(job.Plan{Strength: &strength.Result{Mesh: m, Share: share}})
	if s.of == nil {
		t.Fatalf("%d vertices are drawn as they are", len(m.Vertices))
	}
	most := 0.0
	for _, x := range s.worst(share) {
		most = math.Max(most, x)
	}
	if most != 0.9 {
		t.Errorf("the peak of 0.9 is drawn as %g", most)
	}
}

// A place at the foot of a deep well is seen by no eye above: one looks from below.
func TestHiddenPlaceIsSeenFromBehind(t *testing.T) {
	const n, r, deep = 16, 0.02, 0.1
	m := &mesh.Mesh{Vertices: []r3.Vec{{Z: -deep}}}
	for _, ring := range [][2]float64{{r, -deep}, {r, 0}, {5 * r, 0}} {
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / n)
			m.Vertices = append(m.Vertices, r3.Vec{X: ring[0] * c, Y: ring[0] * s, Z: ring[1]})
		}
	}
	for i := range int32(n) {
		k := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int32{0, 1 + i, 1 + k})
		for ring := range int32(2) {
			a, b := 1+ring*n, 1+(ring+1)*n
			m.Triangles = append(m.Triangles, [3]int32{a + i, b + i, b + k}, [3]int32{a + i, b + k, a + k})
		}
	}
	v := plydraw.NewViews(m, nil, draw.Range{})
	seen, from := v.Seeing(r3.Vec{X: 0.001, Z: -deep})
	if eyes := seen.Eyes(); len(eyes) != 2 || eyes[1].Z >= 0 || !strings.Contains(from, "mould") {
		t.Errorf("seen from %v: %q", eyes, from)
	}
	if _, from := v.Seeing(r3.Vec{X: 3 * r}); from != "" {
		t.Errorf("the rim shows, and yet %q", from)
	}
}
