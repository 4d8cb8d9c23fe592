package cli

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"laywright/internal/doc/dxfread"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
)

// Half a ball: its slices are circles of √(R² − z²), its section half a disc.
const (
	ballRadius = 0.1
	ballJob    = `
laywright: 1
job: {name: Half ball, part: B-1}
mould:
  solids: [{dome: {diameter: "200 mm", height: "100 mm", at: {unit: mm, xyz: [0, 0, 0]}}}, {cylinder: {diameter: "60 mm", height: "30 mm", at: {unit: mm, xyz: [0, 0, 80]}, edge: "6 mm"}}]
  fillet: "5 mm"
  build: {board: "18 mm", glue_line: "0.2 mm", saw: "1 mm", sheet: {length: "450 mm", width: "300 mm"}}
  materials: [birch-ply, polyester-filler]
`
)

func ballPlan(t *testing.T) job.Plan {
	t.Helper()
	return jobtest.Plan(t, ballJob, nil)
}

// mouldOf are the files of a plan that belong to its mould, by path.
func mouldOf(t *testing.T, plan job.Plan, on paper) map[string][]byte {
	t.Helper()
	files, err := mouldFiles(plan, on)
	if err != nil {
		t.Fatal(err)
	}
	return written(t, files)
}

// Boards and templates read back from their DXF have the areas of circles and of a
// plate less half a disc; the lines to carve to are circles; each carries its number.
func TestMouldDrawingsReadBack(t *testing.T) {
	plan := ballPlan(t)
	files := mouldOf(t, plan, papers[0])
	const pitch, board, saw, R = 0.0182, 0.018, 0.001, ballRadius
	for k := range 4 { // below the cylinder
		name := fmt.Sprintf("patterns/board-%02d.dxf", k+1)
		d, err := dxfread.Read(bytes.NewReader(files[name]))
		if err != nil {
			t.Fatal(name, err)
		}
		foot := math.Sqrt(R*R - math.Pow(pitch*float64(k), 2))
		head := math.Sqrt(R*R - math.Pow(pitch*float64(k)+board, 2))
		cut := d.On("cut")
		if len(cut) != 1 {
			t.Fatalf("%s: %d saw lines", name, len(cut))
		}
		near(t, name, cut[0].Area()*1e-6, math.Pi*(foot+saw)*(foot+saw), 0.002)
		var drawn []float64
		for _, e := range d.On("mark") {
			drawn = append(drawn, e.Area()*1e-6)
		}
		slices.Sort(drawn)
		if len(drawn) != 2 {
			t.Fatalf("%s: %d lines to carve to", name, len(drawn))
		}
		near(t, name+", at its head", drawn[0], math.Pi*head*head, 0.002)
		near(t, name+", at its foot", drawn[1], math.Pi*foot*foot, 0.002)
		if len(d.On("drill")) == 0 || len(d.On("datum")) != 2 {
			t.Errorf("%s: no holes, or no datum cross", name)
		}
		if !wordsOn(d, fmt.Sprint(k+1)) || !wordsOn(d, fmt.Sprintf("Board %d of %d", k+1, plan.Mould.Build.Boards)) {
			t.Errorf("%s does not carry its number", name)
		}
	}
	// A station that misses the cylinder: half a disc of √(R² − x²).
	for _, c := range plan.Mould.Build.Templates {
		if c.Axis != "x" || math.Abs(float64(c.At)) != 0.05 {
			continue
		}
		name := "patterns/template-" + c.Name + ".dxf"
		cut := cutOf(t, files[name])
		r := math.Sqrt(R*R - 0.05*0.05)
		m := max(0.03, 0.15*2*r)
		near(t, name, cut[0].Area()*1e-6, (2*r+2*m)*(r+m)-math.Pi*r*r/2, 0.002)
	}
	gauge := cutOf(t, files["patterns/gauge-R5.dxf"])
	if len(gauge) != 1 || files["patterns/gauge-R6.dxf"] == nil {
		t.Error("there should be gauges of 5 and 6 mm")
	}
	sheets := 0
	for path, b := range files {
		if strings.HasPrefix(path, "patterns/sheet-") && strings.HasSuffix(path, ".dxf") {
			sheets++
			for _, e := range cutOf(t, b) {
				for _, p := range e.Points {
					if p.X < -1e-6 || p.X > 450+1e-6 || p.Y < -1e-6 || p.Y > 300+1e-6 {
						t.Fatalf("%s: a piece leaves the sheet at %v", path, p)
					}
				}
			}
		}
	}
	if sheets != plan.Sheets.Needed || sheets < 2 {
		t.Errorf("%d drawings of %d sheets", sheets, plan.Sheets.Needed)
	}
}

func wordsOn(d dxfread.Drawing, s string) bool {
	return slices.ContainsFunc(d.On("text"), func(e dxfread.Entity) bool { return e.Words == s })
}

// Printed on either paper a template is as large as it is drawn, and the book says
// what somebody with a jigsaw needs.
func TestMouldBookAndPrintedTemplate(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("needs pdftoppm and pdftotext of the Debian package poppler-utils")
	}
	plan := ballPlan(t)
	for _, on := range []paper{papers[0], papers[2]} {
		files, paper := mouldOf(t, plan, on), on.name
		name := ""
		for _, c := range plan.Mould.Build.Templates {
			if c.At == 0.05 {
				name = c.Name
			}
		}
		r := math.Sqrt(ballRadius*ballRadius - 0.05*0.05)
		m := max(0.03, 0.15*2*r)
		pages := printed(t, files["patterns/template-"+name+".pdf"])
		if len(pages) != 2 {
			t.Fatalf("%s: the map and one page expected, %d found", paper, len(pages))
		}
		// The base line closes the half disc, so the largest figure is the whole plate; half the pen lies outside.
		wide, high := 2*(r+m), r+m
		near(t, "printed template on "+paper, (pages[1].largest()-2e3*(wide+high)*0.35/2)*1e-6, wide*high, 0.002)
		text := textOf(t, files["documents/mould.pdf"])
		for _, want := range []string{"Total thickness: 6 boards × 18 mm and their glue lines make 109 mm", "Order of gluing: 1, 2, 3, 4, 5, 6", "Order of the work", "Polyester filler", "Station drawing", "template-" + name, "gauge-R5"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the book does not say %q:\n%s", paper, want, text[:min(len(text), 2000)])
			}
		}
	}
}

// textOf is the words of a document with single spaces.
func textOf(t *testing.T, document []byte) string {
	t.Helper()
	c := exec.Command("pdftotext", "-layout", "-", "-")
	c.Stdin = bytes.NewReader(document)
	out, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}
