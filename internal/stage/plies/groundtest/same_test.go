package groundtest

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/plies"
)

// How far the same mould, given another way, may move a result: by the rounding
// of its coordinates, grown by a solver that stops at a residual.
const (
	sameShear   = 0.02 * deg
	sameArea    = 1e-5  // relative, of the cloth inside the trim line
	sameOutline = 5e-5  // of the place of a cut line, m, against its 0.2 mm; × perimeter is an area
	sameSeed    = 1e-6  // m
	usualSize   = 0.3   // m; lengths that are added to a part are for one of this size
)

// pose is how a mould is given: turned, then sized, then shifted.
type pose struct {
	how    string
	angle  float64 // rad, about a skew axis
	size   float64
	shift  r3.Vec
	mixed  uint64 // seed of the order of vertices and triangles; 0: as made
	mirror bool
}

var poses = []pose{
	{how: "numbered anew", size: 1, mixed: 11},
	{how: "moved", size: 1, shift: r3.Vec{X: 2, Y: -3, Z: 1}},
	{how: "turned", size: 1, angle: 1.1},
	{how: "tenfold", size: 10},
	{how: "a tenth", size: 0.1},
	{how: "all at once", size: 2.5, angle: -2, shift: r3.Vec{X: 100, Y: 20, Z: 3}, mixed: 12},
}
