package nest

import (
	"fmt"

	"laywright/internal/base/fault"
)

// findings says what to mind about a layout.
func (r Roll) findings(l Laid) []fault.Finding {
	var out []fault.Finding
	if n := len(l.Placements); n > maxImproved {
		out = append(out, fault.Finding{Stage: "roll", Severity: fault.Note, Code: "layout-not-improved",
			What: fmt.Sprintf("The %d copies%s are laid one after another and not improved.", n, r.on()),
			Why:  "the search compares every copy with every other",
			Do:   fmt.Sprintf("lay at most %d at a time where cloth is dear", maxImproved),
		}.Against(float64(n), maxImproved, ""))
	}
	if longest := r.longest(); float64(l.Length) <= longest+proof {
		out = append(out, fault.Finding{Stage: "roll", Severity: fault.Note, Code: "longest-piece-sets-length",
			What: fmt.Sprintf("The roll%s is as long as its longest piece.", r.on()),
			Why:  "no layout can be shorter while that piece lies along the roll",
			Do:   "nothing, or part the long piece where a seam is allowed",
		}.Against(float64(l.Length), longest, "m"))
	}
	return out
}

// longest is the length below which no layout can be: of each piece the
// shortest way it may lie, of these the longest.
func (r Roll) longest() (length float64) {
	for _, p := range r.Pieces {
		length = max(length, p.shortest(float64(r.Width-2*r.Edge)))
	}
	return length
}
