package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Spigot is a short pipe that a hose is pushed over, along the axis of its
// frame: a bead near its mouth holds the hose, a shoulder at its root stops it.
//
//	   axis ^
//	   _____|_____   mouth, open
//	  (     |     )  bead
//	   |    |    |
//	 __|    |    |__ shoulder
//	|_______|_______|
//	      origin
type Spigot struct {
	f      Frame
	joined *Joined
	pipe   *Lathe
	length float64
	bounds r3.Box
}

// Bead is a ring of a circle's arc: how far it stands out of the pipe, how wide
// its foot is, and how far its middle lies from the mouth.
type Bead struct{ Height, Width, Back float64 }

// round returns the radius of the bead's arc.
func (b Bead) round() float64 { return (b.Width*b.Width/4 + b.Height*b.Height) / (2 * b.Height) }

// Shoulder is a step at the root: its radius and how high it stands.
type Shoulder struct{ Radius, Height float64 }

// NewSpigot makes a pipe of a radius and a length over its frame's origin, that
// goes on below it by sunk. Without a height a bead or a shoulder is none.
func NewSpigot(f Frame, radius, length, sunk float64, b Bead, s Shoulder) *Spigot {
	out := &Spigot{f: f, length: length}
	root := f
	root.O = f.Place(r3.Vec{Z: -sunk})
	out.pipe = Cone(root, radius, radius, sunk+length, 0).(*Lathe)
	out.joined = &Joined{Parts: []Field{Footed(out.pipe, root.O, f.Z)}}
	wide := radius
	if b.Height > 0 {
		ring := f
		ring.O = f.Place(r3.Vec{Z: length - b.Back})
		a := b.round()
		out.joined.Parts = append(out.joined.Parts, &Ring{ring, radius + b.Height - a, a})
		out.joined.Radius = b.Height // the bead runs into the pipe
		wide = max(wide, radius+b.Height)
	}
	if s.Height > 0 {
		out.joined.Parts = append(out.joined.Parts, Footed(Cone(root, s.Radius, s.Radius, sunk+s.Height, min(s.Radius-radius, s.Height)/4), root.O, f.Z))
		wide = max(wide, s.Radius)
	}
	out.bounds = boxOf(f, r3.Vec{X: -wide, Y: -wide}, r3.Vec{X: wide, Y: wide, Z: length})
	return out
}

// Bounds returns a box round the spigot without its lead.
func (s *Spigot) Bounds() r3.Box { return s.bounds }

// At returns the distance, exact outside.
func (s *Spigot) At(p r3.Vec) (float64, r3.Vec) { return s.joined.rolled(p, Field.At) }

// Crisp is At with faces that go on past sharp edges.
func (s *Spigot) Crisp(p r3.Vec) (float64, r3.Vec) { return s.joined.rolled(p, crisp) }

// Lead makes the pipe go on straight beyond its mouth.
func (s *Spigot) Lead(_ int, length float64) {
	for i := range s.pipe.profile.planes {
		if a := &s.pipe.profile.planes[i]; a.n.Z == 1 {
			a.h += length
		}
	}
}

// Ends returns the mouth.
func (s *Spigot) Ends() []End { return []End{{s.f.Place(r3.Vec{Z: s.length}), s.f.Z}} }

// Rim returns n places round the mouth, moved out of it by some length.
func (s *Spigot) Rim(_ int, out float64, n int) (rim []r3.Vec) {
	r := s.pipe.profile.planes[0].h
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		rim = append(rim, s.f.Place(r3.Vec{X: r * cos, Y: r * sin, Z: s.length + out}))
	}
	return rim
}
