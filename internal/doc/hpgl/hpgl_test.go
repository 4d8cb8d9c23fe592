package hpgl_test

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/hpgl"
)

// stroke is one line that a tool made, in mm.
type stroke struct {
	tool int
	pts  []r2.Vec
}

func (s stroke) closed() bool { return len(s.pts) > 3 && s.pts[0] == s.pts[len(s.pts)-1] }

func (s stroke) area() (sum float64) {
	for i := 1; i < len(s.pts); i++ {
		sum += r2.Cross(s.pts[i-1], s.pts[i]) / 2
	}
	return sum
}

// read is a plotter of its own, after the language and not after the writer:
// instructions of two letters, absolute moves in units of 0.025 mm, words up to ETX.
func read(t *testing.T, file []byte) (strokes []stroke, words []string) {
	t.Helper()
	src := string(file)
	tool, down, at := 0, false, r2.Vec{}
	for len(src) > 0 {
		if strings.ContainsRune(" \r\n;", rune(src[0])) {
			src = src[1:]
			continue
		}
		if len(src) < 2 {
			t.Fatalf("half an instruction: %q", src)
		}
		name := src[:2]
		src = src[2:]
		if name == "LB" {
			end := strings.IndexByte(src, 3)
			if end < 0 {
				t.Fatal("words without an end")
			}
			words = append(words, src[:end])
			src = src[end+1:]
			continue
		}
		end := strings.IndexByte(src, ';')
		if end < 0 {
			t.Fatalf("%s has no end", name)
		}
		args := strings.TrimSpace(src[:end])
		if len(name)+len(args) > 500 {
			t.Errorf("an instruction of %d letters", len(name)+len(args))
		}
		src = src[end+1:]
		switch name {
		case "IN":
			tool, down, at = 0, false, r2.Vec{}
		case "SP":
			tool, _ = strconv.Atoi(args)
		case "DI", "SI":
		case "PU", "PD":
			if name == "PD" && !down {
				strokes = append(strokes, stroke{tool, []r2.Vec{at}})
			}
			down = name == "PD"
			xy := strings.Split(args, ",")
			for i := 0; i+1 < len(xy); i += 2 {
				x, errX := strconv.Atoi(xy[i])
				y, errY := strconv.Atoi(xy[i+1])
				if errX != nil || errY != nil {
					t.Fatalf("%s%s: not whole numbers", name, args)
				}
				at = r2.Vec{X: float64(x) * 0.025, Y: float64(y) * 0.025}
				if down {
					n := len(strokes) - 1
					strokes[n].pts = append(strokes[n].pts, at)
				}
			}
		default:
			t.Fatalf("%s is no instruction that a pattern needs", name)
		}
	}
	return strokes, words
}

func write(t *testing.T, p draw.Page, tool hpgl.Tool) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := hpgl.Write(&b, p, tool); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// ellipse is a piece of known area π·a·b (1,500 chords lose 3e-6 of it).
func ellipse(a, b float64) []r2.Vec {
	pts := make([]r2.Vec, 1500)
	for i := range pts {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(len(pts)))
		pts[i] = r2.Vec{X: 600 + a*c, Y: 300 + b*s}
	}
	return pts
}

func page() draw.Page {
	p := draw.NewPage("p", 1200, 600)
	p.Add(draw.Cut, draw.Ring(draw.InkPen(0.35), ellipse(550, 250)))
	p.Add("knife", draw.Line(draw.Pen{Width: 0.35, Colour: draw.Ink, Dash: []float64{8, 2}}, r2.Vec{X: 500, Y: 300}, r2.Vec{X: 600, Y: 300}))
	p.Add("knife", draw.Circle{At: r2.Vec{X: 700, Y: 300}, R: 20, Pen: draw.InkPen(0.3)})
	p.Add(draw.Mark, draw.Line(draw.InkPen(0.3), r2.Vec{X: 400, Y: 250}, r2.Vec{X: 420, Y: 250}))
	p.Add(draw.Warp, draw.Path{Points: ellipse(5, 5), Closed: true, Fill: draw.Ink})
	p.Add(draw.Words, draw.Text{At: r2.Vec{X: 600, Y: 400}, String: "P01 · 45°", Size: 16, Align: draw.Centre})
	p.Add(draw.Paper, draw.Line(draw.InkPen(0.3), r2.Vec{}, r2.Vec{X: 100}))
	return *p
}

// A knife's file holds what is cut and nothing else: with tool 1 throughout, the
// inner cuts in full lines before the line round the piece, whose area is that of
// the closed form.
func TestKnifeCutsOnlyCuts(t *testing.T) {
	strokes, words := read(t, write(t, page(), hpgl.Knife))
	if len(words) != 0 || len(strokes) != 3 {
		t.Fatalf("%d lines and %d words, want 3 and 0", len(strokes), len(words))
	}
	for _, s := range strokes {
		if s.tool != 1 {
			t.Errorf("tool %d", s.tool)
		}
	}
	if slit := strokes[0].pts; len(slit) != 2 || slit[0] != (r2.Vec{X: 500, Y: 300}) || slit[1] != (r2.Vec{X: 600, Y: 300}) {
		t.Errorf("the slit runs %v", slit)
	}
	last := strokes[2]
	if got, want := last.area(), math.Pi*550*250; !last.closed() || math.Abs(got/want-1) > 0.0005 {
		t.Errorf("the piece: closed %v, %.1f mm² against %.1f", last.closed(), got, want)
	}
	if got, want := strokes[1].area(), math.Pi*20*20; !strokes[1].closed() || math.Abs(got/want-1) > 0.002 {
		t.Errorf("the hole: %.2f mm² against %.2f", got, want)
	}
}

