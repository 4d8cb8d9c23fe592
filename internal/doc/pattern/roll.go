package pattern

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// Roll is a strip of cloth with the pieces laid on it. x runs along the roll,
// which is the warp, y across it from the selvedge that is near as it is drawn.
type Roll struct {
	Part     string
	Material string
	From     string // which roll or remnant it is, with its lot; may be empty
	Width    si.Length
	Length   si.Length      // of what is used
	Edge     si.Length      // of each selvedge that is not laid on
	Show     si.System      // how its measures are shown
	Use      float64        // share of the used strip that is pieces, 0 to 1
	Outline  geom.Polygon   // of a remnant, m; none: the whole strip
	Defects  []geom.Polygon // where the cloth is bad or gone, m
	Sections []si.Length    // places along the roll that no piece crosses: ends of the table
	Kept     []Kept         // what is left and worth keeping
	Blanks   []Blank        // where it is first cut straight across, by hand; may be none
	Pieces   []Placed
}

// Kept is a remnant worth keeping, m on the roll.
type Kept struct {
	Name    string
	Outline geom.Polygon
}

// Blank is a length of the roll that is cut off straight across, and the pieces that
// are cut from it.
type Blank struct {
	From, To si.Length
	Pieces   []string
}

func (r Roll) check() error {
	field := "roll." + r.Material
	if err := fault.Check(field+".width", float64(r.Width), leastSide, longestSide, " m", "a roll's width"); err != nil {
		return err
	}
	if err := fault.Check(field+".length", float64(r.Length), leastSide, 500, " m", "a roll's length"); err != nil {
		return err
	}
	for _, p := range r.Pieces {
		if err := p.Piece.check(); err != nil {
			return err
		}
	}
	return nil
}

// strip is the used part of the roll in millimetres.
func (r Roll) strip() r2.Box {
	return r2.NewBox(0, 0, float64(r.Length)*1000, float64(r.Width)*1000)
}

// headline says what is cut from what.
func (r Roll) headline() string {
	if len(r.Outline) > 0 {
		return fmt.Sprintf("%s: remnant of %s by %s, %.0f %% used", r.Title(), r.shown(r.Length), r.shown(r.Width), r.Use*100)
	}
	return fmt.Sprintf("%s: %s of %s roll, %.0f %% used", r.Title(), r.shown(r.Length), r.shown(r.Width), r.Use*100)
}

// shown is a length of the roll: "387 mm", "15.2 in".
func (r Roll) shown(l si.Length) string {
	if r.Show == si.US {
		return strings.TrimSuffix(fmt.Sprintf("%.1f", si.In(l, "in")), ".0") + " in"
	}
	return fmt.Sprintf("%.0f mm", si.In(l, "mm"))
}

// Title names the cloth, and the roll where there are several.
func (r Roll) Title() string {
	if r.From == "" {
		return r.Material
	}
	return r.Material + ", " + r.From
}

// RollSheet draws the layout at full size for a cutter: outlines on cut, slits and
// snips on knife, the pieces' marks, the edges of the cloth, its defects and the
// ends of the table on mark.
func RollSheet(r Roll) (draw.Page, error) {
	if err := r.check(); err != nil {
		return draw.Page{}, err
	}
	return r.plot().sheet(), nil
}

// plot is the whole roll as sheets and pages see it.
func (r Roll) plot() plot {
	p := plot{art: r.art(), field: "roll." + r.Material, head: r.headline(), part: r.Part,
		facts: append([]string{r.headline()}, partLine(r.Part)...), legend: r.lineWords(), goods: "cloth"}
	for _, x := range r.Pieces {
		p.outlines = append(p.outlines, draw.FromMetres().All(x.Outline()))
	}
	return p
}

// lineWords says what the lines on a roll mean.
func (r Roll) lineWords() []string {
	out := []string{"Warp runs along the roll. Full line: cut. Long dashes: slit. Dashed frame: the edges of the cloth."}
	if len(r.Defects) > 0 {
		out = append(out, "Hatched: bad cloth; no piece lies there.")
	}
	if len(r.Kept) > 0 {
		out = append(out, "Dotted: worth keeping. Write the name and the lot on it.")
	}
	if len(r.Blanks) > 0 {
		out = append(out, "Wide dots across the roll: cut it here first, straight across.")
	}
	if len(r.Sections) > 0 {
		out = append(out, "Dash and dot across the roll: the end of the table; no piece crosses it.")
	}
	return out
}

