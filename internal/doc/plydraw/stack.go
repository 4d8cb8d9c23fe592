package plydraw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// alike is the share of the thickness below which differences are not drawn.
const alike = 0.05

// Stack draws how thick the laid cloth is by place, laps and sheared places with
// it; false where the plan did not lay the pieces back on the mould.
func (a *Album) Stack() (Picture, bool) {
	p := a.plan
	if !has(p) || len(p.Plies.Relaid.Stack.Thickness) != len(p.Mould.Surface.Vertices) {
		return Picture{}, false
	}
	r := p.Plies.Relaid
	w := wordsOf(p)
	s := a.mould()
	by, unit := 1000.0, "mm"
	if w.us {
		by, unit = 1000/inch, "mil"
	}
	low, high := math.Inf(1), 0.0
	for _, t := range taken(a.surface, r.Stack.Thickness) {
		s.scene.Values = append(s.scene.Values, by*t)
	}
	for _, t := range r.Stack.Thickness {
		low, high = min(low, by*t), max(high, by*t)
	}
	if high-low < alike*high {
		low = 0
	}
	if ticks := draw.Ticks(low, high, 6); len(ticks) > 1 {
		step := ticks[1] - ticks[0]
		low, high = step*math.Floor(low/step), step*math.Ceil(high/step)
	}
	s.scene.Range = draw.Range{Ramp: draw.Sequential(), Low: low, High: high, Label: "thickness of the plies", Unit: unit}
	rows := [][]string{
		{"thickest", w.thin(float64(r.ThicknessMax)) + fmt.Sprintf(", %d layers", r.LayersMax)}, {"thinnest", w.thin(float64(r.ThicknessMin))},
		{"highest step at an edge of cloth", w.thin(float64(r.StepMax))}, {"of three plies in a row, most that lie double", fmt.Sprint(r.DoubledMax)},
		{"area with more than one of three double", w.area(float64(r.DoubledOver))}, {"cloth on the part", si.Typeset(si.Show(r.Mass, p.Spec.Show, 3))},
	}
	return Picture{Name: "thickness", Caption: "Thickness of the laid plies", Aspect: s.aspect(), Table: twice(rows),
		Sort: "Thickness", Key: "The cloth plies as laid and cured, cores left out. Where cloth shears it grows thicker; where pieces lap it lies double.",
		draw: func(box r2.Box) []draw.Item { return withLegend(box, s, nil) }}, true
}
