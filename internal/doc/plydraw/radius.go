package plydraw

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/mould"
)

// tightEnd is where the scale of tightness ends: twice as tight as the cloth's limit.
const tightEnd = 2

// Radii held against where no cloth says its own, m: most cloths go into the one and
// round the other. Common practice, no source.
const (
	usualHollow = 5e-3
	usualOuter  = 2e-3
)

// listed is how many tight lines are numbered and listed.
const listed = 12

// Radii draws how tightly the part's surface bends against what its cloths take:
// hollows to one side of the scale, outer edges to the other. False where there is
// no surface.
func (a *Album) Radii() (Picture, bool) {
	p := a.plan
	if p.Mould == nil || p.Mould.Surface == nil || len(p.Mould.Curved.Low) != len(p.Mould.Surface.Vertices) {
		return Picture{}, false
	}
	w := wordsOf(p)
	s := a.mould()
	hollow, outer := tightLimits(p)
	s.scene.Values = taken(a.surface, tightness(p.Mould.Curved, hollow, outer))
	s.scene.Range = draw.Range{Ramp: draw.Diverging(), Low: -tightEnd, High: tightEnd, Label: "tightness: hollow −, outer +"}
	for _, e := range p.Mould.Curved.Sharp {
		ends, at := p.Mould.Curved.Top.Edges[e], p.Mould.Surface.Vertices
		s.scene.Traces = append(s.scene.Traces, draw.Trace{Points: []r3.Vec{at[ends[0]], at[ends[1]]}, Pen: draw.InkPen(draw.Strong)})
	}
	lines := append(append([]mould.TightLine(nil), p.Mould.Radii.Hollows...), p.Mould.Radii.Edges...)
	lines = lines[:min(len(lines), listed)]
	return Picture{Name: "radii", Caption: "Radii of the mould against the cloth", Aspect: s.aspect(), Sort: "Radii",
		Key:   fmt.Sprintf("−1: a hollow of %s, the tightest that all cloths go into; +1: an outer edge of %s, the tightest that all go round; paper: wider. Heavy lines: sharp edges. Numbers: too tight, see the table.", w.length(hollow), w.length(outer)),
		Table: radiiTable(p, w, lines),
		draw: func(box r2.Box) []draw.Item {
			return withLegend(box, s, func(v seen) (out []draw.Item) {
				for i, l := range lines {
					out = append(out, v.numbered(i+1, r3.Vec{X: l.At[0], Y: l.At[1], Z: l.At[2]})...)
				}
				return out
			})
		}}, true
}

// tightLimits are the radii that suit every cloth of the plan.
func tightLimits(p job.Plan) (hollow, outer float64) {
	for _, l := range p.Mould.Radii.Limits {
		hollow, outer = max(hollow, float64(l.Hollow)), max(outer, float64(l.Outer))
	}
	if hollow == 0 {
		hollow = usualHollow
	}
	if outer == 0 {
		outer = usualOuter
	}
	return hollow, outer
}

// tightness is the curvature against the cloths' limits, by vertex, within the
// scale; sharp edges lie at its ends.
func tightness(s mould.Curvature, hollow, outer float64) []float64 {
	out := make([]float64, len(s.Low))
	for v := range out {
		in, off := s.Low[v]*hollow, s.High[v]*outer
		if out[v] = off; -in > off {
			out[v] = in
		}
		out[v] = max(-tightEnd, min(tightEnd, out[v]))
	}
	for _, e := range s.Sharp {
		for _, v := range s.Top.Edges[e] {
			out[v] = math.Copysign(tightEnd, s.Top.Turning(int(e)))
		}
	}
	return out
}

// numbered marks a place with a number in a circle, if it is seen.
func (v seen) numbered(n int, p r3.Vec) []draw.Item {
	at, shown := v.at(p)
	if !shown {
		return nil
	}
	return []draw.Item{draw.Circle{At: at, R: 2.2, Pen: draw.Pen{Width: draw.Fine, Colour: draw.Accent}, Fill: draw.Ground},
		draw.Text{At: at, String: fmt.Sprint(n), Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Accent}}
}

// radiiTable lists the tight lines, or sums the surface up where there is none.
func radiiTable(p job.Plan, w words, lines []mould.TightLine) draw.Table {
	if len(lines) == 0 {
		return twice(shapeRows(p, w))
	}
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "No.", Share: 0.5}, {Head: "Tightest at", Share: 1.8}, {Head: "Long", Share: 1},
		{Head: "Radius", Share: 1}, {Head: "Too tight for", Share: 2.6}, {Head: "Do", Share: 2.2}}}
	for i, l := range lines {
		tight := w.length(float64(l.Radius))
		if l.Radius == 0 {
			tight = "sharp"
		}
		do := "round off to " + w.length(float64(l.Wanted))
		if l.Filler != nil {
			do = fmt.Sprintf("fill to %s: %.2g ml", w.length(float64(l.Wanted)), 1e6*float64(*l.Filler))
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), w.place(l.At), w.length(float64(l.Length)), tight, strings.Join(l.Cloths, ", "), do})
	}
	return t
}

func shapeRows(p job.Plan, w words) (rows [][]string) {
	add := func(what string, l *si.Length) {
		if l != nil {
			rows = append(rows, []string{what, w.length(float64(*l))})
		}
	}
	add("tightest hollow", p.Mould.MinHollow)
	add("tightest outer edge", p.Mould.Radii.MinOuter)
	shape := p.Mould.Radii.Shape
	for _, c := range []struct {
		what string
		area si.Area
	}{{"flat", shape.Flat}, {"curved one way", shape.Single}, {"curved both ways", shape.Double}} {
		rows = append(rows, []string{c.what, w.area(float64(c.area))})
	}
	return append(rows, []string{"hollow lines", w.length(float64(p.Mould.Radii.Fillets))})
}
