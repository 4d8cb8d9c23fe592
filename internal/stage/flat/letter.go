package flat

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Label is what a piece is known by.
type Label struct {
	Ply        int // from 1 at the mould; 0: no ply
	Fabric     string
	Angle      si.Angle // of the ply
	Nth, Of    int      // piece n of m of the ply; 0: not said
	Where      string   // it goes: "at fastener 2"; of a doubler
	FacesAlike bool     // both faces of the cloth are the same
}

const thisSideUp = "this side up: away from the mould"

// usualMargin is the carrier film beyond a piece, m: room to hold it and to squeeze
// resin out. Common practice.
const usualMargin = 0.02

// alike is how far the two halves of a piece may differ that may be turned over, m.
const alike = 2e-4

// letter fills in what is written on a piece, the film that carries it, and
// whether it may be turned over.
func (d *drawing) letter(out *Piece) {
	l := d.cloth.Label
	out.Words = words(out, l)
	if len(out.Outline) < 3 {
		return
	}
	margin := d.cloth.Margin
	if margin == 0 {
		margin = usualMargin
	}
	cut := Polygon(out.Outline)
	box := cut.Bounds()
	out.Carrier = pairs(geom.Rect(box.Min.X-margin, box.Min.Y-margin, box.Max.X+margin, box.Max.Y+margin))
	out.MayTurnOver = l.FacesAlike && squareOn(l.Angle) && mirrored(cut, box)
}

// words is what is written on a piece.
func words(p *Piece, l Label) []string {
	out := []string{headline(p.Name, l)}
	if p.Patch {
		out = append(out, "patch: lay its line over the seam")
	}
	if l.Where != "" {
		out = append(out, "doubler "+l.Where)
	}
	if l.Fabric != "" {
		out = append(out, fmt.Sprintf("%s, warp at %s°", l.Fabric, strconv.FormatFloat(math.Round(l.Angle.Degrees()*10)/10+0, 'f', -1, 64)))
	}
	if l.Of > 1 {
		out = append(out, fmt.Sprintf("piece %d of %d", l.Nth, l.Of))
	}
	return append(out, p.Side)
}

func headline(name string, l Label) string {
	if l.Ply == 0 {
		return "Piece " + name
	}
	return fmt.Sprintf("Ply %d · piece %s", l.Ply, name)
}

// squareOn tells whether an angle is a whole number of quarter turns: a ply at any
// other changes its angle when it is turned over.
func squareOn(angle si.Angle) bool {
	quarters := float64(angle) / (math.Pi / 2)
	return math.Abs(quarters-math.Round(quarters)) < 1e-6
}

// mirrored tells whether a piece turned over about its warp or its weft has the
// same outline.
func mirrored(cut geom.Polygon, box r2.Box) bool {
	mid := box.Center()
	about := func(flip func(r2.Vec) r2.Vec) bool {
		for _, p := range cut {
			if cut.Distance(flip(p)) > alike {
				return false
			}
		}
		return true
	}
	return about(func(p r2.Vec) r2.Vec { return r2.Vec{X: p.X, Y: 2*mid.Y - p.Y} }) ||
		about(func(p r2.Vec) r2.Vec { return r2.Vec{X: 2*mid.X - p.X, Y: p.Y} })
}
