package plydraw

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// What other packages need to draw pictures of the same look.

// Drawn returns a picture of the given words and table that is drawn so.
func Drawn(p Picture, draw func(r2.Box) []draw.Item) Picture {
	p.draw = draw
	return p
}

// Views is a surface seen from one side or from two.
type Views struct{ s stage }

// NewViews looks at a surface from where most of it is seen, and where some is
// turned away from there, from the other side as well; or from the eyes given.
// values colour it, one a vertex; nil: the bare surface.
func NewViews(m *mesh.Mesh, values []float64, scale draw.Range, eyes ...r3.Vec) Views {
	s := newStage(m, mesh.NewLocator(m))
	s.scene.Values, s.scene.Range = values, scale
	if len(eyes) > 0 {
		s.eyes = eyes
	}
	return Views{s}
}

// Aspect is the height against the width that suits the views.
func (v Views) Aspect() float64 { return v.s.aspect() }

// Map draws the views with the legend of their colours, and over each what on
// returns for it.
func (v Views) Map(box r2.Box, on func(View) []draw.Item) []draw.Item {
	return withLegend(box, v.s, func(s seen) []draw.Item { return on(View{s}) })
}

// Bare draws the views without a legend.
func (v Views) Bare(box r2.Box, on func(View) []draw.Item) []draw.Item {
	return v.s.draw(box, underAxes, 0, r2.Box{}, func(s seen) []draw.Item { return on(View{s}) })
}

// View is one view on paper.
type View struct{ s seen }

// At returns where a point falls on paper, and whether nothing hides it.
func (v View) At(p r3.Vec) (r2.Vec, bool) { return v.s.at(p) }

// Box is the room of the view.
func (v View) Box() r2.Box { return v.s.box }

// Arrow draws a line with a head at its end.
func Arrow(width float64, points ...r2.Vec) []draw.Item { return arrow(width, points...) }

// Signs places numbers beside the points that they name, off each other.
type Signs struct{ l labels }

// NewSigns keeps the numbers inside a room.
func NewSigns(room r2.Box) *Signs { return &Signs{labels{room: room}} }

// Name draws a number beside a point with a line to it.
func (s *Signs) Name(p r2.Vec, number string) []draw.Item {
	return s.l.name(p, r2.Sub(p, r2.Scale(0.5, r2.Add(s.l.room.Min, s.l.room.Max))), number)
}

// Words writes numbers in the job's units.
type Words struct{ w words }

// WordsOf returns the words of a plan.
func WordsOf(p job.Plan) Words { return Words{wordsOf(p)} }

// Length writes what is measured off with a tape, m.
func (w Words) Length(m float64) string { return w.w.length(m) }

// Area writes an area, m².
func (w Words) Area(m2 float64) string { return w.w.area(m2) }

// Place writes a point of the mould, m.
func (w Words) Place(p [3]float64) string { return w.w.place(p) }

// Degrees writes an angle, rad.
func Degrees(rad float64) string { return degrees(rad) }
