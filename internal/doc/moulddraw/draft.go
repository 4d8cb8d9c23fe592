package moulddraw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/stage/mould/release"
)

// draftEnd is the draft, ±°, at the ends of the map's colours: walls beyond it
// come off by themselves, or hook for certain.
const draftEnd = 10.0

// draftMap colours the part by its draft along the judged pull.
func draftMap(p job.Plan) plydraw.Picture {
	m := p.Mould
	degrees := make([]float64, len(m.Draft))
	for f, δ := range m.Draft {
		degrees[f] = max(-draftEnd, min(draftEnd, δ*180/math.Pi))
	}
	limit := release.WantedDraft.Degrees()
	scale := draw.Range{Ramp: draw.Diverging(), Low: -draftEnd, High: draftEnd, Limit: &limit, Label: "draft", Unit: "°"}
	words := plydraw.WordsOf(p)
	j := m.Release.Judged
	back, free := "", plydraw.Degrees(float64(j.MinDraft))
	if j.Undercut > 0 {
		back, free = free, ""
	}
	pull := arrowOff(m.Surface, unit(j.Dir))
	surface, values := valued(m.Surface, degrees, false)
	surface, values = room(surface, values, pull)
	v := plydraw.NewViews(surface, values, scale)
	return plydraw.Drawn(plydraw.Picture{Name: "mould-draft", Caption: "Draft along the pull", Aspect: v.Aspect(), Sort: "Off the mould",
		Note: m.Out,
		Key:  fmt.Sprintf("Arrow: the way it is pulled. Line: %.0f° of draft, which a wall should have. Blue leans back and hooks; beyond ±%.0f° the colour stays.", limit, draftEnd),
		Table: draw.Table{Columns: []draw.Column{{Head: "Along the pull", Share: 3}, {Head: "Area", Share: 1, Align: draw.End}, {Head: "Least draft", Share: 1, Align: draw.End}},
			Rows: [][]string{
				{"leans back", words.Area(float64(j.Undercut)), back},
				{"leans forward, but hangs behind another region", words.Area(float64(j.Hidden)), ""},
				{fmt.Sprintf("free, under %.0f°", limit), words.Area(float64(j.Low)), free},
			}}},
		func(box r2.Box) []draw.Item {
			return v.Map(box, func(on plydraw.View) []draw.Item { return pull.draw(on, 1) })
		})
}
