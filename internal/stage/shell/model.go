// Package shell answers how a thin wall of laminated plies, given as a triangle
// surface, moves and strains under loads, at which multiple of a load it
// buckles, and how fast it swings: linear finite elements with small motions.
//
// Units are SI: m, N, Pa, kg, rad, K. The surface is the wall's mid-thickness.
// Each triangle carries the wall's stiffness in axes of its own: x along a
// direction the caller gives, laid into the triangle; z along the triangle's
// outward normal. It is flat, but stretches as the curved surface over it does. Stretch and bending may be coupled. A vertex has
// six unknowns: its motion and its turn, both as vectors in space.
//
// A line through the wall stays straight and unstretched, and leans only as the
// wall's shear lets it. The package knows nothing of plies, strengths or how a part is used.
//
// Checked against plates of [timoshenko1959], the obstacle course of
// [macneal1985] and frequencies of [leissa1969].
package shell

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/wall"
)

// Hold says which of a vertex's unknowns are held at 0, a bit each.
type Hold uint8

// Single unknowns, and the usual sets.
const (
	MoveX Hold = 1 << iota
	MoveY
	MoveZ
	TurnX
	TurnY
	TurnZ

	Pinned  = MoveX | MoveY | MoveZ
	Clamped = Pinned | TurnX | TurnY | TurnZ
)

// Section is a wall at some place: its stiffness and its mass per area, kg/m².
type Section struct {
	Wall wall.Stiffness
	Mass float64
}

// Model is a structure.
type Model struct {
	Mesh     *mesh.Mesh
	Sections []Section
	Section  []int32  // of each triangle; nil: all the first
	Axis     []r3.Vec // of each triangle: where the wall's x points, roughly in the triangle's plane
	Held     []Hold   // of each vertex
	Springs  []Spring
}

// element is a triangle made ready: its axes (x, y, normal), its corners in
// them, and its wall.
type element struct {
	nodes   [3]int32
	axes    frame
	x, y    [3]float64
	area    float64
	section *Section
	higher  float64   // scale of the membrane's higher-order strain
	normal  [3]r3.Vec // of the curved surface at the corners, in the triangle's axes
	fans    [3]int32  // of the surface, at the corners
}

// slender is the sine of the angle between axis and normal below which an axis
// gives no direction, and the share of the squared sides below which a triangle
// has no area.
const slender = 1e-6

func (m *Model) elements() ([]element, error) {
	if len(m.Axis) != len(m.Mesh.Triangles) || len(m.Held) != len(m.Mesh.Vertices) || len(m.Sections) == 0 ||
		(m.Section != nil && len(m.Section) != len(m.Mesh.Triangles)) {
		return nil, &fault.Input{Field: "mesh", What: "the lists of the model do not fit its mesh"}
	}
	out := make([]element, len(m.Mesh.Triangles))
	for f := range out {
		e, err := m.element(f)
		if err != nil {
			return nil, err
		}
		out[f] = e
	}
	surface := newCurved(m.Mesh)
	for f := range out {
		e := &out[f]
		e.fans = surface.of[f]
		for c, n := range surface.normals(f) {
			e.normal[c] = r3.Vec{X: r3.Dot(n, e.axes[0]), Y: r3.Dot(n, e.axes[1]), Z: r3.Dot(n, e.axes[2])}
		}
	}
	return out, nil
}

func (m *Model) element(f int) (element, error) {
	e := element{nodes: m.Mesh.Triangles[f], section: &m.Sections[0]}
	if m.Section != nil {
		e.section = &m.Sections[m.Section[f]]
	}
	a, b, c := m.Mesh.Corners(f)
	across := m.Mesh.AreaVector(f)
	e.area = r3.Norm(across)
	if sides := r3.Norm2(r3.Sub(b, a)) + r3.Norm2(r3.Sub(c, a)); !(e.area > slender*sides) {
		return e, &fault.Input{Field: "mesh", What: fmt.Sprintf("triangle %d has no area to speak of", f), Do: "clean the mesh"}
	}
	n := r3.Scale(1/e.area, across)
	along := r3.Sub(m.Axis[f], r3.Scale(r3.Dot(m.Axis[f], n), n))
	if size := r3.Norm(along); size > slender*r3.Norm(m.Axis[f]) {
		along = r3.Scale(1/size, along)
	} else {
		return e, &fault.Input{Field: "plies.warp", What: fmt.Sprintf("the warp stands square on triangle %d", f), Do: "give a warp direction that lies in the surface"}
	}
	e.axes = frame{along, r3.Cross(n, along), n}
	for k, p := range []r3.Vec{a, b, c} {
		e.x[k], e.y[k] = r3.Dot(r3.Sub(p, a), along), r3.Dot(r3.Sub(p, a), e.axes[1])
	}
	e.higher = higherScale(e.section.Wall.A)
	return e, nil
}
