package nest

import (
	"cmp"
	"fmt"

	"laywright/internal/base/fault"
)

// findings says what to mind about the layouts of a roll.
func (r Roll) findings(of []Laid) (out []fault.Finding) {
	add := func(severity fault.Severity, code, what, why, do string, value, limit float64, unit string) {
		out = append(out, fault.Finding{Stage: "roll", Severity: severity, Code: code, What: what, Why: why, Do: do}.Against(value, limit, unit))
	}
	for _, l := range of {
		if n := len(l.Placements); n > maxImproved {
			add(fault.Note, "layout-not-improved", fmt.Sprintf("The %d copies%s are laid one after another and not improved.", n, r.on()),
				"the search compares every copy with every other", fmt.Sprintf("lay at most %d at a time where cloth is dear", maxImproved), float64(n), maxImproved, "")
		}
		if longest := r.longest(); l.Stock == "" && len(l.Blanks) == 0 && float64(l.Length) <= longest+proof {
			add(fault.Note, "longest-piece-sets-length", fmt.Sprintf("The roll%s is as long as its longest piece.", r.on()),
				"no layout can be shorter while that piece lies along the roll", "nothing, or part the long piece where a seam is allowed", float64(l.Length), longest, "m")
		}
		if l.Stock == "" && len(r.Stock) > 0 {
			add(fault.Caution, "stock-too-small", fmt.Sprintf("What is in stock%s does not hold all pieces: %.2f m of new cloth are cut too.", r.on(), float64(l.Length)),
				"pieces of one ply come from one lot, and what is left over needs a length of its own", fmt.Sprintf("have %.2f m at hand before you mix resin, or put more stock into the job", float64(l.Bought)), float64(l.Length), 0, "m")
		}
		for _, b := range l.Blanks {
			if long := b.To - b.From; l.Table > 0 && long > l.Table {
				add(fault.Caution, "blank-over-table", fmt.Sprintf("The blank of %s is %.0f mm long and hangs over the cutting table.", cmp.Or(b.Group, "the loose pieces"), 1e3*float64(long)),
					"cloth that hangs pulls its weave askew", "hold its end up level with the table while it is cut", float64(long), float64(l.Table), "m")
			}
		}
		if l.Together != nil && len(l.Blanks) > 1 {
			more := l.Length - *l.Together
			add(fault.Note, "blanks-cost-cloth", fmt.Sprintf("Cut by hand in %d blanks the roll%s takes %.0f mm; nested together the pieces take %.0f mm.", len(l.Blanks), r.on(), 1e3*float64(l.Length), 1e3*float64(*l.Together)),
				fmt.Sprintf("each blank ends in a straight cut: %.0f %% of the blanks is not pieces, nested together %.0f %% is not", 100*(1-l.Use), 100*(1-l.Use*float64(l.Length / *l.Together))),
				"leave out roll.by_hand where the cloth is dearer than the time", float64(more), 0, "m")
		}
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
