package pattern

import (
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Placed is one piece where it lies on the roll: flipped about its own x axis where
// Flipped, turned about its origin, then shifted.
type Placed struct {
	Piece   Piece
	At      r2.Vec // m, on the roll
	Turn    si.Angle
	Flipped bool
}

// Place carries a piece's own outline to the roll: flipped about its x axis,
// then turned about its origin, then shifted.
func Place(outline geom.Polygon, shift r2.Vec, turn si.Angle, flipped bool) geom.Polygon {
	if flipped {
		outline = outline.Flip()
	}
	return outline.Turn(float64(turn)).Shift(shift)
}

// Outline is the knife line round the piece where it lies, m.
func (p Placed) Outline() geom.Polygon { return p.place(p.Piece.Outline) }

func (p Placed) place(pts []r2.Vec) geom.Polygon { return Place(pts, p.At, p.Turn, p.Flipped) }

func (p Placed) placeAll(lines [][]r2.Vec) [][]r2.Vec {
	out := make([][]r2.Vec, len(lines))
	for i, l := range lines {
		out[i] = p.place(l)
	}
	return out
}

// Laid is the piece with all its lines carried to the roll. Its film, its count and
// its place among the notes are left out: they belong to the piece and not to the
// cloth it is cut from.
func (p Placed) Laid() Piece {
	q := p.Piece
	q.Outline, q.Net = p.Outline(), p.place(q.Net)
	q.Knife, q.Notches, q.Trim = p.placeAll(q.Knife), p.placeAll(q.Notches), p.placeAll(q.Trim)
	q.Holes, q.Stops, q.Marks = slices.Clone(q.Holes), slices.Clone(q.Stops), slices.Clone(q.Marks)
	for i, h := range q.Holes {
		q.Holes[i] = p.place(h)
	}
	for i, s := range q.Stops {
		q.Stops[i].At = p.place([]r2.Vec{s.At})[0]
	}
	for i, m := range q.Marks {
		q.Marks[i].Points = p.place(m.Points)
	}
	if q.Seed != nil {
		at := p.place([]r2.Vec{*q.Seed})[0]
		q.Seed = &at
	}
	q.Warp = Place([]r2.Vec{q.Warp}, r2.Vec{}, p.Turn, p.Flipped)[0]
	q.Carrier, q.Count, q.Notes = nil, 1, nil
	q.Words = q.Says()
	if p.Flipped {
		for i, w := range q.Words {
			if strings.HasPrefix(w, sideUp) {
				q.Words[i] = turnedOver
			}
		}
	}
	return q
}

// sideUp begins the words that say which face is up; a piece that is turned over
// on the roll shows its other face.
const (
	sideUp     = "this side up"
	turnedOver = "turned over: this face goes to the mould"
)
