package pattern

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

// need skips where a command is absent.
func need(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("needs %s from the Debian package poppler-utils", name)
		}
	}
}

const (
	dpi = 200
	dot = 25.4 / dpi // mm
)

// raster is one page as a printer would lay it down; y runs down.
type raster struct {
	w, h int
	dots []byte
}

// dark is 255 for a black dot; off the page there is nothing.
func (r raster) dark(x, y int) float64 {
	if x < 0 || x >= r.w || y < 0 || y >= r.h {
		return 0
	}
	return 255 - float64(r.dots[y*r.w+x])
}

// rasters prints pages with pdftoppm at a resolution in dots per inch.
func rasters(t *testing.T, pages []draw.Page, dpi int) []raster {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "p.pdf")
	var buf bytes.Buffer
	if err := pdf.Write(&buf, pages, pdf.Meta{}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, buf.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", strconv.Itoa(dpi), "-gray", file, filepath.Join(dir, "p")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "p-*.pgm")) // Glob sorts
	if err != nil || len(names) != len(pages) {
		t.Fatalf("%d pages printed of %d: %v", len(names), len(pages), err)
	}
	var out []raster
	for _, n := range names {
		b, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		var r raster
		if _, err := fmt.Sscanf(string(b[:20]), "P5\n%d %d\n", &r.w, &r.h); err != nil {
			t.Fatal(err)
		}
		r.dots = b[len(b)-r.w*r.h:]
		out = append(out, r)
	}
	return out
}

