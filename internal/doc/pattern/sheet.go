package pattern

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// sheetMargin parts the piece from the border of its sheet, in mm.
const sheetMargin = 15

// legendWide is the room for the words beside the check square, in mm.
const legendWide = 110

// Sheet draws the piece at full size on one sheet: for DXF, SVG or a plotter.
// The outline keeps its handedness and size and is shifted into the sheet; the
// check square and the piece's data stand in a strip below it.
func Sheet(p Piece) (draw.Page, error) {
	if err := p.check(); err != nil {
		return draw.Page{}, err
	}
	drawn := p.plot()
	if len(p.Carrier) > 2 {
		film := draw.FromMetres().All(p.Carrier)
		drawn.art.Add(CarrierLayer, draw.Ring(carrierPen(), film))
		drawn.art.Add(draw.Words, carrierWord(film)...)
	}
	return drawn.sheet(), nil
}

// sheet lays the piece on one sheet with the check square and the words under it.
func (p plot) sheet() draw.Page {
	box, _ := p.art.Bounds()
	size := box.Size()
	w := max(size.X, checkSide+sheetMargin+legendWide) + 2*sheetMargin
	words := p.words(w - 3*sheetMargin - checkSide)
	_, high := blockSize(words, legendSize)
	high = max(high, checkSide)
	pg := draw.NewPage(p.head, w, size.Y+high+3*sheetMargin)
	shift := draw.Move(r2.Sub(r2.Vec{X: sheetMargin, Y: high + 2*sheetMargin}, box.Min))
	for _, l := range p.art.Layers {
		pg.Add(l.Name, draw.MoveAll(shift, l.Items)...)
	}
	pg.Add(draw.Words, checkSquare(r2.Vec{X: sheetMargin, Y: sheetMargin + high - checkSide}, checkSide)...)
	pg.Add(draw.Words, lines(words, legendSize, r2.Vec{X: 2*sheetMargin + checkSide, Y: sheetMargin + high}, draw.Start)...)
	return *pg
}

// legendSize is in points: read standing at the table.
const legendSize = 11

// words is what stands beside the check square, wrapped to a width in mm.
func (p plot) words(width float64) (out []string) {
	all := append(append([]string(nil), p.facts...), "Full size; a length without a unit is in millimetres.")
	for _, s := range append(append(all, p.legend...), p.notes...) {
		out = append(out, draw.Wrap(s, draw.Bold, legendSize, width)...)
	}
	return out
}

// lineWords says what the lines on a piece of cloth mean.
func (p Piece) lineWords() []string {
	out := []string{"Full line: cut. Dashed line: edge of the finished part.", "Long arrow: warp. Short cross lines: weft."}
	if len(p.Knife) > 0 || len(p.Notches) > 0 {
		out = append(out, "Long dashes: slit, cut to the round at its end and no further. Short full line at the edge: snip.")
	}
	if p.has(LapLine) || p.has(LapTo) {
		out = append(out, "Dots: the edge of the cloth below comes here. Dash and dot: the edge of the cloth above comes here. Marks of the same name meet.")
	}
	if p.has(Seam) {
		out = append(out, "Dash and dot: lay this line over the seam.")
	}
	if p.Seed != nil {
		out = append(out, "Cross in a circle: begin laying here.")
	}
	return out
}

func (p Piece) has(k Kind) bool {
	return slices.ContainsFunc(p.Marks, func(m Line) bool { return m.Kind == k })
}

// carrierWord names the film along its upper side, inside it.
func carrierWord(film []r2.Vec) []draw.Item {
	box := geom.Polygon(film).Bounds()
	size := box.Size()
	return []draw.Item{draw.Text{At: r2.Vec{X: box.Min.X + 3, Y: box.Max.Y - 3}, String: fmt.Sprintf("carrier film %.0f x %.0f mm", size.X, size.Y),
		Size: legendSize, Rise: draw.Below, Colour: draw.Soft}}
}

// plot is one piece drawn at full size, with what stands beside it: what sheets and
// tiled pages need, whatever it is cut from.
type plot struct {
	art      *draw.Page     // mm, about the piece's own origin
	outlines []geom.Polygon // mm; inside them is the piece
	field    string         // in the job file
	head     string         // its name
	part     string
	facts    []string // that stand on it, the head among them
	legend   []string // what its lines mean
	notes    []string
	goods    string // what is cut: "cloth"
}

// holds tells whether a place lies on the piece.
func (p plot) holds(q r2.Vec) bool {
	for _, o := range p.outlines {
		if o.Contains(q) {
			return true
		}
	}
	return false
}

// size is that of the piece, mm.
func (p plot) size() r2.Vec {
	var all geom.Polygon
	for _, o := range p.outlines {
		all = append(all, o...)
	}
	return all.Bounds().Size()
}

// plot is the piece of cloth as sheets and pages see it.
func (p Piece) plot() plot {
	return plot{art: p.art(), outlines: []geom.Polygon{draw.FromMetres().All(p.Outline)}, field: "pattern." + p.Name, head: p.Headline(), part: p.Part,
		facts: p.facts(), legend: p.lineWords(), notes: p.Notes, goods: "cloth"}
}
