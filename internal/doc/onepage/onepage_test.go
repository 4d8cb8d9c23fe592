package onepage

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pdf"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"

	"gonum.org/v1/gonum/spatial/r3"
)

const heater = `
duty:
  heater:
    core: {rated: {UA: "65 W/K", air_exponent: 0.5, at: "0.06 kg/s", air_loss: "28 Pa"}}
    arrangement: across-counter
    passes: auto
    liquid: {heat_capacity_rate: "650 W/K", inlet: "185 degF"}
    air: {inlet: "-10 degC", pressure: "84.3 kPa", flow: "0.06 kg/s"}
`

// Jobs from nearly nothing to one that has all six pictures.
var jobs = map[string]string{
	"empty":  "laywright: 1\n",
	"heater": "laywright: 1\njob: {name: Heater}\n" + heater,
	"area": `
laywright: 1
job: {name: Panel, part: P-1}
part: {area: "0.35 m^2"}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: glass-light-105, angle: "0 deg"}, {fabric: carbon-twill-200, angle: "45 deg"}]
wetout: {cup_limit: "100 g"}
`,
	"pieces": `
laywright: 1
roll:
  search: "1 s"
  width: "1000 mm"
  pieces: [{name: a, count: 4, turn: [0, 180], outline: {unit: mm, points: [[0,0],[100,0],[100,50]]}}]
`,
	"whole": `
laywright: 1
job: {name: Vault, aircraft: Dunlin, part: V-1, revision: C}
mould: {file: arch.stl, unit: mm}
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: glass-satin-300, angle: "0 deg"}, {fabric: glass-light-105, angle: "45 deg"}]
plies: {warp: [1, 0, 0]}
roll: {search: "1 s"}
` + heater + `  loads: {pressure: "5 kPa", factor: 2.0}
cure: {schedule: {unit: [h, degC], points: [[0, 20], [24, 20], [26, 60], [34, 60]]}}
`,
}

// arch is a low vault, 160 mm long on an arc of 120 mm with the radius 150 mm.
func arch() *mesh.Mesh {
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
	return m
}

var made = map[string]job.Plan{}

// makePlan makes each job once.
func makePlan(t *testing.T, name string) job.Plan {
	t.Helper()
	if p, ok := made[name]; ok {
		return p
	}
	p := jobtest.Plan(t, jobs[name], arch())
	made[name] = p
	return p
}

func printed(pages []draw.Page) string {
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

// onOnePage checks that the summary has one page, behind which those of the strength
// and the heater come, and that nothing leaves a page or runs into the line above its
// footer.
func onOnePage(t *testing.T, p job.Plan, sheet draw.Sheet) []draw.Page {
	t.Helper()
	pages := Page(p, sheet)
	next := "What the heater does"
	switch {
	case p.Strength != nil:
		next = "Whether it holds"
	case p.Wetout != nil || p.Bag != nil && p.Bag.History != nil || p.Cure != nil:
		next = "How it hardens"
	}
	if len(pages) > 1 && !strings.Contains(printed(pages[1:2]), next) {
		t.Fatalf("the summary runs on: %d pages", len(pages))
	}
	for _, page := range pages {
		onPage(t, page, sheet)
	}
	return pages
}

func onPage(t *testing.T, p draw.Page, sheet draw.Sheet) {
	t.Helper()
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if b := it.Bounds(); b.Min.X < 10 || b.Min.Y < 10 || b.Max.X > p.W-10 || b.Max.Y > p.H-10 {
				t.Errorf("%T at %v leaves the page's margin", it, b)
			}
			if x, ok := it.(draw.Text); ok && x.Size == draw.Body && x.At.Y-draw.Leading(draw.Body) < sheet.Margin+3 {
				t.Errorf("%q runs into the footer", x.String)
			}
		}
	}
}

// small is A5, on which not every picture has room.
var small = draw.Sheet{Name: "A5", W: 148, H: 210, Margin: 14}

// Every job, on any paper and in either system, also with 200 findings of a
// hundred kinds and a name that is far too long: one page.
func TestAlwaysOnePage(t *testing.T) {
	for name := range jobs {
		for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter(), small} {
			for _, show := range []si.System{si.Metric, si.US} {
				p := makePlan(t, name)
				p.Spec.Show = show
				onOnePage(t, p, sheet)
				p.Job.Name = strings.Repeat("Very long name ", 20)
				p.Job.Part = p.Job.Name
				p.Findings = many(200, 100)
				if p.Roll != nil { // and of seventy materials
					rolls := *p.Roll
					rolls.Rolls = slices.Repeat(rolls.Rolls[:1], 70)
					p.Roll = &rolls
				}
				pages := onOnePage(t, p, sheet)
				if all := printed(pages); !strings.Contains(all, "more: see the traveller") {
					t.Errorf("%s: nothing says that there are more findings", name)
				} else if strings.Contains(all, "NaN") || strings.Contains(all, "Inf") || strings.Contains(all, "%!") {
					t.Errorf("%s: a number is none: %s", name, all)
				}
			}
		}
	}
}

// many returns n cautions of some kinds, each beyond its limit by its number.
func many(n, kinds int) (out []fault.Finding) {
	for i := range n {
		f := fault.Finding{Stage: "plies", Severity: fault.Caution, Code: fmt.Sprintf("kind-%d", i%kinds), What: fmt.Sprintf("Ply %d locks.", i+1), Do: "Cut a slit"}
		out = append(out, f.Against(50+float64(i), 50, "deg"))
	}
	return out
}

// Stops come first; of one kind the worst is told, with how many there are.
func TestSayings(t *testing.T) {
	p := job.Plan{Findings: append(many(6, 2), fault.Finding{Severity: fault.Stop, Code: "x", What: "No.", Do: "Stop."})}
	got := sayings(p)
	want := []saying{
		{"!!", "No. Do: Stop."},
		{"!", "Ply 5 locks. 54 against 50°. That is the worst of 3 alike. Do: Cut a slit."},
		{"!", "Ply 6 locks. 55 against 50°. That is the worst of 3 alike. Do: Cut a slit."},
	}
	if len(got) != len(want) {
		t.Fatalf("%q", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%q, want %q", got[i], want[i])
		}
	}
}

// The whole job has its six pictures, the headline numbers and the names of
// what is drawn; two drawings are the same bytes.
func TestShowsWhatThePlanHas(t *testing.T) {
	p := makePlan(t, "whole")
	pages := Page(p, draw.A4())
	all := printed(pages)
	for _, s := range []string{"Vault: plan", "Dunlin · part V-1 · revision C", "Mould", "Shear of ply", "Strength used, with factor 2", "On the roll", "Cure", "Heat by number of passes", "glass-satin-300"} {
		if !strings.Contains(all, s) {
			t.Errorf("%q is not on the page", s)
		}
	}
	for _, h := range p.Headlines() {
		if !strings.Contains(all, h.Name) {
			t.Errorf("the headline %q is missing", h.Name)
		}
	}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := pdf.Write(w, Page(p, draw.A4()), pdf.Meta{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two pages of one plan differ")
	}
}
