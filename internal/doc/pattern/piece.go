package pattern

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// Piece is one flat piece of cloth.
type Piece struct {
	Part    string         // what it belongs to: "DN-21-004 Demist box"
	Name    string         // "3B"
	Ply     int            // from 1 at the mould
	Fabric  string         //
	Angle   si.Angle       // of the warp from the reference, towards the weft
	Count   int            // how many to cut; 0 counts as 1
	Outline geom.Polygon   // the knife line, allowance included, m
	Holes   []geom.Polygon // closed knife lines inside, m
	Knife   [][]r2.Vec     // open knife lines inside: slits, m
	Notches [][]r2.Vec     // snips at the edge, m
	Net     geom.Polygon   // trim line of the part, m; may be empty
	Trim    [][]r2.Vec     // its stretches that are the part's own edge, m; none: all of it
	Stops   []Stop         // where slits end
	Carrier geom.Polygon   // the film that the piece is wet out in, m; may be empty
	Warp    r2.Vec         // direction of the warp in the flat
	Seed    *r2.Vec        // where laying begins, m; nil: not on this piece
	Marks   []Line         // notches and match marks
	Words   []string       // what is written on it; none: the headline, the cloth and the hand
	Notes   []string       // one line each, for the person who cuts
}

// Line is a mark on a piece: a polyline in metres, with a word beside it.
type Line struct {
	Points []r2.Vec
	Label  string
	Kind   Kind
}

// Kind says how a mark is drawn.
type Kind uint8

// Plain is a thin line with its label. LapLine is where the edge of the cloth below
// comes, LapTo where that of the cloth above does: these are explained in the
// legend and carry no label. Seam is the line that a patch lies over.
const (
	Plain Kind = iota
	LapLine
	LapTo
	Seam
)

// Stop is the round in which a slit ends: punched, or where the knife stops.
type Stop struct {
	At     r2.Vec  // m
	Radius float64 // m
}

// Limits on what is drawn: under a millimetre a piece is a slip in the units,
// over 50 m it is longer than a roll.
const (
	leastSide   = 0.001
	longestSide = 50
)

// check refuses a piece that can't be drawn true.
func (p Piece) check() error {
	field := "pattern." + p.Name
	if len(p.Outline) < 3 {
		return &fault.Input{Field: field, What: fmt.Sprintf("the outline has %d points", len(p.Outline)), Do: "a piece needs at least 3"}
	}
	all := slices.Concat(p.Outline, p.Net, p.Carrier)
	for _, h := range p.Holes {
		all = append(all, h...)
	}
	all = append(all, slices.Concat(slices.Concat(p.Knife, p.Notches, p.Trim)...)...)
	for _, s := range p.Stops {
		all = append(all, s.At, r2.Vec{X: s.Radius})
	}
	for _, m := range p.Marks {
		all = append(all, m.Points...)
	}
	if p.Seed != nil {
		all = append(all, *p.Seed)
	}
	for _, v := range all {
		if !(math.Abs(v.X) <= longestSide && math.Abs(v.Y) <= longestSide) {
			return &fault.Input{Field: field, What: fmt.Sprintf("a point lies at (%g, %g) m", v.X, v.Y), Do: "points must be numbers within 50 m of the origin"}
		}
	}
	size := p.Outline.Bounds().Size()
	if err := fault.Check(field+".size", max(size.X, size.Y), leastSide, longestSide, " m", "what a cutting table can take"); err != nil {
		return err
	}
	if n := r2.Norm(p.Warp); !(n > 0 && n < math.MaxFloat64) {
		return &fault.Input{Field: field + ".warp", What: "the warp has no direction", Do: "a piece without thread directions can't be cut"}
	}
	return nil
}

// count is how many to cut.
func (p Piece) count() int { return max(p.Count, 1) }

// Headline names the piece: "Ply 3 · piece 3B"; one of no ply has its name alone.
func (p Piece) Headline() string {
	if p.Ply == 0 {
		return "Piece " + p.Name
	}
	return fmt.Sprintf("Ply %d · piece %s", p.Ply, p.Name)
}

// clothWords is the cloth with its angle: "glass twill, 45°".
func (p Piece) clothWords() string {
	if p.Fabric == "" {
		return degrees(p.Angle)
	}
	return p.Fabric + ", " + degrees(p.Angle)
}

// degrees writes an angle without needless decimals: "45°", "−30.5°".
func degrees(a si.Angle) string { return draw.Short(math.Round(a.Degrees()*10)/10) + "°" }

// facts are the lines that stand on the piece.
func (p Piece) facts() []string {
	out := p.Says()
	if p.Part != "" {
		out = append([]string{p.Part}, out...)
	}
	if p.count() > 1 {
		out = append(out, "cut "+strconv.Itoa(p.count()))
	}
	return out
}

// Says is what the piece tells of itself.
func (p Piece) Says() []string {
	switch {
	case len(p.Words) > 0:
		return slices.Clone(p.Words)
	case p.Ply == 0:
		return []string{p.Headline()}
	}
	return []string{p.Headline(), p.Fabric + ", warp at " + degrees(p.Angle), sideUp + ": away from the mould"}
}
