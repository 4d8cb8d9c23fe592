package release

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// touching is how near a piece's surface must come to a plane to be bounded by it, m.
const touching = 1e-6

// inOrder puts the pieces of a mould into an order in which they can leave: a piece
// may not move across a plane that another piece, still there, touches from beyond.
// It tells whether there is such an order. Pieces that share no plane are not
// held against each other.
func (s *Split) inOrder() bool { return s.leaves(nil) }

// leaves goes on with an order after the pieces that are gone.
func (s *Split) leaves(gone []int) bool {
	if len(gone) == len(s.Pieces) {
		pieces, patches := make([]Piece, len(gone)), make([]patch, len(gone))
		for k, i := range gone {
			pieces[k], patches[k] = s.Pieces[i], s.patches[i]
		}
		s.Pieces, s.patches = pieces, patches
		return true
	}
	for i := range s.Pieces {
		if !slices.Contains(gone, i) && s.canGo(i, gone) && s.leaves(append(gone[:len(gone):len(gone)], i)) {
			return true
		}
	}
	return false
}

// canGo tells whether a piece moves away from, or along, each plane that a piece
// still there touches from the other side.
func (s *Split) canGo(i int, gone []int) bool {
	for _, plane := range s.Planes {
		at := s.sideOf(i, plane)
		if at == 0 || -at*r3.Dot(vec(plane.Normal), s.Pieces[i].dir()) > -1e-6 {
			continue
		}
		for k := range s.Pieces {
			if k != i && !slices.Contains(gone, k) && s.sideOf(k, plane) == -at {
				return false
			}
		}
	}
	return true
}

// sideOf tells on which side of a plane a piece lies that touches it; 0: it does
// not touch it.
func (s *Split) sideOf(i int, plane Plane) float64 {
	near, far := math.Inf(1), 0.0
	for _, v := range s.Pieces[i].Mesh.Vertices {
		d := plane.side(v)
		near = min(near, math.Abs(d))
		if math.Abs(d) > math.Abs(far) {
			far = d
		}
	}
	if near > touching {
		return 0
	}
	return math.Copysign(1, far)
}
