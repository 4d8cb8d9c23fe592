// Package dressdraw draws what is cut beside the cloth, from a plan: the pieces of peel
// ply, release film and bleeder at full size, the rolls that they are cut from, and the
// films that the cloth is wetted out between. It works nothing out.
package dressdraw

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/dress"
	"laywright/internal/stage/flat"
)

// Pieces are the pieces that follow the part's shape, as patterns. A bag is a rectangle,
// which its measures tell.
func Pieces(plan job.Plan, part string) (out []pattern.Board) {
	if plan.Dress == nil {
		return nil
	}
	for _, s := range plan.Dress.Sheets {
		for _, p := range s.Pieces {
			if shaped(p) {
				out = append(out, piece(plan, part, s, p))
			}
		}
	}
	return out
}

// shaped tells whether a piece is one that can be cut and is no plain rectangle.
func shaped(p flat.Piece) bool { return !p.Overlaps && len(p.Outline) > 2 && p.Side != "" }

func piece(plan job.Plan, part string, s dress.Laid, p flat.Piece) pattern.Board {
	out := pattern.Board{Part: part, Name: p.Name, Head: "Piece " + p.Name, Number: p.Name, Facts: p.Words[1:], Goods: s.Use, Knife: lines(p.Knife),
		Saw: []geom.Region{{Outer: job.Polygon(p.Outline), Holes: rings(p.Holes)}}, Legend: legend(p), Notes: notes(plan, s)}
	out.Knife = append(out.Knife, lines(p.Notches)...)
	for _, l := range p.Trim {
		out.Marks = append(out.Marks, pattern.BoardLine{Points: job.Polygon(l), Kind: pattern.Shape})
	}
	for _, m := range p.Marks {
		if m.Kind == flat.Match || m.Kind == flat.Alignment || p.Lap > 0 {
			out.Marks = append(out.Marks, mark(m))
		}
	}
	for _, c := range rings(p.Cutouts) {
		out.Marks = append(out.Marks, pattern.BoardLine{Points: c, Closed: true, Kind: pattern.Shape, Label: "cut-out: cut across it"})
	}
	for _, x := range p.Stops {
		out.Drill = append(out.Drill, pattern.Drill{At: r2.Vec{X: x.At[0], Y: x.At[1]}, R: float64(x.Radius)})
	}
	return out
}

func mark(m flat.Mark) pattern.BoardLine {
	out := pattern.BoardLine{Points: job.Polygon(m.Line), Kind: pattern.Meets, Label: m.Label}
	switch m.Kind {
	case flat.LapLine:
		out.Kind, out.Label = pattern.Inner, ""
	case flat.LapTo:
		out.Kind, out.Label = pattern.Lower, ""
	}
	return out
}

// legend says what the lines on a piece mean.
func legend(p flat.Piece) []string {
	kinds := map[string]bool{}
	for _, m := range p.Marks {
		kinds[m.Kind] = true
	}
	out := []string{"Full line: cut. Dashed line: edge of the finished part."}
	add := func(is bool, s string) {
		if is {
			out = append(out, s)
		}
	}
	add(len(p.Knife) > 0, "Long dashes: slit.")
	add(len(p.Stops) > 0, "Circle: the end of a slit; cut no further.")
	add(p.Lap > 0 && kinds[flat.LapLine], "Dots: the edge of the side below comes here. Dash and dot: the edge of the side above.")
	add(kinds[flat.Match], "Marks with the same letter and number meet.")
	add(kinds[flat.Alignment], "x and y: lines pencilled on the mould, in mm.")
	return out
}

// notes say how many are cut, and which way they may lie on the roll.
func notes(plan job.Plan, s dress.Laid) []string {
	out := []string{"On its roll the piece may be turned by quarter turns."}
	if n := s.Layers * plan.Spec.Copies(); n > 1 {
		out = append(out, fmt.Sprintf("Cut %d.", n))
	}
	if plan.Spec.Part != nil && plan.Spec.Part.Mirrored != "" {
		out = append(out, "The mirrored part takes half of them, turned over.")
	}
	return out
}

func lines(of [][][2]float64) (out [][]r2.Vec) {
	for _, l := range of {
		out = append(out, job.Polygon(l))
	}
	return out
}

func rings(of [][][2]float64) (out []geom.Polygon) {
	for _, l := range of {
		out = append(out, job.Polygon(l))
	}
	return out
}