func partLine(part string) []string {
	if part == "" {
		return nil
	}
	return []string{part}
}

// art draws the roll alone, full size, in millimetres from its start.
func (r Roll) art() *draw.Page {
	strip := r.strip()
	pg := draw.NewPage(r.headline(), 0, 0)
	drawn := map[string]*draw.Page{} // copies that lie alike are drawn once
	for _, x := range r.Pieces {
		key := fmt.Sprint(x.Piece.Name, x.Turn, x.Flipped)
		if drawn[key] == nil {
			at := x
			at.At = r2.Vec{}
			drawn[key] = at.Laid().onRoll()
		}
		move := draw.FromMetres().Do(x.At)
		for _, l := range drawn[key].Layers {
			pg.Add(l.Name, draw.MoveAll(draw.Move(move), l.Items)...)
		}
	}
	pg.Add(draw.Mark, r.cloth(draw.FromMetres())...)
	for _, k := range r.Kept {
		pg.Add(draw.Words, keptName(k, 28, draw.FromMetres())...)
	}
	pg.Add(draw.Warp, rollThreads(strip, 60)...)
	pg.Add(draw.Words, draw.Text{At: r2.Vec{X: min(60, strip.Max.X/2) + 3, Y: -12}, String: "warp", Size: legendSize, Rise: draw.MidHeight, Colour: draw.Ink})
	return pg
}

// cloth draws the edges of the cloth, the margin along them, what is bad in it and
// the ends of the table; pens and dashes are those of a full-size drawing.
func (r Roll) cloth(fit draw.Affine) []draw.Item {
	long, wide := float64(r.Length), float64(r.Width)
	edge := geom.Rect(0, 0, long, wide)
	if len(r.Outline) > 2 {
		edge = r.Outline
	}
	items := []draw.Item{draw.Ring(netPen(), fit.All(edge))}
	if e := float64(r.Edge); e > 0 && len(r.Outline) < 3 {
		for _, y := range [...]float64{e, wide - e} {
			items = append(items, draw.Line(datumPen(), fit.All([]r2.Vec{{Y: y}, {X: long, Y: y}})...))
		}
	}
	all := geom.Polygon(fit.All(geom.Rect(0, 0, long, wide))).Bounds()
	for _, d := range r.Defects {
		for _, it := range hatched(fit.All(d)) {
			items = append(items, it.Clipped(all)...)
		}
	}
	for _, k := range r.Kept {
		items = append(items, draw.Ring(lapLinePen(), fit.All(k.Outline)))
	}
	for _, b := range r.Blanks {
		for _, x := range [...]float64{float64(b.From), float64(b.To)} {
			items = append(items, draw.Line(blankPen(), fit.All([]r2.Vec{{X: x}, {X: x, Y: wide}})...))
		}
	}
	for _, s := range r.Sections {
		if x := float64(s); 0 < x && x < long {
			items = append(items, draw.Line(lapToPen(), fit.All([]r2.Vec{{X: x}, {X: x, Y: wide}})...))
		}
	}
	return items
}

// hatchEach parts the lines of a hatching, in mm on paper.
const hatchEach = 4.0

// hatched draws a ring filled with slanting lines.
func hatched(ring geom.Polygon) []draw.Item {
	items := []draw.Item{draw.Ring(markPen(), ring)}
	turned := ring.Turn(-hatchAngle)
	box := turned.Bounds()
	for y := box.Min.Y + hatchEach/2; y < box.Max.Y; y += hatchEach {
		xs := crossings(turned, y)
		for i := 0; i+1 < len(xs); i += 2 {
			line := geom.Polygon{{X: xs[i], Y: y}, {X: xs[i+1], Y: y}}
			items = append(items, draw.Line(datumPen(), line.Turn(hatchAngle)...))
		}
	}
	return items
}

// hatchAngle is the slope of a hatching in radians; no piece's thread lies so.
const hatchAngle = 1.0

// onRoll is the piece's drawing with its name large, before all that may lack room:
// on the table it is looked for by that.
func (p Piece) onRoll() *draw.Page {
	art := p.lines()
	f := p.field(art)
	if t, ok := f.number(p.Name, f.spot, draw.Small); ok {
		art.Add(draw.Words, t)
		f.free.block([]draw.Item{t})
	}
	says := [][]string{p.facts(), {p.Headline(), p.clothWords()}}
	if p.Ply == 0 { // of itself it tells its name alone, which stands there already
		says = [][]string{partLine(p.Part)}
	}
	p.write(art, f, says)
	return art
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
