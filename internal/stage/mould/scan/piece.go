package scan

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Piece says which of several pieces is the part's: the largest, or the one
// nearest to a place. With neither there may be only one beside crumbs.
type Piece struct {
	Largest bool
	Near    *r3.Vec
}

// mostNamed is how many pieces a refusal names.
const mostNamed = 4

// choose keeps one piece of the mesh; refuse is asked for an error where it isn't
// said which.
func (w *work) choose(what string, refuse func([]sheet) error) error {
	t, err := w.topology()
	if err != nil {
		return err
	}
	pieces := sheetsOf(t)
	if len(pieces) == 1 {
		return nil
	}
	keep := 0
	if w.o.Piece.Near != nil {
		keep = w.nearest(pieces)
	}
	off := w.m.Area() - pieces[keep].area
	if !w.o.Piece.Largest && w.o.Piece.Near == nil && off > crumbShare*w.m.Area() {
		return refuse(pieces)
	}
	w.did(Repair{What: what, Count: len(pieces) - 1, At: w.m.Centroid(int(pieces[(keep+1)%len(pieces)].faces[0])), Area: -off})
	part := w.m.Extract(pieces[keep].faces)
	filled := make([]bool, len(part.Face))
	for f, was := range part.Face {
		filled[f] = w.filled[was]
	}
	w.m, w.filled = part.Mesh, filled
	return nil
}

func (w *work) nearest(pieces []sheet) int {
	best, keep := math.Inf(1), 0
	for i, p := range pieces {
		hit, ok := mesh.NewLocator(w.m.Extract(p.faces).Mesh).Closest(*w.o.Piece.Near)
		if ok && hit.Distance < best {
			best, keep = hit.Distance, i
		}
	}
	return keep
}

func (w *work) several(pieces []sheet) error {
	var words []string
	for _, p := range pieces[:min(mostNamed, len(pieces))] {
		words = append(words, fmt.Sprintf("%.0f cm² at %s", 1e4*p.area, place(w.m.Centroid(int(p.faces[0])))))
	}
	more := ""
	if len(pieces) > mostNamed {
		more = ", and smaller ones"
	}
	return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s holds %d separate pieces: %s%s", w.o.File, len(pieces), strings.Join(words, ", "), more),
		Do: "write mould.import with keep: largest, or keep_at: with a place on the one that the part is laid on"}
}
