package job

import (
	"cmp"
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
)

// Drawn is what a drawing holds that a line of roll.pieces names.
type Drawn struct {
	Pieces []DrawnPiece
	Left   string // what of the drawing is left out, in words; empty: nothing
}

// DrawnPiece is one closed outline of a drawing, with the closed lines inside it.
type DrawnPiece struct {
	Name    string
	Outline geom.Polygon // m
	Holes   []geom.Polygon
}

// withDrawn returns the spec with the pieces of its drawings in the place of the
// lines that name them: the first in its line, further ones at the end of the list, so
// that lines keep their numbers. It returns the holes by the pieces' names too, and
// what is left out.
func (s Spec) withDrawn(drawn map[int]Drawn) (_ Spec, holes map[string][]geom.Polygon, left []fault.Finding, err error) {
	if s.Roll == nil {
		return s, nil, nil, nil
	}
	roll := *s.Roll
	holes = map[string][]geom.Polygon{}
	lines := roll.Pieces
	roll.Pieces = append(lines[:0:0], lines...)
	for i, line := range lines {
		field := "roll." + fault.Numbered("pieces", i)
		d, read := drawn[i]
		switch {
		case line.File == "":
			continue
		case len(line.Outline.P) > 0:
			return s, nil, nil, &fault.Input{Field: field, What: "a file and an outline are given", Do: "write one of them"}
		case !read || len(d.Pieces) == 0:
			return s, nil, nil, &fault.Input{Field: field + ".file", What: line.File + " was not read", Do: "plan the job from the folder that the drawing lies in"}
		}
		if d.Left != "" {
			left = append(left, fault.Finding{Stage: "roll", Severity: fault.Note, Code: "drawing-left-out", What: fmt.Sprintf("Not all of %s is cut: %s.", line.File, d.Left),
				Why: "pieces are closed outlines, and what is closed inside them their holes", Do: "look at the roll's drawing; name the layer to read where it is not right"})
		}
		for k, piece := range d.Pieces {
			one := line
			if one.Outline.P = piece.Outline; len(d.Pieces) > 1 && line.Name != "" {
				one.Name = fmt.Sprintf("%s-%d", line.Name, k+1)
			}
			one.Name = cmp.Or(one.Name, piece.Name)
			holes[one.Name] = piece.Holes
			if k == 0 {
				roll.Pieces[i] = one
			} else {
				roll.Pieces = append(roll.Pieces, one)
			}
		}
	}
	s.Roll = &roll
	return s, holes, left, nil
}

// Holes are the closed cuts inside pieces that a drawing gave, by the pieces' names.
func (p Plan) Holes() map[string][]geom.Polygon { return p.holes }
