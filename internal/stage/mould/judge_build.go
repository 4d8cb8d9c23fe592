package mould

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/stage/mould/carve"
)

// stackedWithin is how far the volume of the slices stacked again may lie from the
// shape's own before the surface is doubted.
const stackedWithin = 0.005

// judgeBuild says what to mind in building.
func (r *Result) judgeBuild() {
	u := r.Build
	if u.Crossed > 0 {
		r.find(fault.Caution, "outline-crosses", fmt.Sprintf("%d outlines of the mould cross themselves and were drawn by their outer bound.", u.Crossed), "the surface from the file runs through itself there", "Mend it where it was drawn, or carve by the templates there.")
	}
	if slices.ContainsFunc(u.Templates, func(t carve.Template) bool { return t.Halves }) {
		r.find(fault.Note, "template-halves", "Some templates are in two halves.", "the shape is wider above than below there, so that no whole one goes on", "Push the halves on from both sides until they meet.")
	}
	if u.Chord > carve.ChordTo {
		r.findAgainst(fault.Finding{Severity: fault.Note, Code: "outline-off", What: fmt.Sprintf("Some outlines of the mould may stand %.2g mm off its true surface.", 1e3*float64(u.Chord)),
			Why: "where a groove is narrow or a fillet runs out they are those of the triangles", Do: "Leave that much wood there, and bring it down by the templates."}, 1e3*float64(u.Chord), 1e3*carve.ChordTo, "mm")
	}
	s := u.Stack
	if s == nil {
		return
	}
	if off := float64(s.Restacked/u.Volume) - 1; math.Abs(off) > stackedWithin {
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "slices-differ", What: "The slices stacked again do not give the shape's volume.",
			Why: "the surface has gaps or runs through itself", Do: "Check the outlines against the part before sawing"}, 100*math.Abs(off), 100*stackedWithin, "%")
	}
	if left := -s.Short; left > u.BoardThickness/2 {
		r.findAgainst(fault.Finding{Severity: fault.Note, Code: "board-mostly-planed", What: fmt.Sprintf("Of the last board %.1f mm are planed off.", 1e3*left),
			Why: "the shape is little higher than the boards under it", Do: "Take a thinner board for the last, or write another mould.build.board"}, 1e3*float64(left), 1e3*float64(u.BoardThickness)/2, "mm")
	}
	if len(s.Loose) > 0 {
		r.find(fault.Note, "board-undowelled", fmt.Sprintf("There is no room for two dowels under %s.", listed(s.Loose)), "the shape is too narrow there", "Glue them to the datum lines, and hold them with pins that are drawn out later.")
	}
}

// listed names boards: "piece 04", "pieces 04a, 04b".
func listed(names []string) string {
	head := "piece "
	if len(names) > 1 {
		head = "pieces "
	}
	return head + strings.Join(names, ", ")
}
