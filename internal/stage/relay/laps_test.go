package relay

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
)

// partedPlate is a plate of 0.2 m by 0.2 m in two pieces along a way over its
// mesh from the lower rim to the upper one, cut out along the outlines given.
func partedPlate(t *testing.T, n int, way []r3.Vec, left, right geom.Polygon) (in Input) {
	top := (&sheets{}).grid(n, n, func(s, t float64) r3.Vec { return r3.Vec{X: 0.2 * s, Y: 0.2 * t} }).top(t)
	g := opened(t, top, way)
	of, _ := g.Top.Components()
	var pieces []Piece
	for k, outline := range []geom.Polygon{left, right} {
		first := of[g.Top.VertexFaces(int(g.Top.Mesh.NearestVertex(r3.Vec{X: 0.2 * float64(k)}, func(int) bool { return true })))[0]]
		faces := map[r3.Vec]bool{}
		for f := range of {
			faces[g.Top.Mesh.Centroid(f)] = of[f] == first
		}
		part := parted(t, g, func(c r3.Vec) bool { return faces[c] })
		pieces = append(pieces, Piece{Ground: part, Outline: pairs(outline),
			Flat: laidBy(part, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.X, Y: at.Y} })})
	}
	return Input{Surface: top, Plies: []Ply{plyOf(1, pieces...)}, Lap: 0.015, Allowance: 0.01}
}

// Along teeth of the mesh the cuts run straight: the lap is what lies between
// them, and so is the area that lies double.
func TestTeethOfTheMesh(t *testing.T) {
	var way []r3.Vec
	for j := range 41 {
		way = append(way, r3.Vec{X: 0.1 + 0.005*float64(j%2), Y: 0.005 * float64(j)})
	}
	r := relaid(t, partedPlate(t, 40, way, geom.Rect(-0.01, -0.01, 0.1175, 0.21), geom.Rect(0.1025, -0.01, 0.21, 0.21)))
	c := r.Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-6)
	near(t, "least lap", float64(*c.LapLeast), 0.015, 5e-4)
	near(t, "median lap", float64(*c.LapMedian), 0.015, 1e-4)
	near(t, "double", float64(c.Doubled), 0.015*0.2, 5e-5) // the ray beside each rim leaves a corner over
	near(t, "step", float64(r.StepMax), thick, 1e-12)
	if r.LayersMax != 2 {
		t.Errorf("%d layers", r.LayersMax)
	}
}

// A seam that meets the rim aslant has its lap as wide to the very rim, and one
// with a bend laps w·L − w²·tan(φ/2) to the inside, φ being the turn.
func TestLapsEndAtTheRimAndBend(t *testing.T) {
	const w = 0.015
	slant := []r3.Vec{{X: 0.05}, {X: 0.15, Y: 0.2}}
	u := r2.Unit(r2.Vec{X: 0.1, Y: 0.2})
	far := func(k float64) r2.Vec { return r2.Add(r2.Vec{X: 0.05}, r2.Scale(k, u)) }
	off := r2.Vec{X: w * u.Y, Y: -w * u.X}
	in := partedPlate(t, 40, slant,
		geom.Polygon{{X: -0.01, Y: -0.1}, r2.Add(far(-0.1), off), r2.Add(far(0.33), off), {X: -0.01, Y: 0.3}},
		geom.Polygon{{X: 0.3, Y: -0.1}, {X: 0.3, Y: 0.3}, far(0.33), far(-0.1)})
	c := relaid(t, in).Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-6)
	near(t, "double, aslant", float64(c.Doubled), w*math.Hypot(0.1, 0.2), 1e-5)
	near(t, "least lap", float64(*c.LapLeast), w, 1e-4)

	a := math.Atan2(0.05, 0.1) // the seam bends by 2a half-way up
	way := []r3.Vec{{X: 0.1}, {X: 0.15, Y: 0.1}, {X: 0.1, Y: 0.2}}
	back := w / math.Cos(a) // parallel lines, along x
	in = partedPlate(t, 40, way,
		geom.Polygon{{X: -0.01, Y: -0.02}, {X: 0.09, Y: -0.02}, {X: 0.15, Y: 0.1}, {X: 0.09, Y: 0.22}, {X: -0.01, Y: 0.22}},
		geom.Polygon{{X: 0.21, Y: -0.02}, {X: 0.21, Y: 0.22}, {X: 0.09 - back, Y: 0.22}, {X: 0.15 - back, Y: 0.1}, {X: 0.09 - back, Y: -0.02}})
	c = relaid(t, in).Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-6)
	// the strip ends at the rim, not at a right angle: 2·back·0.1
	near(t, "double, bent", float64(c.Doubled), 2*back*0.1, 2e-5)
}
