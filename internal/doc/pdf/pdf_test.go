package pdf_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/pdf"
)

const special = "45° ± 2 µm Ø 5 × 3 − α ≤ 1, 193 g/m²"

func pages() []draw.Page {
	p := draw.NewPage("one", 210, 297)
	p.Add(draw.Cut, draw.Rect(r2.NewBox(50, 100, 150, 200), draw.InkPen(0.2), 0))
	p.Add(draw.Mark, draw.Circle{At: r2.Vec{X: 100, Y: 150}, R: 20, Pen: draw.InkPen(0.2), Fill: draw.Wash})
	p.Add(draw.Words, draw.Text{At: r2.Vec{X: 20, Y: 30}, String: special, Size: 12, Colour: draw.Ink},
		draw.Text{At: r2.Vec{X: 180, Y: 100}, String: "turned", Size: 12, Face: draw.Bold, Angle: math.Pi / 2, Colour: draw.Accent, Clip: r2.NewBox(0, 0, 210, 105)})
	q := draw.NewPage("two", 420, 148)
	q.Add(draw.Warp, draw.Line(draw.Pen{Width: 0.3, Colour: draw.Ink, Dash: []float64{3, 1}}, r2.Vec{X: 10, Y: 10}, r2.Vec{X: 400, Y: 10}))
	return []draw.Page{*p, *q}
}

func write(t *testing.T, ps []draw.Page) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := pdf.Write(&buf, ps, pdf.Meta{Title: "Ply 3 at 45°", Subject: "pattern", Creator: "laywright"}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// The library keeps fonts and layers in maps, whose order changes from run to
// run; twenty runs would show it.
func TestSameBytes(t *testing.T) {
	first := write(t, pages())
	for range 20 {
		if !bytes.Equal(first, write(t, pages())) {
			t.Fatal("two runs differ")
		}
	}
}

func TestLayersAndSizes(t *testing.T) {
	b := write(t, pages())
	if n := bytes.Count(b, []byte("/Type /OCG ")); n != 4 {
		t.Errorf("%d layers, want cut, mark, text and warp", n)
	}
	for _, want := range []string{"841.89", "595.28", "1190.55", "419.53"} { // A4, and 420 x 148 mm in points
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("no side of %s points", want)
		}
	}
}

func TestRefuses(t *testing.T) {
	nan := pages()
	nan[0].Add(draw.Cut, draw.Line(draw.InkPen(1), r2.Vec{}, r2.Vec{X: math.NaN()}))
	for name, ps := range map[string][]draw.Page{"none": nil, "no size": {{}}, "too long": {{W: 9000, H: 1270}}, "not a number": nan} {
		if err := pdf.Write(&bytes.Buffer{}, ps, pdf.Meta{}); err == nil {
			t.Errorf("%s: written", name)
		}
	}
}

// A shaded map of 40,000 triangles stays under 3 MB.
func TestMapIsSmall(t *testing.T) {
	p := draw.NewPage("map", 210, 297)
	var f draw.Facets
	ramp := draw.Sequential()
	const n = 141
	for j := range n {
		for i := range n {
			x, y := 20+float64(i)*1.2, 60+float64(j)*1.2
			c := ramp.At(draw.Stepped(0.5 + 0.5*math.Sin(float64(i)/9)*math.Cos(float64(j)/11)))
			a, b, d, e := r2.Vec{X: x, Y: y}, r2.Vec{X: x + 1.2, Y: y}, r2.Vec{X: x + 1.2, Y: y + 1.2}, r2.Vec{X: x, Y: y + 1.2}
			f.Tris = append(f.Tris, [3]r2.Vec{a, b, d}, [3]r2.Vec{a, d, e})
			f.Colours = append(f.Colours, c, c)
		}
	}
	p.Add(draw.Paper, f)
	if got := len(write(t, []draw.Page{*p})); got > 3<<20 {
		t.Errorf("%d triangles take %d bytes", len(f.Tris), got)
	} else {
		t.Logf("%d triangles take %d kB", len(f.Tris), got/1024)
	}
}

