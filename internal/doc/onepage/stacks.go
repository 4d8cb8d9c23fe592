package onepage

import (
	"fmt"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// stacks lists what the search for a stack found, on a page behind the plan.
func stacks(f *draw.Flow, p job.Plan) {
	s := p.Search
	if s == nil {
		return
	}
	f.Break()
	f.Title("Which stack", "")
	f.Lead(s.Words)
	table := func(head string, of []job.Try) {
		if len(of) == 0 {
			return
		}
		var rows [][]string
		for _, t := range of {
			rows = append(rows, []string{t.Stack, show(t.ArealMass, p), show(t.Thickness, p), fmt.Sprintf("%.0f %%", 100*t.Use), t.Governs, t.How})
		}
		f.Table(draw.Table{Size: draw.Small, Rows: rows, Columns: []draw.Column{{Head: head, Share: 3}, {Head: "Weighs", Share: 1.2, Align: draw.End}, {Head: "Thick", Share: 1.1, Align: draw.End},
			{Head: "Used", Share: 0.8, Align: draw.End}, {Head: "of its", Share: 1.2}, {Head: "where", Share: 3}}})
	}
	table("These hold, the lightest first", s.Best)
	table("No heavier, and these fail", s.Failed)
	if s.OnePly != nil {
		table("One ply", []job.Try{*s.OnePly})
	}
	f.Para("Used counts the factor in: 100 % is the limit. Each cloth lies as one ply of it does by itself; the first that holds was laid with all its plies and checked again.")
}

func show[Q si.Quantity](q Q, p job.Plan) string {
	system := p.Spec.Show
	if system == "" {
		system = si.Metric
	}
	return si.Typeset(si.Show(q, system, 3))
}
