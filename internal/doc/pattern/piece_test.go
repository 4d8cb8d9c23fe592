package pattern

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/dxfread"
	"laywright/internal/doc/pdf"
	"laywright/internal/doc/svg"
)

// flower is a piece with a wavy outline r(θ) = k(a + b·cos 4θ + c·sin 3θ),
// whose area has the closed form πk²(a² + (b² + c²)/2).
func flower(k float64) Piece {
	p := Piece{Part: "DN-21-004 Demist box", Name: "3B", Ply: 3, Fabric: "carbon plain, 193 g/m²", Angle: si.Degrees(45), Count: 2,
		Warp: r2.Vec{X: 1, Y: 1}, Seed: &r2.Vec{X: 0.02 * k, Y: -0.03 * k}, Notes: []string{"Lap 15 mm over piece 3A."}}
	const n = 2000
	for i := range n {
		th := 2 * math.Pi * float64(i) / n
		r := k * (flowerA + flowerB*math.Cos(4*th) + flowerC*math.Sin(3*th))
		p.Outline = append(p.Outline, r2.Vec{X: r * math.Cos(th), Y: r * math.Sin(th)})
		p.Net = append(p.Net, r2.Vec{X: 0.92 * r * math.Cos(th), Y: 0.92 * r * math.Sin(th)})
	}
	for i, at := range []int{250, 1250} {
		p.Marks = append(p.Marks, Line{Points: []r2.Vec{p.Outline[at], r2.Scale(0.95, p.Outline[at])}, Label: string(rune('a' + i))})
	}
	return p
}

const flowerA, flowerB, flowerC = 0.22, 0.05, 0.03

func flowerArea(k float64) float64 {
	return math.Pi * k * k * (flowerA*flowerA + (flowerB*flowerB+flowerC*flowerC)/2)
}

