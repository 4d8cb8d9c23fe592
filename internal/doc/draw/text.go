package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Point is one typographic point in millimetres.
const Point = 25.4 / 72

// Align says which end of a line of words stands at its point.
type Align uint8

// Start, Centre, End: the words begin, are centred or end at the point.
const (
	Start Align = iota
	Centre
	End
)

// Rise says which height of the words stands at their point.
type Rise uint8

// OnBase puts the base line at the point, MidHeight the middle of the capitals,
// Below hangs the words under it.
const (
	OnBase Rise = iota
	MidHeight
	Below
)

// Face is the cut of the letters.
type Face uint8

// Regular, Bold and Mono are the three faces that are embedded.
const (
	Regular Face = iota
	Bold
	Mono
)

// Text is one line of words.
type Text struct {
	At     r2.Vec
	String string
	Size   float64 // points
	Face   Face
	Align  Align
	Rise   Rise
	Angle  float64 // radians, counter-clockwise
	Colour Colour  // zero: Ink, so that words are never lost
	Clip   r2.Box  // empty: not clipped
}

// Inked is the colour that the words are drawn in.
func (t Text) Inked() Colour {
	if t.Colour.None() {
		return Ink
	}
	return t.Colour
}

// Moved carries the point and turns the words; their size stays and they are
// never mirrored.
func (t Text) Moved(a Affine) Item {
	t.At, t.Angle = a.Do(t.At), a.angle(t.Angle)
	if !t.Clip.Empty() {
		t.Clip = boxOf(a.All(t.Clip.Vertices()))
	}
	return t
}

// Base returns where the words' base line begins and its direction.
func (t Text) Base() (r2.Vec, r2.Vec) {
	s, c := math.Sincos(t.Angle)
	along, up := r2.Vec{X: c, Y: s}, r2.Vec{X: -s, Y: c}
	w, cap := Width(t.String, t.Face, t.Size), CapHeight(t.Size)
	at := r2.Sub(t.At, r2.Scale(w*float64(t.Align)/2, along))
	return r2.Sub(at, r2.Scale(cap*float64(t.Rise)/2, up)), along
}

// Bounds is the box round the words from below the base line to above the
// capitals.
func (t Text) Bounds() r2.Box {
	at, along := t.Base()
	up := r2.Vec{X: -along.Y, Y: along.X}
	w, size := Width(t.String, t.Face, t.Size), t.Size*Point
	corner := func(x, y float64) r2.Vec {
		return r2.Add(at, r2.Add(r2.Scale(x, along), r2.Scale(y, up)))
	}
	return boxOf([]r2.Vec{corner(0, -0.22*size), corner(w, -0.22*size), corner(w, 0.78*size), corner(0, 0.78*size)})
}

// Clipped keeps words that reach into the box, with the box as their clip
// where they cross its border.
func (t Text) Clipped(box r2.Box) []Item {
	b := t.Bounds()
	if b.Max.X <= box.Min.X || b.Min.X >= box.Max.X || b.Max.Y <= box.Min.Y || b.Min.Y >= box.Max.Y {
		return nil
	}
	if !inside(b.Min, box) || !inside(b.Max, box) {
		t.Clip = meet(t.Clip, box)
	}
	return []Item{t}
}
