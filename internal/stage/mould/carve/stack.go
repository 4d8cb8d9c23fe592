package carve

import (
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Stack is the boards that a mould is carved from, in the order of gluing.
type Stack struct {
	Boards    []Board   `json:"boards"`
	Total     si.Length `json:"total_m"`              // thickness of boards and glue lines over the base plane; of a cavity of all
	Short     si.Length `json:"short_m"`              // the shape's height less that: made up with filler on top, or planed off where negative
	Floor     si.Length `json:"floor_m,omitempty"`    // of a cavity: wood under the hollow
	Restacked si.Volume `json:"restacked_volume_m3"`  // of the shape, from its slices
	Sawn      si.Volume `json:"sawn_volume_m3"`       // boards after sawing, the base board left out
	Carved    si.Volume `json:"carved_volume_m3"`     // comes off with plane, rasp and sandpaper
	Top       si.Volume `json:"top_filler_volume_m3"` // filler over a stack that is short
	GlueArea  si.Area   `json:"glue_area_m2"`         // of all joints
	Dowels    int       `json:"dowels"`               // pieces of dowel
	DowelLong si.Length `json:"dowel_length_m"`       // of them all
	Apart     si.Length `json:"dowels_apart_m"`       // the least distance of the dowels of one joint
	Loose     []string  `json:"undowelled,omitempty"` // pieces that have no room for two dowels
}

// Board is one layer of the stack.
type Board struct {
	Number    int       `json:"number"` // from 1 in the order of gluing; 0: the base board
	Foot      si.Length `json:"foot_m"` // height of its lower face
	Head      si.Length `json:"head_m"`
	Grain     string    `json:"grain,omitempty"` // the direction that it runs in; of a material that has one
	Pieces    []Piece   `json:"pieces,omitempty"`
	Holes     []Hole    `json:"holes,omitempty"`
	Levels    []Level   `json:"-"` // what the shape fills: at its foot, at level faces inside, at its head
	Thickness float64   `json:"-"` // m
	sure      []Level   // slices that a dowel must stay inside
	inside    float64   // area sawn out of a hollow plug, m²
}

// Piece is what is sawn out in one; a board on which the shape stands in several
// places has several.
type Piece struct {
	Name    string      `json:"name"`
	Length  si.Length   `json:"length_m"` // along x
	Width   si.Length   `json:"width_m"`
	Area    si.Area     `json:"area_m2"`
	Outline geom.Region `json:"-"` // the saw line
}

// Level is a slice through a board.
type Level struct {
	Z   float64
	Cut []geom.Region
}

// Most that a stack may be short of the shape's height: filler on top makes it up,
// where one more board would nearly all be planed off. Common practice, no source.
const mostShort = 2e-3 // m

// Name is how a board is called on its pieces.
func (b Board) Name() string {
	if b.Number == 0 {
		return "base"
	}
	return fmt.Sprintf("%02d", b.Number)
}

// stack works the boards out.
func (b builder) stack() (*Stack, error) {
	s := &Stack{Restacked: si.Volume(b.face.restacked(b.faces()))}
	for k, z := range b.faces() {
		board, err := b.board(k, z[0], z[1])
		if err != nil {
			return nil, err
		}
		s.Boards = append(s.Boards, board)
	}
	b.measure(s)
	if b.in.Cavity {
		s.turnOver()
	} else if len(b.in.Base) > 0 {
		s.Boards = append([]Board{b.base()}, s.Boards...)
	}
	b.dowels(s)
	b.joints(s)
	if b.in.How.Grain {
		s.grained(b.in.Axes)
	}
	return s, nil
}

// faces returns the heights of each board's lower and upper face over the base
// plane, as the shape is drawn.
func (b builder) faces() (out [][2]float64) {
	t, g, first := float64(b.in.How.Board), float64(b.in.How.Glue), 0.0
	reach := b.face.bounds.Max.Z - mostShort
	switch {
	case b.in.Cavity:
		reach = b.face.bounds.Max.Z + float64(b.in.How.Wall)
	case len(b.in.Base) > 0:
		first = g
	}
	for z := first; len(out) == 0 || out[len(out)-1][1] < reach-1e-9; z += t + g {
		out = append(out, [2]float64{z, z + t})
	}
	return out
}

// between slices, evenly spaced, are taken between two heights where the shape
// changes steadily: enough for the saw line to hold what bulges between them.
const slicesBetween = 8

// levels slices the body from one height to another; steps are at level faces.
// Those at the ends and at level faces are marked to be drawn.
func (b *body) levels(from, to float64) (all, drawn []Level) {
	marks := []float64{from}
	for _, z := range b.flats {
		if from+2*hair < z && z < to-2*hair {
			marks = append(marks, z)
		}
	}
	marks = append(marks, to)
	for i := range len(marks) - 1 {
		low, high := b.beside(marks[i], 1), b.beside(marks[i+1], -1)
		for k := range slicesBetween + 1 {
			z := low + (high-low)*float64(k)/slicesBetween
			l := Level{z, b.at(z)}
			all = append(all, l)
			if k == 0 || k == slicesBetween && i+2 == len(marks) {
				drawn = append(drawn, l)
			}
		}
	}
	return all, drawn
}

// beside is the height at which a slice next to z is taken, above it or below: a hair
// off, and off a level face so far that what its triangles stand off it does not show.
func (b *body) beside(z, way float64) float64 {
	for _, f := range b.flats {
		if math.Abs(z-f) < offFlat {
			return f + way*offFlat
		}
	}
	return z + way*hair
}

// restacked adds the slices up to the volume again, by Simpson's rule over the even
// slices of each board and straight across the glue lines:
//
//	V = Σ h/3 · (A₀ + 4A₁ + 2A₂ + … + Aₙ)
//
// exact where the area goes with the square of the height, as in cone and sphere.
func (b *body) restacked(faces [][2]float64) (sum float64) {
	top := b.bounds.Max.Z
	at, last := 0.0, area(b.at(hair))
	for i, f := range faces {
		low, high := min(f[0], top), min(f[1], top)
		if i+1 == len(faces) {
			high = top
		}
		all, _ := b.levels(low, high)
		if high-low < 4*hair {
			continue
		}
		for k := 0; k < len(all); k += slicesBetween + 1 {
			part := all[k : k+slicesBetween+1]
			h := (part[slicesBetween].Z - part[0].Z) / slicesBetween
			first := area(part[0].Cut)
			sum += (part[0].Z - at) * (first + last) / 2
			for j, l := range part {
				weight := 2.0
				if j == 0 || j == slicesBetween {
					weight = 1
				} else if j%2 == 1 {
					weight = 4
				}
				sum += weight * h / 3 * area(l.Cut)
			}
			at, last = part[slicesBetween].Z, area(part[slicesBetween].Cut)
		}
	}
	return sum + (top-at)*last
}

// board works one board out, as the shape is drawn.
func (b builder) board(k int, low, high float64) (Board, error) {
	out := Board{Number: k + 1, Foot: si.Length(low), Head: si.Length(high), Thickness: high - low}
	top := b.wood.bounds.Max.Z
	var all []Level
	if low < top-2*hair {
		all, out.Levels = b.wood.levels(low, min(high, top))
	}
	for _, l := range out.Levels {
		b.wood.far = max(b.wood.far, b.wood.lefts[l.Z])
	}
	for i, l := range all {
		if i == 0 || !same(all[i-1].Cut, l.Cut) {
			out.sure = append(out.sure, l.eased())
		}
	}
	if b.in.Cavity {
		if high > top { // it closes the hollow: carved from above, not sawn through
			all = nil
		}
		return out, b.walled(&out, all)
	}
	saw, err := b.wood.envelope(all, float64(b.in.How.Saw))
	if err != nil {
		return out, err
	}
	if b.in.How.Hollow > 0 {
		whole := area(saw)
		if saw, err = b.hollowed(saw, low, high); err != nil {
			return out, err
		}
		out.inside = whole - area(saw)
	}
	out.pieces(saw)
	return out, nil
}

// pieces names what is sawn.
func (b *Board) pieces(saw []geom.Region) {
	n := 0
	for _, r := range saw {
		if r.Area() > speck {
			saw[n] = r
			n++
		}
	}
	for i, r := range saw[:n] {
		name := b.Name()
		if n > 1 {
			name += letter(i)
		}
		size := r.Outer.Bounds().Size()
		b.Pieces = append(b.Pieces, Piece{Name: name, Length: si.Length(size.X), Width: si.Length(size.Y), Area: si.Area(r.Area()), Outline: r})
	}
}

func letter(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// base is the board whose upper face is the base plane: a rectangle that holds flange
// or plate and the land round it, or where no land is wanted their own edge.
func (b builder) base() Board {
	t := b.in.How.Board
	out := Board{Foot: -t, Thickness: float64(t)}
	var edge []geom.Region
	for _, ring := range b.in.Base {
		edge = append(edge, geom.Region{Outer: geom.Simplify(ring.Anticlockwise(), ChordTo/5)})
	}
	saw := edge
	if land := float64(b.in.How.Land); land > 0 {
		box := boundsOf(edge)
		saw = []geom.Region{geom.Rect(box.Min.X-land, box.Min.Y-land, box.Max.X+land, box.Max.Y+land).Region()}
	}
	out.pieces(slices.Clone(saw))
	out.Levels = []Level{{0, edge}}
	out.sure = out.Levels
	return out
}
