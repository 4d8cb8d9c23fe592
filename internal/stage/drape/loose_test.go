package drape_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/drape"
)

// A box with upright walls that is slit down its four edges is a cross of plane faces:
// however the yarns run, it lies without shear or stretch, and is as large in the flat as
// it was. From the net of a ply on the bias, which meets itself behind the
// tips, a descent comes to walls that lock.
func TestSlitBoxIsACross(t *testing.T) {
	size := r3.Vec{X: 0.2, Y: 0.15, Z: 0.08}
	top, err := mesh.NewTopology(shapes.OpenBox(size, 12))
	if err != nil {
		t.Fatal(err)
	}
	g := cut.Uncut(top)
	for i, c := range []r3.Vec{{}, {X: size.X}, {X: size.X, Y: size.Y}, {Y: size.Y}} {
		tip := top.Mesh.NearestVertex(r3.Add(c, r3.Vec{Z: size.Z}), func(int) bool { return true })
		foot := top.Mesh.NearestVertex(c, func(int) bool { return true })
		path, ok := cut.NewTracer(g.Top).Along([]int32{tip, foot})
		if !ok {
			t.Fatal("no way down the edge")
		}
		if g, ok = g.Open(path, i); !ok {
			t.Fatal("the edge can't be cut")
		}
	}
	seed, _ := mesh.NewLocator(g.Top.Mesh).Closest(r3.Vec{X: size.X / 2, Y: size.Y / 2, Z: size.Z})
	for _, angle := range []float64{0, 30, 45} {
		sin, cos := math.Sincos(angle * math.Pi / 180)
		r, err := drape.Solve(t.Context(), drape.Input{Surface: g.Top, Seed: seed.Point, Warp: r3.Vec{X: cos, Y: sin}, Locking: si.Degrees(50)})
		if err != nil {
			t.Fatal(err)
		}
		most, area := 0.0, 0.0
		for v, γ := range r.Shear {
			most = max(most, math.Abs(γ), math.Abs(r.Stretch[v][0]), math.Abs(r.Stretch[v][1]))
		}
		for _, f := range g.Top.Mesh.Triangles {
			area += r2.Cross(r2.Sub(r.Flat[f[1]], r.Flat[f[0]]), r2.Sub(r.Flat[f[2]], r.Flat[f[0]])) / 2
		}
		const cross = 0.2*0.15 + 2*(0.2+0.15)*0.08
		if most > 1e-3 || math.Abs(area/cross-1) > 1e-4 {
			t.Errorf("warp at %g°: shear or stretch of %.4f, %.5f m² in the flat, want %.5f", angle, most, area, cross)
		}
	}
}
