package pattern

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// Roll is a strip of cloth with the pieces laid on it. x runs along the roll,
// which is the warp, y across it.
type Roll struct {
	Part     string
	Material string
	Width    si.Length
	Length   si.Length // of what is used
	Use      float64   // share of the used strip that is pieces, 0 to 1
	Pieces   []Placed
}

// Placed is one piece where it lies on the roll.
type Placed struct {
	Name    string
	Outline geom.Polygon // m, on the roll
	Knife   [][]r2.Vec   // knife lines inside, m, on the roll
	Marks   []Line       // notches and match marks, m, on the roll
}

// Place carries a piece's own outline to the roll: flipped about its x axis,
// then turned about its origin, then shifted.
func Place(outline geom.Polygon, shift r2.Vec, turn si.Angle, flipped bool) geom.Polygon {
	if flipped {
		outline = outline.Flip()
	}
	return outline.Turn(float64(turn)).Shift(shift)
}

func (r Roll) check() error {
	field := "roll." + r.Material
	if err := fault.Check(field+".width", float64(r.Width), leastSide, longestSide, " m", "a roll's width"); err != nil {
		return err
	}
	return fault.Check(field+".length", float64(r.Length), leastSide, 500, " m", "a roll's length")
}

// strip is the used part of the roll in millimetres.
func (r Roll) strip() r2.Box {
	return r2.NewBox(0, 0, float64(r.Length)*1000, float64(r.Width)*1000)
}

// headline says what is cut from what.
func (r Roll) headline() string {
	return fmt.Sprintf("%s: %.0f mm of %.0f mm roll, %.0f %% used", r.Material, float64(r.Length)*1000, float64(r.Width)*1000, r.Use*100)
}

// rollNameSize is read from beside the table, in points.
const rollNameSize = 40

// RollSheet draws the layout at full size for a cutter: outlines on cut, slits on
// knife, the edges of the strip on mark.
func RollSheet(r Roll) (draw.Page, error) {
	if err := r.check(); err != nil {
		return draw.Page{}, err
	}
	strip := r.strip()
	words := append([]string{r.headline(), "Full size; all lengths in millimetres. Warp runs along the roll."}, partLine(r.Part)...)
	pg := draw.NewPage(r.headline(), max(strip.Max.X, 300)+2*sheetMargin, strip.Max.Y+checkSide+3*sheetMargin)
	shift := draw.Move(r2.Vec{X: sheetMargin, Y: checkSide + 2*sheetMargin})
	full := draw.FromMetres().Then(shift)
	for _, p := range r.Pieces {
		pg.Add(draw.Cut, draw.Ring(cutPen(), full.All(p.Outline)))
		for _, k := range p.Knife {
			pg.Add(KnifeLayer, draw.Line(cutPen(), full.All(k)...))
		}
		for _, m := range p.Marks {
			layer, pen := m.Kind.drawn()
			pg.Add(layer, draw.Line(pen, full.All(m.Points)...))
		}
	}
	pg.Add(draw.Mark, draw.Rect(strip, netPen(), 0).Moved(shift))
	pg.Add(draw.Warp, draw.MoveAll(shift, rollThreads(strip, 60))...)
	pg.Add(draw.Words, draw.Text{At: shift.Do(r2.Vec{X: min(60, strip.Max.X/2) + 3, Y: -12}), String: "warp", Size: legendSize, Rise: draw.MidHeight, Colour: draw.Ink})
	for _, p := range r.Pieces {
		pg.Add(draw.Words, rollName(p, rollNameSize, full)...)
	}
	pg.Add(draw.Words, checkSquare(r2.Vec{X: sheetMargin, Y: sheetMargin})...)
	pg.Add(draw.Words, lines(words, legendSize, r2.Vec{X: 2*sheetMargin + checkSide, Y: sheetMargin + checkSide}, draw.Start)...)
	return *pg, nil
}

func partLine(part string) []string {
	if part == "" {
		return nil
	}
	return []string{part}
}

// rollThreads shows the warp along the lower edge of the strip, length mm long.
func rollThreads(strip r2.Box, length float64) []draw.Item {
	length = min(length, strip.Size().X/2)
	head := length / 8
	a := r2.Vec{X: 0, Y: -head * 1.6}
	b := r2.Add(a, r2.Vec{X: length})
	items := []draw.Item{
		draw.Line(warpPen(), a, b),
		draw.Path{Points: []r2.Vec{b, {X: b.X - head, Y: b.Y + head/3}, {X: b.X - head, Y: b.Y - head/3}}, Closed: true, Pen: weftPen(), Fill: draw.Ink},
	}
	for i := 1; i < 6; i++ {
		x := float64(i) * length / 7
		items = append(items, draw.Line(weftPen(), r2.Vec{X: x, Y: a.Y - head/2.5}, r2.Vec{X: x, Y: a.Y + head/2.5}))
	}
	return items
}

// rollName writes a piece's name at its roomiest place, smaller where it must
// be but never under 8 points; a piece too small for that has none.
func rollName(p Placed, size float64, fit draw.Affine) []draw.Item {
	outline := geom.Polygon(fit.All(p.Outline))
	if len(outline) < 3 {
		return nil
	}
	f := newField(outline, nil)
	for ; size >= draw.Small; size-- {
		w, h := blockSize([]string{p.Name}, size)
		if at, ok := f.free.nearest(w, h, f.spot); ok {
			return []draw.Item{draw.Text{At: at, String: p.Name, Size: size, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}}
		}
	}
	return nil
}
