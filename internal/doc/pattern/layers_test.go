package pattern

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// lapped is a plate with a slit, its lap lines, a snip, a stop and its film.
func lapped() Piece {
	return Piece{Name: "P02", Ply: 2, Fabric: "cloth", Angle: si.Degrees(45), Warp: r2.Vec{X: 1}, Words: []string{"Ply 2 · piece P02", "cloth, warp at 45°", "this side up: away from the mould"},
		Outline: geom.Rect(-0.1, -0.1, 0.3, 0.2), Net: geom.Rect(-0.08, -0.08, 0.28, 0.18),
		Trim:    [][]r2.Vec{{{X: -0.08, Y: -0.08}, {X: 0.28, Y: -0.08}, {X: 0.28, Y: 0.18}}},
		Knife:   [][]r2.Vec{{{X: 0.1, Y: 0.05}, {X: 0.3, Y: 0.05}}},
		Notches: [][]r2.Vec{{{X: 0.2, Y: -0.1}, {X: 0.2, Y: -0.096}}},
		Stops:   []Stop{{At: r2.Vec{X: 0.1, Y: 0.05}, Radius: 0.002}},
		Carrier: geom.Rect(-0.12, -0.12, 0.32, 0.22),
		Marks: []Line{
			{Points: []r2.Vec{{X: 0.1, Y: 0.06}, {X: 0.28, Y: 0.06}}, Label: "lap line", Kind: LapLine},
			{Points: []r2.Vec{{X: 0.15, Y: 0.04}, {X: 0.15, Y: 0.06}}, Label: "A1"},
		}}
}

// Read back from DXF: only the outline is on cut, and what else is cut on knife; the
// film holds the piece with its margin; the stop is a circle of its radius.
func TestLayersReadBack(t *testing.T) {
	sh, err := Sheet(lapped())
	if err != nil {
		t.Fatal(err)
	}
	d := readBack(t, sh)
	cut, film := d.On("cut"), d.On(CarrierLayer)
	if len(cut) != 1 || len(film) != 1 || !film[0].Closed {
		t.Fatalf("%d outlines, %d films", len(cut), len(film))
	}
	a, b := geom.Polygon(cut[0].Points).Bounds(), geom.Polygon(film[0].Points).Bounds()
	for _, v := range []float64{a.Min.X - b.Min.X, a.Min.Y - b.Min.Y, b.Max.X - a.Max.X, b.Max.Y - a.Max.Y} {
		if math.Abs(v-20) > 1e-5 {
			t.Errorf("a margin of %g mm", v)
		}
	}
	var long []float64
	for _, e := range d.On(KnifeLayer) {
		long = append(long, r2.Norm(r2.Sub(e.Points[1], e.Points[0])))
	}
	if len(long) != 2 || math.Abs(long[0]-200) > 1e-5 || math.Abs(long[1]-4) > 1e-5 {
		t.Errorf("knife lines of %v mm", long)
	}
	if laps := d.On(LapLayer); len(laps) != 1 || math.Abs(r2.Norm(r2.Sub(laps[0].Points[1], laps[0].Points[0]))-180) > 1e-5 {
		t.Errorf("lap lines %v", laps)
	}
	rounds := 0
	for _, e := range d.On("mark") {
		if e.Kind == "CIRCLE" && math.Abs(e.R-2) < 1e-9 {
			rounds++
		}
	}
	if rounds != 1 {
		t.Errorf("%d rounds", rounds)
	}
}

// Words of lap lines stand in the legend, not on the piece; a match mark has its
// name. The printed pages show the piece alone, not its film.
func TestLapLinesAreExplained(t *testing.T) {
	p := lapped()
	words := map[string]bool{}
	for _, it := range p.art().Layer(draw.Words) {
		if w, ok := it.(draw.Text); ok {
			words[w.String] = true
		}
	}
	if words["lap line"] || !words["A1"] || !words["Ply 2 · piece P02"] {
		t.Errorf("words %v", words)
	}
	pages, err := Tiles(p, draw.A4())
	if err != nil {
		t.Fatal(err)
	}
	for _, pg := range pages {
		if len(pg.Layer(CarrierLayer)) > 0 {
			t.Error("a page shows the film")
		}
	}
}

// The thread figure keeps off other marks where the piece has room for it.
func TestThreadsKeepOffMarks(t *testing.T) {
	p := lapped()
	p.Marks = append(p.Marks, Line{Points: []r2.Vec{{X: 0.1, Y: -0.1}, {X: 0.1, Y: 0.2}}, Label: "x 100"})
	at, dir := 0.0, 0.0
	for i, it := range p.art().Layer(draw.Warp) {
		if l, ok := it.(draw.Path); ok && i == 0 {
			at, dir = l.Points[0].X, l.Points[1].X
		}
	}
	if at < 100 && dir > 100 {
		t.Errorf("the warp line from %g to %g mm crosses the mark at 100 mm", at, dir)
	}
}
