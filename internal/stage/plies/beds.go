package plies

import (
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
)

// containsWord tells whether a list of numbers names n.
func containsWord(list string, n int) bool {
	return slices.Contains(strings.Fields(list), strconv.Itoa(n))
}

// measureLaid compares the yarns of a ply with the directions asked for.
func (w *work) measureLaid(p PlyIn, s *sheets) {
	if s.laid.Off.Warp == nil {
		s.laid.Off = off(w.toward, w.normals, p.Angle, s.laid)
	}
}

// gather fills in what lies on the vertices of the whole surface. At a cut that
// is the side to the right of it, or that of the first piece.
func (w *work) gather(s *sheets) {
	if s.laid != nil {
		return
	}
	n := len(w.in.Surface.Vertices)
	s.laid = &Laid{Flat: make([]r2.Vec, n), Shear: make([]float64, n), Warp: make([]r3.Vec, n), Weft: make([]r3.Vec, n)}
	done := make([]bool, n)
	for _, b := range s.beds {
		for j, v := range b.onSurface() {
			if v < 0 || done[v] {
				continue
			}
			done[v] = true
			s.laid.Flat[v], s.laid.Shear[v] = b.Flat[j], b.Shear[j]
			s.laid.Warp[v], s.laid.Weft[v] = b.Warp[j], b.Weft[j]
		}
		s.laid.Steps += b.Steps
		s.laid.Residual = max(s.laid.Residual, si.Length(b.Residual))
	}
}

// onSurface returns the vertex of the whole surface of each of the bed's own, −1
// where a cut crosses a side.
func (b bed) onSurface() []int32 {
	out := make([]int32, len(b.From))
	for j, u := range b.From {
		if out[j] = -1; u >= 0 {
			out[j] = b.part.Vertices[u]
		}
	}
	return out
}
