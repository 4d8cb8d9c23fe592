// Package moulddraw draws how a part comes off its mould: a map of its draft, the
// places that hook, and what is split, pulled apart. It is given a finished plan
// and works out nothing but where lines fall on paper.
//
// Pictures are in millimetres of paper, as [draw] has them; the plan is in metres.
package moulddraw

import (
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// Pictures lists the pictures of a plan's mould; none where it has no surface.
func Pictures(p job.Plan) (out []plydraw.Picture) {
	if p.Mould == nil || p.Mould.Surface == nil || p.Mould.Release == nil {
		return nil
	}
	out = append(out, draftMap(p))
	if hooks, any := undercuts(p); any {
		out = append(out, hooks)
	}
	if apart, any := exploded(p); any {
		out = append(out, apart)
	}
	return out
}

// Pages is every picture on a page of its own.
func Pages(p job.Plan) (out []draw.Page) {
	for _, pic := range Pictures(p) {
		out = append(out, pic.Page())
	}
	return out
}
