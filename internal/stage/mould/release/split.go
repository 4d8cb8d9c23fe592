package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Of says what is split.
type Of string

// A rigid mould is built in pieces that leave the whole part; a part is cut, or
// made, in pieces that leave the whole mould and are joined afterwards.
const (
	TheMould Of = "mould"
	ThePart  Of = "part"
)

func (o Of) moves() side {
	if o == TheMould {
		return mouldMoves
	}
	return partMoves
}

// Split is a way to part a mould, or a part, where one pull does not do.
type Split struct {
	Of     Of         `json:"of"`
	Flat   bool       `json:"flat"` // by planes; else along the line where the surface turns from one pull to the other
	Planes []Plane    `json:"planes,omitempty"`
	Pieces []Piece    `json:"pieces"`
	Seam   si.Length  `json:"seam_m"`
	Joint  Joint      `json:"joint"`
	Lines  [][]r3.Vec `json:"-"` // the seams on the part's surface

	patches []patch // of the pieces
}

// Plane is a flat cut: the places p with normal·p = offset.
type Plane struct {
	Normal [3]float64 `json:"normal"`
	Offset si.Length  `json:"offset_m"`
}

func (p Plane) side(q r3.Vec) float64 { return r3.Dot(vec(p.Normal), q) - float64(p.Offset) }

// Piece is the share of the part's surface that leaves in one pull.
type Piece struct {
	Pull
	Area si.Area    `json:"area_m2"`
	Mesh *mesh.Mesh `json:"-"`

	face si.Area // of the cut, that runs into the part; counted as hidden
}

// locked is the area of all pieces that hooks.
func (s Split) locked() (sum float64) {
	for _, p := range s.Pieces {
		sum += float64(p.Locked())
	}
	return sum
}

// trifle is what a split may leave locked, m²: on a large part somewhat more than
// [Trifle], as the triangles along a seam are not exactly on the surface.
func (s *surface) trifle() float64 { return max(Trifle, 3e-4*s.total) }

// seamCost is the area, m², that a metre of seam is counted as in a search: a
// seam is work and a place to leak.
const seamCost = 2e-3

// slantCost is the same for a plane across none of the mould's axes, which is
// harder to mark off; of cuts that do alike the square one wins.
const slantCost = 2e-4

// square tells whether a direction is an axis.
func square(m r3.Vec) bool { return max(math.Abs(m.X), math.Abs(m.Y), math.Abs(m.Z)) > 1-1e-9 }

// weight compares splits.
func (s Split) weight() float64 {
	sum := seamCost * float64(s.Seam)
	for _, p := range s.Planes {
		if !square(vec(p.Normal)) {
			sum += slantCost * float64(s.Seam)
		}
	}
	for _, p := range s.Pieces {
		sum += weight(p.Pull)
	}
	return sum
}

// split finds the split with the fewest pieces, 2 and then 3, flat where that
// does; nil with the area that the best one leaves locked where none does.
func (s *surface) split(of Of) (best *Split, left si.Area) {
	v := s.survey(of.moves(), directions(fineness))
	left = si.Area(s.total)
	free := func(found []Split) bool {
		for _, f := range found {
			if f.locked() <= 4*s.trifle() {
				f = s.judged(f)
			}
			left = min(left, si.Area(f.locked()))
			if f.locked() <= s.trifle() {
				best = &f
				return true
			}
		}
		return false
	}
	two := s.cutOnce(of, v)
	if free(two) {
		return best, left
	}
	// A plug's pieces are cut from a solid, so that only planes part them.
	if (of == ThePart || s.in.Cavity) && free(s.cutAlongTurn(of, v)) {
		return best, left
	}
	free(s.cutTwice(of, v, two))
	return best, left
}
