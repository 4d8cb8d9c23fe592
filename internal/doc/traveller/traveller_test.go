package traveller

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pdf"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
	"laywright/internal/stage/bench"
	"laywright/internal/stage/cure"
)

// Jobs of every kind: a part by its area alone, a question about resin, a
// heater, pieces of cloth, hardly anything, and a whole part from its mould.
var jobs = map[string]string{
	"empty": "laywright: 1\n",
	"area": `
laywright: 1
job: {name: Panel, part: P-1, quantity: 3, consequence: "it rattles"}
part: {area: "0.35 m^2"}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack:
    - {fabric: glass-light-105, angle: "0 deg"}
    - {fabric: carbon-twill-200, angle: "45 deg"}
    - {fabric: glass-light-105, angle: "0 deg"}
wetout: {cup_limit: "100 g"}
bag: {style: one-sided, vacuum: "20 inHg", bleeder: bleeder-150, bleeder_plies: auto}
cure: {in: box-oven, schedule: {unit: [h, degC], points: [[0, 20], [24, 20], [28, 60], [36, 60], [38, 20]]}}
`,
	"cure": `
laywright: 1
cure: {resin: laminating-epoxy-slow, schedule: {unit: [h, degC], points: [[0, 20], [24, 20], [26, 60], [34, 60]]}}
`,
	"heater": `
laywright: 1
job: {name: Heater}
duty:
  heater:
    core: {rated: {UA: "65 W/K", air_exponent: 0.5, at: "0.06 kg/s", air_loss: "28 Pa"}}
    arrangement: across-counter
    passes: auto
    liquid: {heat_capacity_rate: "650 W/K", inlet: "185 degF"}
    air: {inlet: "-10 degC", pressure: "84.3 kPa", flow: "0.06 kg/s"}
`,
	"pieces": `
laywright: 1
roll:
  search: "1 s"
  width: "1000 mm"
  pieces: [{name: a, count: 4, turn: [0, 180], outline: {unit: mm, points: [[0,0],[100,0],[100,50]]}}]
`,
	"mould": `
laywright: 1
job: {name: Cover, part: C-2, revision: B}
mould: {file: arch.stl, unit: mm, materials: [birch-ply]}
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack:
    - {fabric: glass-satin-300, angle: "0 deg"}
    - {fabric: glass-light-105, angle: "45 deg"}
plies: {warp: [1, 0, 0]}
roll: {search: "1 s"}
bag: {style: one-sided, vacuum: "20 inHg", bleeder: bleeder-150, bleeder_plies: auto}
bench: {hands: 1}
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

// makePlan makes each job once.
func makePlan(t *testing.T, source, show string) job.Plan {
	t.Helper()
	if p, ok := made[source+show]; ok {
		return p
	}
	p := jobtest.Plan(t, source+"show: "+show+"\n", arch())
	made[source+show] = p
	return p
}

var made = map[string]job.Plan{}

// printed is all that stands on the pages, lines joined by spaces.
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

// Every job in either system and on either paper: nothing leaves the paper, no
// number is none, two layouts are the same bytes, and what the plan says is there.
func TestEveryJobsTraveller(t *testing.T) {
	for name, source := range jobs {
		for _, show := range []string{"metric", "us"} {
			t.Run(name+" "+show, func(t *testing.T) {
				p := makePlan(t, source, show)
				for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
					pages := Pages(p, sheet)
					onPaper(t, pages)
					tellsThePlan(t, p, printed(pages))
				}
				if a, b := bytesOf(t, Pages(p, draw.A4())), bytesOf(t, Pages(p, draw.A4())); !bytes.Equal(a, b) {
					t.Error("two travellers of one plan differ")
				}
			})
		}
	}
}

func bytesOf(t *testing.T, pages []draw.Page) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(&b, pages, pdf.Meta{Title: "t"}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func onPaper(t *testing.T, pages []draw.Page) {
	t.Helper()
	for i, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				b := it.Bounds()
				if b.Min.X < 5 || b.Min.Y < 5 || b.Max.X > p.W-5 || b.Max.Y > p.H-5 {
					t.Errorf("page %d: %T at %v leaves the paper's margin", i+1, it, b)
				}
			}
		}
	}
}

func tellsThePlan(t *testing.T, p job.Plan, all string) {
	t.Helper()
	has := func(what, s string) {
		t.Helper()
		if !strings.Contains(all, s) {
			t.Errorf("%s is not on the sheet: %q", what, s)
		}
	}
	for _, bad := range []string{"NaN", "Inf", "%!", "null"} {
		if strings.Contains(all, bad) {
			t.Errorf("%q stands on the sheet", bad)
		}
	}
	for _, c := range p.Cautions() {
		if n := strings.Count(all, c.What); n != 1 {
			t.Errorf("caution %s stands %d times on the sheet", c.Code, n)
		}
	}
	if p.Plies != nil {
		for _, ply := range p.Plies.Plies {
			for _, piece := range ply.Pieces {
				has("piece", piece.Name)
			}
		}
	}
	if p.Laminate != nil {
		for _, l := range p.Laminate.Layers {
			has("cloth", l.Name)
			has("angle", fmt.Sprintf("%.0f°", l.Angle.Degrees()))
		}
	}
	if p.Wetout != nil {
		for _, pot := range p.Wetout.Pots {
			has("pot", fmt.Sprintf("%.1f g", 1000*float64(pot.Mass)))
		}
		for _, s := range []string{"Signature", "Deviations", "Coin tap", "Fitting", "Witness"} {
			has("form", s)
		}
	}
	if p.Bag != nil {
		has("leak record", "After 5 min")
	}
	if p.Cure != nil {
		has("probes", "Probe 3")
	}
	if p.Bench != nil {
		has("the last step", plydraw.Capital(p.Bench.Steps[len(p.Bench.Steps)-1].Name)[:20])
	}
	has("the page number", "Page 1 of")
}

// The danger is read before the work: resin's stands before the first mix
// ticket, the oven's before the schedule, dust's before trimming.
func TestCautionsComeBeforeTheWork(t *testing.T) {
	all := printed(Pages(makePlan(t, jobs["area"], "metric"), draw.A4()))
	for _, order := range [][2]string{
		{"Keep resin and hardener off the skin.", "Mix tickets"},
		{"A cup of mixed resin can smoke and burn.", "Mix tickets"},
		{"Vacuum breaks things.", "far from the pump"},
		{"A home-made oven can burn the shop down.", "Change an hour"},
		{"Do not breathe sanding dust.", "Coin tap"},
		{"This plan is no approval.", "Signing says"},
	} {
		a, b := strings.Index(all, order[0]), strings.Index(all, order[1])
		if a < 0 || b < 0 || a > b {
			t.Errorf("%q at %d, %q at %d", order[0], a, order[1], b)
		}
	}
}

// No heading stands alone at the foot of a page: under each there is a line, a
// box or a table on the same page.
func TestNoHeadingAlone(t *testing.T) {
	for name, source := range jobs {
		for i, p := range Pages(makePlan(t, source, "us"), draw.A4()) {
			for _, it := range p.Layer(draw.Paper) {
				h, ok := it.(draw.Text)
				if !ok || h.Size != draw.Head {
					continue
				}
				under := false
				for _, other := range p.Layer(draw.Paper) {
					x, ok := other.(draw.Text)
					under = under || ok && x.Size == draw.Body && x.At.Y < h.At.Y
				}
				if !under {
					t.Errorf("%s, page %d: %q stands alone", name, i+1, h.String)
				}
			}
		}
	}
}

// Findings of one kind are one box that lists them all.
func TestFindingsOfOneKindAreOneBox(t *testing.T) {
	p := makePlan(t, jobs["area"], "metric")
	p.Findings = nil
	for i := range 40 {
		f := fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "locks", What: fmt.Sprintf("Ply %d locks at (%d, 0, 0) mm.", i+1, i),
			Why: "the cloth can't shear so far", Do: "Cut a slit."}
		p.Findings = append(p.Findings, f.Against(50+float64(i), 50, "deg"))
	}
	p.Findings = append(p.Findings, fault.Finding{Stage: "bag", Severity: fault.Stop, Code: "air", What: "The pump can't do it.", Why: "the air is thin", Do: "Ask for less."})
	pages := Pages(p, draw.A4())
	onPaper(t, pages)
	all := printed(pages)
	for i := range 40 {
		if !strings.Contains(all, fmt.Sprintf("Ply %d locks at (%d, 0, 0) mm (%d against 50°).", i+1, i, 50+i)) {
			t.Errorf("ply %d is missing", i+1)
		}
	}
	if n := strings.Count(all, "Mind: "); n != 1 {
		t.Errorf("%d boxes for one kind", n)
	}
	if strings.Index(all, "Stop: ") > strings.Index(all, "Mind: ") {
		t.Error("the stop comes after the cautions")
	}
}

// The clock's words, worked out by hand.
func TestMinutes(t *testing.T) {
	for s, want := range map[float64]string{0: "0 min", 89 * 60: "89 min", 5400: "1 h 30", 7500: "2 h 05", 172800: "2 d 0 h", 176399: "2 d 1 h", 86400*3 - 30: "3 d 0 h"} {
		if got := minutes(si.Time(s)); got != want {
			t.Errorf("%g s is %q, want %q", s, got, want)
		}
	}
}

// The coats of one thing are one step with their times together; other steps
// stay as they are.
func TestCoatsAreOneStep(t *testing.T) {
	got := gathered([]bench.Step{{Name: "wipe", Seconds: 1}, {Name: "wax, coat 1 of 2", Start: 1, Seconds: 2}, {Name: "wax, coat 2 of 2", Start: 3, Seconds: 4},
		{Name: "film, coat 1 of 1", Start: 7, Seconds: 5}, {Name: "cut", Start: 12, Seconds: 6}})
	want := []bench.Step{{Name: "wipe", Seconds: 1}, {Name: "wax, 2 coats: see the release record", Start: 1, Seconds: 6},
		{Name: "film, coat 1 of 1", Start: 7, Seconds: 5}, {Name: "cut", Start: 12, Seconds: 6}}
	if !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
}

// A ramp of 36 K in two hours is +18 °C an hour, and +32 °F an hour: 18 · 1.8 = 32.4.
func TestRamp(t *testing.T) {
	p := job.Plan{Cure: &cure.Result{Schedule: cure.Line{Time: []float64{0, 3600, 3 * 3600, 3.5 * 3600},
		Temperature: []si.Temperature{si.Celsius(20), si.Celsius(20), si.Celsius(56), si.Celsius(26)}}}}
	for system, want := range map[si.System][]string{si.Metric: {"", "hold", "+18 °C", "−60 °C"}, si.US: {"", "hold", "+32 °F", "−108 °F"}} {
		w := &writer{plan: p, words: words{system}}
		for i, s := range want {
			if got := w.ramp(i); got != s {
				t.Errorf("%s, point %d: %q, want %q", system, i, got, s)
			}
		}
	}
}

// What is measured off with a tape; 1.27 m is 50 in.
func TestLength(t *testing.T) {
	for _, c := range []struct {
		system si.System
		l      si.Length
		want   string
	}{{si.US, 1.27, "50.0 in"}, {si.Metric, 1.27, "1270 mm"}, {si.US, 15.24, "50 ft"}, {si.Metric, 12, "12 m"}} {
		if got := length(words{c.system}, c.l); got != c.want {
			t.Errorf("%v: %q, want %q", c.l, got, c.want)
		}
	}
}

// hood is a box whose corners must be slit.
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
plies: {seed: {unit: mm, xyz: [0, 0, 60]}, warp: [1, 0, 0], direction_tolerance: "4 deg"}
`

// Each kind of ply has its sheet: the picture, its numbers, every step of the
// order of work, a line to sign for each ply. The seams and the thickness of all
// plies have theirs.
func TestSheetOfAKindOfPly(t *testing.T) {
	p := makePlan(t, hood, "metric")
	for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
		pages := Pages(p, sheet)
		onPaper(t, pages)
		all := printed(pages)
		want := []string{"On the mould: Full lines", "Order of work: Numbers", "Laid flat: Full line", "Threads every", "limit 55°", "largest shear", "Slits lapped", "Warp within 4°", "Keep it within 4°", "Seams of all plies", "Notch short", "Thickness of the laid plies"}
		for _, k := range plydraw.Open(p).Kinds() {
			want = append(want, k.Label()+": "+k.Cloth())
			for _, s := range k.Advice().Steps {
				want = append(want, plydraw.Sentence(s.What)[:12])
			}
			if len(k.Advice().Steps) < 4 {
				t.Errorf("%s has %d steps", k.Label(), len(k.Advice().Steps))
			}
		}
		for _, s := range want {
			if !strings.Contains(all, s) {
				t.Errorf("%s: %q is not on the sheet", sheet.Name, s)
			}
		}
	}
}

// A kind of ply has one page: its heading, its numbers and its line to sign stand
// together.
func TestKindIsOnePage(t *testing.T) {
	p := makePlan(t, hood, "metric")
	pages := Pages(p, draw.A4())
	for _, k := range plydraw.Open(p).Kinds() {
		for i, page := range pages {
			all := printed([]draw.Page{page})
			if strings.Contains(all, k.Label()+": "+k.Cloth()) && !(strings.Contains(all, "largest shear") && strings.Contains(all, "Warp within 4°")) {
				t.Errorf("%s runs over page %d", k.Label(), i+1)
			}
		}
	}
}
