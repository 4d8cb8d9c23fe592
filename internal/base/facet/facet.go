// Package facet answers with what other triangles the same surface can be
// covered: sides of a wanted length, nearly equilateral, creases and rims kept,
// and how far the one covering stands off the other.
//
// Places are in metres, angles in radians. It changes no mesh that it is given.
// A surface must have no side of three triangles and no vertex where parts only
// touch. Same input, same triangles.
package facet

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Goal says how a surface is to be cut.
type Goal struct {
	Side    float64             // wanted side, m
	Crease  float64             // sides that bend by more stay sides, rad; 0: π/4
	HoldRim bool                // the rim keeps its vertices, none more and none less
	Stray   float64             // how far a vertex that goes may stand off the line of its rim or crease, m
	Onto    func(r3.Vec) r3.Vec // where given, vertices of the surface are put there
	OntoRim func(r3.Vec) r3.Vec // where given, new vertices of rims and creases are put there
}

// The wanted side is met where sides are from shortSide to longSide of it; a
// round splits, joins, turns and shifts. A vertex moves by a share of the way to
// the middle of its neighbours.
//
// Source: [botsch-kobbelt2004].
const (
	longSide  = 4.0 / 3
	shortSide = 4.0 / 5
	rounds    = 8
	shift     = 0.5
	cornerAt  = math.Pi / 6 // a rim or crease that turns by more keeps its vertex
	leastTurn = 0.5         // cosine of the most that a triangle may turn
)

// Recut returns the surface with triangles of the wanted side. Vertices at the
// corners of rims and creases stay.
func Recut(t *mesh.Topology, g Goal) *mesh.Mesh {
	if g.Crease == 0 {
		g.Crease = math.Pi / 4
	}
	s := newSheet(t, g)
	for range rounds {
		changed := s.splitLong() + s.joinShort() + s.turnSides()
		s.shiftAll()
		if changed == 0 {
			break
		}
	}
	s.turnSides()
	return s.finish()
}