// need returns the path of a command or skips.
func need(t *testing.T, name, pkg string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("needs %s from the Debian package %s", name, pkg)
	}
	return path
}

// At 254 dots to the inch a dot is 0.1 mm: the square's lines stand at dots
// 500 and 1500 across, and 970 and 1970 down from the top of 297 mm.
func TestPrintsAtFullSize(t *testing.T) {
	raster := need(t, "pdftoppm", "poppler-utils")
	dir := t.TempDir()
	file := filepath.Join(dir, "x.pdf")
	if err := os.WriteFile(file, write(t, pages()), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(raster, "-r", "254", "-gray", "-f", "1", "-l", "1", "-singlefile", file, filepath.Join(dir, "x")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	b, err := os.ReadFile(filepath.Join(dir, "x.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	var w, h, top int
	if _, err := fmt.Sscanf(string(b[:20]), "P5\n%d %d\n%d", &w, &h, &top); err != nil {
		t.Fatal(err)
	}
	dots := b[len(b)-w*h:]
	dark := func(x, y int) float64 { return 255 - float64(dots[y*w+x]) }
	row, col := 1100, 600 // through the square, clear of the circle
	left := centroid(400, 600, func(x int) float64 { return dark(x, row) })
	right := centroid(1400, 1600, func(x int) float64 { return dark(x, row) })
	upper := centroid(870, 1070, func(y int) float64 { return dark(col, y) })
	lower := centroid(1870, 2070, func(y int) float64 { return dark(col, y) })
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"left", left, 500}, {"right", right, 1500}, {"top", upper, 970}, {"bottom", lower, 1970}} {
		if math.Abs(c.got-c.want) > 1 {
			t.Errorf("%s line at %.2f mm, want %.2f", c.what, c.got/10, c.want/10)
		}
	}
}

// centroid is the middle of what is dark from a to b, counted to the dot's middle.
func centroid(a, b int, dark func(int) float64) float64 {
	sum, moment := 0.0, 0.0
	for i := a; i < b; i++ {
		sum += dark(i)
		moment += dark(i) * (float64(i) + 0.5)
	}
	return moment / sum
}

// The words can be found and copied, special letters and all.
func TestWordsReadBack(t *testing.T) {
	reader := need(t, "pdftotext", "poppler-utils")
	cmd := exec.Command(reader, "-", "-")
	cmd.Stdin = bytes.NewReader(write(t, pages()))
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(out), special) {
		t.Errorf("read %q", out)
	}
}

// The length that words are laid out with is the length that they are printed
// with, as pdftotext measures it.
func TestWordsAreAsLongAsLaidOut(t *testing.T) {
	reader := need(t, "pdftotext", "poppler-utils")
	const word = "Laminate-Warp±Weft"
	for _, face := range []draw.Face{draw.Regular, draw.Bold, draw.Mono} {
		p := draw.NewPage("x", 210, 100)
		p.Add(draw.Words, draw.Text{At: r2.Vec{X: 105, Y: 50}, String: word, Size: 20, Face: face, Align: draw.Centre})
		cmd := exec.Command(reader, "-bbox", "-", "-")
		cmd.Stdin = bytes.NewReader(write(t, []draw.Page{*p}))
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		m := regexp.MustCompile(`xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"`).FindSubmatch(out)
		if m == nil {
			t.Fatalf("no word in %s", out)
		}
		lo, _ := strconv.ParseFloat(string(m[1]), 64)
		hi, _ := strconv.ParseFloat(string(m[2]), 64)
		if got, want := (hi-lo)*draw.Point, draw.Width(word, face, 20); math.Abs(got/want-1) > 0.005 {
			t.Errorf("face %d: printed %.2f mm long, laid out %.2f", face, got, want)
		}
		if mid := (hi + lo) / 2 * draw.Point; math.Abs(mid-105) > 0.2 {
			t.Errorf("face %d: centred at %.2f mm, want 105", face, mid)
		}
	}
}
