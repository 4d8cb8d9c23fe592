package plydraw

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
)

// stage is a surface seen from one side or from two, and what stands on it.
type stage struct {
	scene draw.Scene
	eyes  []r3.Vec
	find  *mesh.Locator
	far   float64 // the surface's diagonal, m
	mean  r3.Vec  // sum of its area vectors, m²
}

// hiddenShare is the share of the area turned away from the eye from which a
// second view is drawn.
const hiddenShare = 0.02

// newStage looks at a surface from where most of it is seen, and where a part is
// turned away from there, from the other side as well. find is on this surface or
// on another of the same shape.
func newStage(m *mesh.Mesh, find *mesh.Locator) stage {
	s := stage{scene: draw.Scene{Vertices: m.Vertices, Triangles: m.Triangles, Edges: true}, find: find, far: m.Diagonal()}
	for f := range m.Triangles {
		s.mean = r3.Add(s.mean, m.AreaVector(f))
	}
	eye := draw.Isometric()
	for _, e := range corners() {
		if r3.Dot(e, s.mean) > r3.Dot(eye, s.mean)*(1+1e-6)+1e-9*m.Area() {
			eye = e
		}
	}
	s.eyes = []r3.Vec{eye}
	var away float64
	for f := range m.Triangles {
		if a := m.AreaVector(f); r3.Dot(a, eye) < 0 {
			away += r3.Norm(a)
		}
	}
	if away > hiddenShare*m.Area() {
		s.eyes = append(s.eyes, r3.Vec{X: -eye.X, Y: -eye.Y, Z: eye.Z})
	}
	return s
}

// above is the direction that most of the surface looks to, of the six along the
// axes.
func (s stage) above() r3.Vec {
	out := r3.Vec{Z: 1}
	for _, e := range []r3.Vec{{Z: -1}, {X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		if r3.Dot(e, s.mean) > r3.Dot(out, s.mean)+1e-9*r3.Norm(s.mean) {
			out = e
		}
	}
	return out
}

// corners are the eight directions along the diagonals of a cube, the usual one
// first.
func corners() (out []r3.Vec) {
	for _, z := range []float64{1, -1} {
		for _, xy := range [][2]float64{{1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
			out = append(out, r3.Unit(r3.Vec{X: xy[0], Y: xy[1], Z: z}))
		}
	}
	return out
}

// viewGap parts two views, in mm.
const viewGap = 4

// aspect is the height against the width that suits the views side by side.
func (s stage) aspect() float64 {
	if len(s.eyes) > 1 {
		return 0.52
	}
	return 0.62
}

// Strips under the views, in mm: for their axes, and for a legend beside these.
const (
	underAxes   = 9
	underLegend = draw.LegendHeight + 2
)

// draw draws each view, margin millimetres off its room's border, and over it
// what on returns for it; its axes stand in the strip under it, or, where that has
// no height, in the box beside, in the order of the views.
func (s stage) draw(box r2.Box, under, margin float64, beside r2.Box, on func(v seen) []draw.Item) (out []draw.Item) {
	for i, part := range draw.Split(box, len(s.eyes), viewGap) {
		corner := r2.Vec{X: part.Max.X - axisRoom, Y: part.Min.Y + axisRoom - 2}
		if under == 0 {
			corner = r2.Vec{X: beside.Min.X + axisRoom*(1+2*float64(i)), Y: beside.Max.Y - axisRoom - 2}
		}
		part.Min.Y += under
		part = draw.Inset(part, margin)
		scene := s.scene
		scene.Eye = s.eyes[i]
		v := seen{stage: s, view: scene.View(part), eye: s.eyes[i], box: part}
		out = append(out, scene.Draw(part)...)
		out = append(out, v.axes(corner)...)
		if on != nil {
			out = append(out, on(v)...)
		}
	}
	return out
}

// seen is one view.
type seen struct {
	stage
	view draw.View
	eye  r3.Vec
	box  r2.Box
}

// at returns where a point falls on paper, and whether nothing hides it.
func (v seen) at(p r3.Vec) (r2.Vec, bool) {
	q, _ := v.view.At(p)
	return q, v.shows(p, v.eye)
}

// shows tells whether nothing hides a point of the surface from an eye.
func (s stage) shows(p, eye r3.Vec) bool {
	const off = 2e-3 // of the diagonal: off the surface that the point lies on
	_, hidden := s.find.Ray(r3.Add(p, r3.Scale(off*s.far, eye)), eye, 0)
	return !hidden
}

// Length of the axes drawn under a view, and their room, in mm.
const (
	axisLong = 6
	axisRoom = 9
)

// axes draws the directions of the mould's axes from a point on paper.
func (v seen) axes(at r2.Vec) (out []draw.Item) {
	o, _ := v.view.At(r3.Vec{})
	unit := 0.0
	var tips [3]r2.Vec
	for i, e := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		q, _ := v.view.At(e)
		tips[i] = r2.Sub(q, o)
		unit = max(unit, r2.Norm(tips[i]))
	}
	for i, name := range [3]string{"x", "y", "z"} {
		if r2.Norm(tips[i]) < unit/10 {
			continue // it points at the eye
		}
		tip := r2.Scale(axisLong/unit, tips[i])
		word := r2.Add(at, r2.Scale((r2.Norm(tip)+2)/r2.Norm(tip), tip))
		out = append(out, draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Soft}, at, r2.Add(at, tip)),
			draw.Text{At: word, String: name, Size: draw.Small, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Soft})
	}
	return out
}