// A pen's file tells the layers apart by pens, draws dashes as dashes (the ink of
// a slit of 100 mm in dashes of 8 and gaps of 2 is 80 mm) and writes words in
// seven bits.
func TestPensByLayer(t *testing.T) {
	strokes, words := read(t, write(t, page(), hpgl.Pen))
	if len(words) != 1 || words[0] != "P01 - 45 deg" {
		t.Errorf("words %q", words)
	}
	ink := map[int]float64{}
	for _, s := range strokes {
		for i := 1; i < len(s.pts); i++ {
			ink[s.tool] += r2.Norm(r2.Sub(s.pts[i], s.pts[i-1]))
		}
	}
	for tool, want := range map[int]float64{2: 80 + 2*math.Pi*20, 3: 20, 4: 0, 5: 0} {
		if math.Abs(ink[tool]-want) > 0.1 {
			t.Errorf("pen %d draws %.2f mm, want %.2f", tool, ink[tool], want)
		}
	}
	if ink[1] < 2600 {
		t.Errorf("pen 1 draws %.0f mm", ink[1])
	}
}

// Dashes go round corners and end with the line: two sides of 10 in dashes of 4
// and gaps of 2 hold ink from 0–4, 6–10 and 12–16, 18–20.
func TestDashesGoRoundCorners(t *testing.T) {
	p := draw.NewPage("p", 50, 50)
	p.Add(draw.Mark, draw.Line(draw.Pen{Width: 0.3, Colour: draw.Ink, Dash: []float64{4, 2}}, r2.Vec{}, r2.Vec{X: 10}, r2.Vec{X: 10, Y: 10}))
	strokes, _ := read(t, write(t, *p, hpgl.Pen))
	want := [][2]r2.Vec{{{}, {X: 4}}, {{X: 6}, {X: 10}}, {{X: 10, Y: 2}, {X: 10, Y: 6}}, {{X: 10, Y: 8}, {X: 10, Y: 10}}}
	if len(strokes) != len(want) {
		t.Fatalf("%d dashes, want %d: %v", len(strokes), len(want), strokes)
	}
	for i, w := range want {
		if got := strokes[i].pts; got[0] != w[0] || got[len(got)-1] != w[1] {
			t.Errorf("dash %d runs %v, want %v", i, got, w)
		}
	}
}

func TestRefusesWhatAPlotterCantReach(t *testing.T) {
	p := draw.NewPage("long", 210_000, 500)
	if err := hpgl.Write(&bytes.Buffer{}, *p, hpgl.Pen); err == nil {
		t.Error("a page of 210 m was written; 8,388,607 units are 209.7 m")
	}
}

func TestSameBytes(t *testing.T) {
	if !bytes.Equal(write(t, page(), hpgl.Pen), write(t, page(), hpgl.Pen)) {
		t.Error("two runs differ")
	}
}

// An independent reader of the language, which knows nothing of this program,
// finds the piece with its area within 0.05 %.
func TestIndependentReaderFindsTheArea(t *testing.T) {
	if _, err := exec.LookPath("hp2xx"); err != nil {
		t.Skip("needs hp2xx from the Debian package hp2xx")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "p.plt")
	if err := os.WriteFile(file, write(t, page(), hpgl.Knife), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "p.dxf")
	if log, err := exec.Command("hp2xx", "-q", "-t", "-m", "dxf", "-f", out, file).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, log)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, s := range segments(string(text)) {
		if r2.Norm(r2.Sub(s[0], r2.Vec{X: 550, Y: 250})) > 200 { // not of what is inside; this reader puts the origin at the piece's corner
			area += r2.Cross(s[0], s[1]) / 2
		}
	}
	want := math.Pi * 550 * 250
	t.Logf("%.1f mm² against %.1f, %+.4f %%", area, want, 100*(area/want-1))
	if math.Abs(area/want-1) > 0.0005 {
		t.Errorf("%.1f mm², want %.1f", area, want)
	}
}

// segments are the lines of a drawing exchange file.
func segments(text string) (out [][2]r2.Vec) {
	for _, e := range strings.Split(text, "LINE")[1:] {
		var s [2]r2.Vec
		f := strings.Fields(e)
		for i := 0; i+1 < len(f); i++ {
			v, _ := strconv.ParseFloat(f[i+1], 64)
			switch f[i] {
			case "10":
				s[0].X, i = v, i+1
			case "20":
				s[0].Y, i = v, i+1
			case "11":
				s[1].X, i = v, i+1
			case "21":
				s[1].Y, i = v, i+1
			}
		}
		out = append(out, s)
	}
	return out
}
