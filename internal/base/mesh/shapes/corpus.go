package shapes

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Ask is what can be asked of a program that is given a surface.
type Ask int

// A Mould can be laid on, and an answer must come. No sheet can be laid on what
// is NoGround: a refusal must come that says what to do. On what is Doubtful
// either may come.
const (
	Mould Ask = iota
	NoGround
	Doubtful
)

// Shape is one surface of the corpus.
type Shape struct {
	Name string
	Hard string // what may go wrong on it
	Ask  Ask
	Make func() *mesh.Mesh
}

// Corpus lists the surfaces, the plain moulds first.
func Corpus() []Shape {
	return append(append(moulds(), odd()...), ground()...)
}

// moulds are what a bench lays on.
func moulds() []Shape {
	return []Shape{
		{"bowl", "a quarter turn all round, to an upright rim", Mould, func() *mesh.Mesh { return Cap(0.1, math.Pi/2, 20) }},
		{"blister", "half a ball on a plate: bulge and hollow foot", Mould, func() *mesh.Mesh { return Blister(0.06, 0.015, 0.15, 24) }},
		{"swell", "no two parts alike", Mould, func() *mesh.Mesh { return Swell(0.3, 0.22, 0.05, 30, 22) }},
		{"saddle", "opens everywhere", Mould, func() *mesh.Mesh { return Saddle(0.12, 0.15, 18) }},
		{"cone", "all its curvature in one vertex", Mould, func() *mesh.Mesh { return Cone(0.12, 0.09, 18) }},
		{"tube", "no end to go round, two rims of one length", Mould, func() *mesh.Mesh { return Tube(0.04, 0.2, 40, 24) }},
		{"elbow", "a tube that is curved too", Mould, func() *mesh.Mesh { return Elbow(0.12, 0.04, math.Pi/2, 36, 28) }},
		{"box", "four sharp corners of a right angle each, upright walls", Mould, func() *mesh.Mesh { return OpenBox(r3.Vec{X: 0.24, Y: 0.15, Z: 0.07}, 16) }},
		{"duct", "bulge, hollow and a sharp hollow edge to the flange", Mould, func() *mesh.Mesh { return Duct(0.4, 0.05, 0.05, 0.025, 48, 28) }},
		{"z-plate", "sharp bends that close in nothing", Mould, func() *mesh.Mesh {
			return Folded([]float64{0.1, 0.06, 0.1}, []float64{math.Pi / 2, -math.Pi / 2}, 0.15, 10, 16)
		}},
	}
}

// odd are surfaces that can be laid on by a stretch.
func odd() []Shape {
	return []Shape{
		{"comb", "twelve fingers a cell wide", Mould, func() *mesh.Mesh { return Comb(12, 0.008, 0.3, 40) }},
		{"stair", "goes round more than once, flat on itself", Mould, func() *mesh.Mesh { return Stair(0.05, 0.2, 0.15, 1.5, 60, 10) }},
		{"strip", "five hundred times as long as wide", Mould, func() *mesh.Mesh { return Strip(1, 0.002, 500) }},
		{"triangle", "no inner vertex and no inner edge", Mould, func() *mesh.Mesh { return Triangle(0.1) }},
		{"half-torus", "both ways curved, with a hole that holds half of it", Mould, func() *mesh.Mesh { return HalfTorus(0.12, 0.04, 60, 16) }},
		{"twisted-strip", "flat ribbon with half a twist", Mould, func() *mesh.Mesh { return TwistedStrip(0.1, 0.04, 0.02, 60, 6) }},
		{"far", "a bowl a thousand kilometres off", Mould, func() *mesh.Mesh { return Moved(Cap(0.1, math.Pi/3, 14), r3.Vec{X: 1e6, Y: -1e6, Z: 1e6}) }},
		{"tiny", "a bowl of a millimetre", Mould, func() *mesh.Mesh { return Cap(0.0005, math.Pi/3, 14) }},
		{"huge", "a bowl of twenty metres", Mould, func() *mesh.Mesh { return Cap(10, math.Pi/3, 14) }},
	}
}

// ground is what no one means, or a machine made.
func ground() []Shape {
	return []Shape{
		{"torus", "closed: no rim", NoGround, func() *mesh.Mesh { return Torus(0.12, 0.04, 48, 24) }},
		{"moebius", "one side only", NoGround, func() *mesh.Mesh { return Moebius(0.1, 0.04, 60, 6) }},
		{"bottle", "one side only, closed, runs through itself", NoGround, func() *mesh.Mesh { return Bottle(0.12, 0.05, 60, 31) }},
		{"links", "two closed parts", NoGround, func() *mesh.Mesh { return Links(0.1, 0.02, 36, 12) }},
		{"open-links", "two parts that could each be laid on", Doubtful, func() *mesh.Mesh { return OpenLinks(0.1, 0.02, 36, 8) }},
		{"crossed-boxes", "two closed parts that run through each other", NoGround, func() *mesh.Mesh { return CrossedBoxes(r3.Vec{X: 0.2, Y: 0.15, Z: 0.1}, 6) }},
		{"touching", "two triangles that share a corner", NoGround, func() *mesh.Mesh { return Touching(0.1) }},
		{"cut-bottle", "two sides, one rim, runs through itself", Doubtful, func() *mesh.Mesh { return CutBottle(0.12, 0.05, 0.02, 60, 31) }},
		{"eight", "a tube that runs through itself along a line", Doubtful, func() *mesh.Mesh { return Eight(0.08, 0.2, 48, 16) }},
		{"sieve", "two hundred holes, and closed but for them", Doubtful, func() *mesh.Mesh { return Sieve(0.15, 5, 200, 0.06) }},
		{"small-scan", "noise, spikes, holes, slivers, loose triangles", Doubtful, func() *mesh.Mesh {
			few := UsualFlaws
			few.Spikes, few.Holes, few.Slivers, few.Noise = 2, 3, 20, 2e-4
			return Scan(3, 3000, few)
		}},
		{"scan", "the same with 70 000 triangles", Doubtful, func() *mesh.Mesh { return Scan(1, 70000, UsualFlaws) }},
	}
}