// joints reads where the joints' letters stand on every page, in mm from the
// page's upper left corner, as pdftotext finds them.
func joints(t *testing.T, pages []draw.Page) []map[string]r2.Vec {
	t.Helper()
	var buf bytes.Buffer
	if err := pdf.Write(&buf, pages, pdf.Meta{}); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("pdftotext", "-bbox", "-", "-")
	cmd.Stdin = &buf
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	word := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>([A-Z]+[12])</word>`)
	var found []map[string]r2.Vec
	for _, page := range strings.Split(string(out), "<page ")[1:] {
		at := map[string]r2.Vec{}
		for _, m := range word.FindAllStringSubmatch(page, -1) {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			at[m[3]] = r2.Scale(draw.Point, r2.Vec{X: x, Y: y})
		}
		found = append(found, at)
	}
	return found
}

// joined lays every page beside the first by its joints alone, as a person
// would, and returns where each page's upper left corner comes.
func joined(t *testing.T, at []map[string]r2.Vec) []r2.Vec {
	t.Helper()
	pos, known := make([]r2.Vec, len(at)), make([]bool, len(at))
	known[0] = true
	for range at {
		for i := range at {
			for j := range at {
				if !known[i] || known[j] {
					continue
				}
				for _, k := range []string{"1", "2"} {
					for name, a := range at[i] {
						if b, ok := at[j][name]; ok && strings.HasSuffix(name, k) {
							pos[j], known[j] = r2.Add(pos[i], r2.Sub(a, b)), true
						}
					}
				}
			}
		}
	}
	seams := 0
	for i := range at {
		if !known[i] {
			t.Fatalf("page %d can't be joined", i+1)
		}
		for j := range i {
			for name, a := range at[i] {
				if b, ok := at[j][name]; ok {
					seams++
					if d := r2.Norm(r2.Sub(r2.Add(pos[i], a), r2.Add(pos[j], b))); d > 0.05 {
						t.Errorf("joint %s is %.2f mm off between pages %d and %d", name, d, j+1, i+1)
					}
				}
			}
		}
	}
	if seams < 2*(len(at)-1) {
		t.Errorf("%d joints for %d pages", seams, len(at))
	}
	return pos
}

// The printed pages, laid together by their joints, show the outline with its
// area: within 0.2 %, the closed form being the witness. The area is the mean
// of that inside the line and that with the line, since the line's middle is
// the outline.
func TestJoinedPagesAreTrue(t *testing.T) {
	need(t, "pdftoppm", "pdftotext")
	for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
		const k = 0.75
		p := flower(k)
		p.Name = "x"
		pages, err := Tiles(p, sheet)
		if err != nil {
			t.Fatal(err)
		}
		pages = pages[1:] // without the map
		pos := joined(t, joints(t, pages))
		var bare []draw.Page // the cut line alone
		for _, pg := range pages {
			b := draw.NewPage(pg.Name, pg.W, pg.H)
			b.Add(draw.Cut, pg.Layer(draw.Cut)...)
			bare = append(bare, *b)
		}
		inner, outer := enclosed(rasters(t, bare, dpi), pos)
		got := (inner + outer) / 2 * dot * dot * 1e-6
		t.Logf("%s: %d pages, %.5f m² for %.5f", sheet.Name, len(pages), got, flowerArea(k))
		if math.Abs(got/flowerArea(k)-1) > 0.002 {
			t.Errorf("%s: joined area %.6f m², want %.6f", sheet.Name, got, flowerArea(k))
		}
	}
}

// enclosed pastes the pages together and counts the dots inside the line, and
// inside and on it, by flooding from the border.
func enclosed(pages []raster, pos []r2.Vec) (inner, outer float64) {
	x0, y0, x1, y1 := 0, 0, 0, 0
	at := make([][2]int, len(pos))
	for i, q := range pos {
		at[i] = [2]int{int(math.Round(q.X / dot)), int(math.Round(q.Y / dot))}
		x0, y0 = min(x0, at[i][0]), min(y0, at[i][1])
		x1, y1 = max(x1, at[i][0]+pages[i].w), max(y1, at[i][1]+pages[i].h)
	}
	w, h := x1-x0+2, y1-y0+2
	const line, outside = 1, 2
	all := make([]byte, w*h)
	for i, r := range pages {
		for y := range r.h {
			for x := range r.w {
				if r.dark(x, y) > 100 {
					all[(y+at[i][1]-y0+1)*w+x+at[i][0]-x0+1] = line
				}
			}
		}
	}
	all[0] = outside
	for stack := []int{0}; len(stack) > 0; {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, d := range [4]int{-1, 1, -w, w} {
			if n := c + d; n >= 0 && n < len(all) && all[n] == 0 {
				all[n] = outside
				stack = append(stack, n)
			}
		}
	}
	for _, v := range all {
		switch v {
		case 0:
			inner++
			outer++
		case line:
			outer++
		}
	}
	return inner, outer
}

// squareOn returns the check square of a page as a page of its own, and its box.
func squareOn(pg draw.Page) (bare draw.Page, box r2.Box, ok bool) {
	for _, it := range pg.Layer(draw.Words) {
		if q, is := it.(draw.Path); is && q.Closed {
			b := draw.NewPage(pg.Name, pg.W, pg.H)
			b.Add(draw.Words, q)
			return *b, q.Bounds(), true
		}
	}
	return bare, box, false
}

// Every page carries a check square, and as printed it measures what it says within
// 0.2 mm, both ways. The words beside it say how large it is.
func TestCheckSquareIsTrue(t *testing.T) {
	need(t, "pdftoppm")
	pages, err := Tiles(flower(0.9), draw.A4())
	if err != nil {
		t.Fatal(err)
	}
	var bare []draw.Page
	var boxes []r2.Box
	for _, pg := range pages {
		b, box, ok := squareOn(pg)
		if !ok {
			t.Fatalf("%s carries no check square", pg.Name)
		}
		bare, boxes = append(bare, b), append(boxes, box)
	}
	for i, r := range rasters(t, bare, dpi) {
		mid, says := boxes[i].Center(), math.Round(boxes[i].Size().X)
		if !says100(pages[i], says) {
			t.Errorf("%s: no words say that the square is of %g mm", pages[i].Name, says)
		}
		col, row := int(mid.X/dot), int((bare[i].H-mid.Y)/dot)
		half := int(says / 2 / dot)
		side := func(dark func(int) float64, c int) float64 {
			return (centroid(c+half/2, c+half*3/2, dark) - centroid(c-half*3/2, c-half/2, dark)) * dot
		}
		across := side(func(x int) float64 { return r.dark(x, row) }, col)
		down := side(func(y int) float64 { return r.dark(col, y) }, row)
		if math.Abs(across-says) > 0.2 || math.Abs(down-says) > 0.2 {
			t.Errorf("%s: the square measures %.2f by %.2f mm", bare[i].Name, across, down)
		}
	}
}

// says100 tells whether words on the page name a square of that side.
func says100(pg draw.Page, side float64) bool {
	all := ""
	for _, it := range pg.Layer(draw.Words) {
		if w, ok := it.(draw.Text); ok {
			all += w.String + " "
		}
	}
	return strings.Contains(all, fmt.Sprintf("%.0f mm check square", side))
}

// A page full of lines carries two sides of the square in its corner: 100 mm to
// their ticks, and clear of the pattern and of the page's words.
func TestFullPageCarriesACheckCorner(t *testing.T) {
	p := flower(1.2)
	for i := range 260 {
		y := 0.002 * float64(i-130)
		p.Knife = append(p.Knife, []r2.Vec{{X: -0.3, Y: y}, {X: 0.3, Y: y}})
	}
	pages, err := Tiles(p, draw.A4())
	if err != nil {
		t.Fatal(err)
	}
	corners := 0
	for _, pg := range pages {
		if _, _, ok := squareOn(pg); ok {
			continue
		}
		for _, it := range pg.Layer(draw.Words) {
			q, ok := it.(draw.Path)
			if !ok || len(q.Points) != 3 {
				continue
			}
			corners++
			a, at, b := q.Points[0], q.Points[1], q.Points[2]
			if r2.Norm(r2.Sub(a, at)) != 100 || r2.Norm(r2.Sub(b, at)) != 100 || r2.Dot(r2.Sub(a, at), r2.Sub(b, at)) != 0 {
				t.Errorf("%s: the corner runs %v", pg.Name, q.Points)
			}
			room := r2.Box{Min: r2.Vec{X: at.X - 1, Y: a.Y - 1}, Max: r2.Vec{X: tileMargin - 1, Y: at.Y + 1}}
			top := r2.Box{Min: r2.Vec{X: at.X - 1, Y: at.Y - 2}, Max: r2.Vec{X: b.X + 90, Y: at.Y + 2}}
			for _, l := range pg.Layers {
				for _, other := range l.Items {
					if l.Name != draw.Words && len(other.Clipped(room))+len(other.Clipped(top)) > 0 {
						t.Errorf("%s: the corner lies on layer %s", pg.Name, l.Name)
					}
				}
			}
		}
	}
	if corners == 0 {
		t.Fatal("every page had room for a square: the test tries nothing")
	}
}

// centroid is the middle of what is dark from a to b.
func centroid(a, b int, dark func(int) float64) float64 {
	sum, moment := 0.0, 0.0
	for i := a; i < b; i++ {
		v := dark(i)
		sum += v
		moment += v * (float64(i) + 0.5)
	}
	return moment / sum
}

// Pages that the piece does not touch are left out; the others say where they
// belong; two seams never share a letter.
func TestTilesAreLabelled(t *testing.T) {
	p := flower(1.3)
	pages, err := Tiles(p, draw.A4())
	if err != nil {
		t.Fatal(err)
	}
	tl := bestTiling(p.plot(), draw.A4())
	if len(pages)-1 >= tl.rows*tl.cols {
		t.Errorf("%d pages of %d: the empty corners should be left out", len(pages)-1, tl.rows*tl.cols)
	}
	seen := map[string]int{}
	for _, pg := range pages[1:] {
		here := map[string]bool{}
		label := false
		for _, it := range pg.Layer(draw.Paper) {
			if tx, ok := it.(draw.Text); ok {
				if regexp.MustCompile(`^[A-Z]+[12]$`).MatchString(tx.String) {
					if here[tx.String] {
						t.Errorf("%s carries %s twice", pg.Name, tx.String)
					}
					here[tx.String] = true
					seen[tx.String]++
				}
				label = label || strings.HasPrefix(tx.String, pg.Name)
			}
		}
		if !label {
			t.Errorf("%s is not labelled", pg.Name)
		}
	}
	for name, n := range seen {
		if n != 2 {
			t.Errorf("joint %s stands on %d pages", name, n)
		}
	}
}

// Letters count like the columns of a ledger.
func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA"} {
		if got := letters(n); got != want {
			t.Errorf("%d is %s, want %s", n, got, want)
		}
	}
}
