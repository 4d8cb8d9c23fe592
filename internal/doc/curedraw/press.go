package curedraw

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// press follows the fibre fraction under the bag, and the viscosity, until the resin
// gels. Most of it happens in the first minute: that is what is drawn.
func press(p job.Plan) plydraw.Picture {
	w, b := wordsOf(p), p.Bag
	h := b.History
	end := h.Time[len(h.Time)-1]
	if b.PressedIn != nil {
		end = min(end, 6*float64(*b.PressedIn))
	}
	unit, size := spell(end)
	fraction, thick := draw.Series{Label: "fibre"}, draw.Series{Label: "viscosity", OnRight: true}
	for i, t := range h.Time {
		if t > end {
			break
		}
		fraction.X, fraction.Y = append(fraction.X, t/size), append(fraction.Y, 100*h.Fraction[i])
		thick.X, thick.Y = append(thick.X, t/size), append(thick.Y, float64(h.Viscosity[i]))
	}
	chart := draw.Chart{X: draw.Axis{Label: "time from vacuum on", Unit: unit, Tight: true}, Y: draw.Axis{Label: "fibre, of the volume", Unit: "%"},
		Right: &draw.Axis{Label: "viscosity", Unit: "Pa s", FromZero: true}, Series: []draw.Series{fraction, thick}}
	if b.PressedIn != nil {
		chart.Limits = append(chart.Limits, draw.Limit{At: float64(*b.PressedIn) / size, Label: "nine tenths pressed", Vertical: true, Plain: true})
	}
	return plydraw.Drawn(plydraw.Picture{Name: "bag-press", Caption: "How the bag presses the cloth", Aspect: aspect, Table: w.pressTable(p)},
		func(box r2.Box) []draw.Item { return chart.Draw(box) })
}

func (w words) pressTable(p job.Plan) draw.Table {
	b := p.Bag
	t := facts()
	add := func(what, value string) { t.Rows = append(t.Rows, []string{what, value}) }
	add("fibre at the end", fmt.Sprintf("%.0f %% of the volume; wall %s", 100*b.Fraction, w.short(b.Thickness)))
	if n := len(b.ByPly); n > 1 {
		low, high := b.ByPly[0], b.ByPly[0]
		for _, f := range b.ByPly {
			low, high = min(low, f), max(high, f)
		}
		add("from ply to ply", fmt.Sprintf("%.1f to %.1f %%", 100*low, 100*high))
	}
	add("resin that leaves", grams(b.Bled)+" into peel ply and "+fault.Count(b.BleederPlies, "layer", "layers")+" of bleeder")
	if b.BleederWhy != "" {
		add("why so many", plydraw.Capital(si.Sentence(b.BleederWhy, p.Spec.Show)))
	}
	return t
}