func readBack(t *testing.T, pg draw.Page) dxfread.Drawing {
	t.Helper()
	var buf bytes.Buffer
	if err := dxf.Write(&buf, pg); err != nil {
		t.Fatal(err)
	}
	d, err := dxfread.Read(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The cut line that a cutter reads has the area of the closed form (and that of
// the polygon to a millionth), the handedness of the piece, and nothing else
// stands on its layer.
func TestDXFOutlineIsTrue(t *testing.T) {
	p := flower(1)
	sh, err := Sheet(p)
	if err != nil {
		t.Fatal(err)
	}
	d := readBack(t, sh)
	cut := d.On("cut")
	if len(cut) != 1 || !cut[0].Closed || len(cut[0].Points) != len(p.Outline) {
		t.Fatalf("the cut layer holds %d things", len(cut))
	}
	if got, want := cut[0].Area()*1e-6, flowerArea(1); math.Abs(got/want-1) > 1e-4 { // 2,000 chords lose 5e-5
		t.Errorf("area %.6f m², closed form %.6f", got, want)
	}
	if got, want := cut[0].Area()*1e-6, p.Outline.Area(); math.Abs(got/want-1) > 1e-6 {
		t.Errorf("area %.9f m², polygon %.9f", got, want)
	}
	if geom.Polygon(cut[0].Points).Area() < 0 {
		t.Error("the outline is mirrored")
	}
	squares := 0
	for _, e := range d.On("text") {
		if e.Kind == "POLYLINE" && math.Abs(e.Area()-100*100) < 1e-6 {
			squares++
		}
	}
	if squares != 1 {
		t.Errorf("%d check squares", squares)
	}
}

// The thread arrow runs along the warp, lies inside the piece, and its cross
// lines stand square to it.
func TestThreadsFollowTheWarp(t *testing.T) {
	for _, deg := range []float64{0, 30, 90, 135, 180, 250} {
		p := flower(1)
		s, c := math.Sincos(deg * math.Pi / 180)
		p.Warp = r2.Vec{X: 3 * c, Y: 3 * s}
		art := p.art()
		outline := geom.Polygon(draw.FromMetres().All(p.Outline))
		longest := 0.0
		for i, it := range art.Layer(draw.Warp) {
			line, ok := it.(draw.Path)
			if !ok || line.Closed {
				continue
			}
			v := r2.Sub(line.Points[1], line.Points[0])
			along := r2.Dot(v, r2.Vec{X: c, Y: s}) / r2.Norm(v)
			if i == 0 && math.Abs(along-1) > 1e-9 || i > 0 && math.Abs(along) > 1e-9 {
				t.Errorf("warp at %g°: line %d has the cosine %.6f", deg, i, along)
			}
			longest = max(longest, r2.Norm(v))
			for _, q := range line.Points {
				if !outline.Contains(q) {
					t.Errorf("warp at %g°: a thread leaves the piece", deg)
				}
			}
		}
		if longest < 60 {
			t.Errorf("warp at %g°: the arrow is %.0f mm long", deg, longest)
		}
	}
}

// Words on the piece stay inside it, off its lines, and at least 10 points high.
func TestWordsKeepOffTheLines(t *testing.T) {
	for _, k := range []float64{0.1, 0.2, 0.4, 1, 3} {
		p := flower(k)
		p.Marks = nil
		art := p.art()
		outline := geom.Polygon(draw.FromMetres().All(p.Outline))
		n := 0
		for _, it := range art.Layer(draw.Words) {
			b := it.Bounds()
			n++
			for _, v := range b.Vertices() {
				if !outline.Contains(v) {
					t.Errorf("size %g: %q leaves the piece", k, it.(draw.Text).String)
				}
			}
			for _, w := range art.Layer(draw.Warp) {
				if len(w.Clipped(b)) > 0 {
					t.Errorf("size %g: %q lies on the threads", k, it.(draw.Text).String)
				}
			}
			if it.(draw.Text).Size < 10 {
				t.Errorf("size %g: words of %g points", k, it.(draw.Text).Size)
			}
		}
		if n == 0 {
			t.Errorf("size %g: nothing is written on the piece", k)
		}
	}
}

// The largest empty square of an L with arms 20 and 30 wide lies
// in the wider one; a long strip is written on in its middle.
func TestRoomiestPlace(t *testing.T) {
	l := geom.Polygon{{}, {X: 100}, {X: 100, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 100}, {Y: 100}}
	if got := newField(l, nil).spot; !(got.X < 30 && l.Distance(got) > 9) {
		t.Errorf("L: %v", got)
	}
	strip := geom.Rect(0, 0, 600, 20).Turn(0.3)
	if got, want := newField(strip, nil).spot, strip.Centroid(); r2.Norm(r2.Sub(got, want)) > 15 {
		t.Errorf("strip: %v, middle %v", got, want)
	}
}

func TestSameBytes(t *testing.T) {
	write := func() []byte {
		p := flower(0.7)
		sh, err := Sheet(p)
		if err != nil {
			t.Fatal(err)
		}
		tiles, err := Tiles(p, draw.A4())
		if err != nil {
			t.Fatal(err)
		}
		var buf bytes.Buffer
		for _, err := range []error{dxf.Write(&buf, sh), svg.Write(&buf, sh), pdf.Write(&buf, tiles, pdf.Meta{})} {
			if err != nil {
				t.Fatal(err)
			}
		}
		return buf.Bytes()
	}
	if first := write(); !bytes.Equal(first, write()) {
		t.Error("two runs differ")
	}
}

func TestRefusesPiecesThatCantBeDrawn(t *testing.T) {
	broken := map[string]func(*Piece){
		"no outline":  func(p *Piece) { p.Outline = p.Outline[:2] },
		"not numbers": func(p *Piece) { p.Outline[3].X = math.NaN() },
		"millimetres": func(p *Piece) { p.Outline = p.Outline.Scale(1000) },
		"nothing":     func(p *Piece) { p.Outline = p.Outline.Scale(1e-6) },
		"no warp":     func(p *Piece) { p.Warp = r2.Vec{} },
		"warp NaN":    func(p *Piece) { p.Warp.X = math.NaN() },
	}
	for name, harm := range broken {
		p := flower(1)
		harm(&p)
		_, err := Sheet(p)
		var input *fault.Input
		var rng *fault.Range
		if !errors.As(err, &input) && !errors.As(err, &rng) {
			t.Errorf("%s: %v", name, err)
		} else if !strings.Contains(err.Error(), "3B") {
			t.Errorf("%s: %q does not name the piece", name, err)
		}
		if _, err := Tiles(p, draw.A4()); err == nil {
			t.Errorf("%s: tiled", name)
		}
	}
	if _, err := Tiles(flower(30), draw.A4()); err == nil {
		t.Error("a piece of thousands of pages was tiled")
	}
}

// The small picture keeps shape and hand: its area is the piece's at the
// scale of its width.
func TestPictureKeepsShape(t *testing.T) {
	p := flower(1)
	box := r2.NewBox(10, 10, 70, 60)
	items, err := Picture(p, box)
	if err != nil {
		t.Fatal(err)
	}
	small := geom.Polygon(items[0].(draw.Path).Points)
	k := small.Bounds().Size().X / p.Outline.Bounds().Size().X
	if got := small.Area() / (k * k); math.Abs(got/p.Outline.Area()-1) > 1e-9 {
		t.Errorf("area %.6f, want %.6f", got, p.Outline.Area())
	}
	for _, it := range items {
		b := it.Bounds()
		if b.Min.X < box.Min.X-0.5 || b.Max.X > box.Max.X+0.5 || b.Min.Y < box.Min.Y-0.5 || b.Max.Y > box.Max.Y+0.5 {
			t.Errorf("%+v leaves its box", it)
		}
	}
}
