package cutting

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/pdf"
	"laywright/internal/job/jobtest"
)

const twoOfEach = `
laywright: 1
job: {name: Hatch cover, part: DN-7, revision: B}
roll: {search: "0.1 s", width: "600 mm", pieces: [
  {name: lid, count: 2, turn: [0, 180], outline: {unit: mm, points: [[0,0],[200,0],[200,150],[0,120]]}},
  {name: rim, count: 1, outline: {unit: mm, points: [[0,0],[300,0],[300,40],[0,40]]}}]}
`

// Every copy has its label, and an independent reader finds in the printed squares
// what each is.
func TestLabelsReadBack(t *testing.T) {
	plan := jobtest.Plan(t, twoOfEach, nil)
	want := []string{"DN-7 rev B, piece lid, 1 of 2", "DN-7 rev B, piece lid, 2 of 2", "DN-7 rev B, piece rim"}
	var says []string
	for _, l := range labelsOf(plan) {
		says = append(says, l.code())
	}
	slices.Sort(says)
	if !slices.Equal(says, want) {
		t.Fatalf("labels %q, want %q", says, want)
	}
	for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
		pages, err := Labels(plan, sheet)
		if err != nil {
			t.Fatal(err)
		}
		if got := read(t, pages); !slices.Equal(got, want) {
			t.Errorf("%s: a reader finds %q, want %q", sheet.Name, got, want)
		}
	}
}

// read prints pages and reads the codes on them.
func read(t *testing.T, pages []draw.Page) []string {
	t.Helper()
	for program, from := range map[string]string{"pdftoppm": "poppler-utils", "zbarimg": "zbar-tools"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("needs %s from the Debian package %s", program, from)
		}
	}
	dir := t.TempDir()
	var b bytes.Buffer
	if err := pdf.Write(&b, pages, pdf.Meta{}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "l.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "200", "-gray", "-png", file, filepath.Join(dir, "l")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	images, err := filepath.Glob(filepath.Join(dir, "l*.png"))
	if err != nil || len(images) != len(pages) {
		t.Fatalf("%d pages printed of %d: %v", len(images), len(pages), err)
	}
	out, err := exec.Command("zbarimg", append([]string{"-q", "--raw", "--nodbus", "-Sdisable", "-Sqrcode.enable"}, images...)...).Output()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	found := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(found)
	return found
}

// Everything on a label stays in it and off its code, also where names are long.
func TestLabelsKeepTheirRoom(t *testing.T) {
	long := label{part: "DN-21-004-WITH-A-LONG-NUMBER rev AB", title: "Demist box of the windscreen and of the feet, port", copy: "12 of 24",
		piece: pattern.Piece{Name: "P03-12M", Ply: 3, Fabric: "carbon-spread-80-of-a-long-name", Angle: si.Degrees(-45), Outline: geom.Rect(0, 0, 1, 1),
			Words: []string{"Ply 3 · piece P03-12M", "carbon-spread-80-of-a-long-name, warp at −45°", "piece 12 of 13; cut the slits to their rounds", "this side up: away from the mould", "for the mirrored part"}}}
	box := geom.Rect(0, 0, 0.092, 0.047).Scale(1000).Bounds()
	items, err := long.draw(box)
	if err != nil {
		t.Fatal(err)
	}
	var words, dark []draw.Item
	for _, it := range items {
		b := it.Bounds()
		if b.Min.X < box.Min.X || b.Max.X > box.Max.X || b.Min.Y < box.Min.Y || b.Max.Y > box.Max.Y {
			t.Errorf("%+v leaves the label", b)
		}
		switch v := it.(type) {
		case draw.Text:
			words = append(words, v)
		case draw.Path:
			if !v.Fill.None() {
				dark = append(dark, v)
			}
		}
	}
	code, _ := draw.Bounds(dark)
	for i, w := range words {
		if len(w.Clipped(code)) > 0 {
			t.Errorf("%q lies on the code", w.(draw.Text).String)
		}
		for _, o := range words[:i] {
			if a, b := w.Bounds(), o.Bounds(); a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y-0.3 && b.Min.Y < a.Max.Y-0.3 {
				t.Errorf("%q lies on %q", w.(draw.Text).String, o.(draw.Text).String)
			}
		}
	}
}

// Above the most labels there is one for all copies of a piece.
func TestManyCopiesShareALabel(t *testing.T) {
	all := make([]label, mostLabels+1)
	for i := range all {
		all[i].piece.Name = "a"
	}
	got := counted(all, map[string]int{"a": len(all)})
	if len(got) != 1 || got[0].copy != "all 501" {
		t.Errorf("%d labels, the first for %q", len(got), got[0].copy)
	}
}
