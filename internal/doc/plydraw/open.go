package plydraw

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
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

// Seeing returns the views with one of them on a point. Where none shows it, the view
// from the corner of a cube that looks at it most squarely stands in place of the
// second; from says so in a sentence.
func (v Views) Seeing(p r3.Vec) (out Views, from string) {
	if _, any := v.eyeOn(p); any {
		return v, ""
	}
	hit, _ := v.s.find.Closest(p)
	t, at := v.s.scene.Triangles[hit.Face], v.s.scene.Vertices
	n := r3.Unit(r3.Cross(r3.Sub(at[t[1]], at[t[0]]), r3.Sub(at[t[2]], at[t[0]])))
	var best r3.Vec
	most := 0.0
	for _, e := range corners() {
		if square := math.Abs(r3.Dot(n, e)); square > most*(1+1e-6) && v.s.shows(p, e) {
			best, most = e, square
		}
	}
	switch {
	case most == 0:
		return v, ""
	case r3.Dot(n, best) < 0:
		from = "Right: seen from the side that lies on the mould."
	default:
		from = "Right: seen from where the place shows."
	}
	v.s.eyes = []r3.Vec{v.s.eyes[0], best}
	return v, from
}

// eyeOn is the first eye that a point shows to.
func (v Views) eyeOn(p r3.Vec) (_ r3.Vec, any bool) {
	for _, e := range v.s.eyes {
		if v.s.shows(p, e) {
			return e, true
		}
	}
	return v.s.eyes[0], false
}

// On returns the one view that shows a point, for a small picture.
func (v Views) On(p r3.Vec) draw.Scene {
	v, _ = v.Seeing(p)
	scene := v.s.scene
	scene.Eye, _ = v.eyeOn(p)
	return scene
}

// Eyes are the directions that the surface is seen from.
func (v Views) Eyes() []r3.Vec { return v.s.eyes }

// Aspect is the height against the width that suits the views.
func (v Views) Aspect() float64 { return v.s.aspect() }

// Map draws the views with the legend of their colours, and over each what on
// returns for it.
func (v Views) Map(box r2.Box, on func(View) []draw.Item) []draw.Item {
	return withLegend(box, v.s, over(on))
}

// Bare draws the views without a legend.
func (v Views) Bare(box r2.Box, on func(View) []draw.Item) []draw.Item {
	return v.s.draw(box, underAxes, 0, r2.Box{}, over(on))
}

func over(on func(View) []draw.Item) func(seen) []draw.Item {
	if on == nil {
		return nil
	}
	return func(s seen) []draw.Item { return on(View{s}) }
}

// View is one view on paper.
type View struct{ s seen }

// At returns where a point falls on paper, and whether nothing hides it.
func (v View) At(p r3.Vec) (r2.Vec, bool) { return v.s.at(p) }

// Box is the room of the view.
func (v View) Box() r2.Box { return v.s.box }

// Drawable returns a mesh as it is drawn, no finer than paper shows, and each vertex's
// number in the mesh that it stands for; nil: the same.
func Drawable(m *mesh.Mesh) (*mesh.Mesh, []int32) {
	d := drawable(m)
	return d.mesh, d.of
}

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

// ringSize is the radius of a ring in mm.
const ringSize = 1.8

// Ring draws a ring round the place that a picture is about, with its number beside it.
func (s *Signs) Ring(at r2.Vec, number string) []draw.Item {
	room := r2.Vec{X: ringSize + 2*halo, Y: ringSize + 2*halo}
	s.l.taken = append(s.l.taken, r2.Box{Min: r2.Sub(at, room), Max: r2.Add(at, room)})
	ring := draw.Circle{At: at, R: ringSize, Pen: draw.Pen{Width: 0.6 + 2*halo, Colour: draw.Ground}}
	over := ring
	over.Pen = draw.Pen{Width: 0.6, Colour: draw.Accent}
	return append(s.Name(at, number), ring, over)
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

// Capital begins with a capital letter.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence begins with a capital, ends with a full stop and has units as print does.
func Sentence(s string) string {
	s = Capital(si.Typeset(s))
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}
