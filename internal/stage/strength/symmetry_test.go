package strength

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// bowl is an unsymmetric laminate on an uneven dome, straight answers asked for.
func bowl() Input {
	linear := false
	in := Input{Edge: Clamped, Warp: r3.Vec{X: 1, Y: 0.2}, MassKnown: true, Spec: Spec{LargeDeflection: &linear},
		Cases: []Case{{Name: "suction", Pressure: -1000}, {Name: "hand", Handling: 20, Pressure: 300}}}
	in.Mesh = panel(10, func(u, v float64) r3.Vec {
		x, y := 2*u-1, 2*v-1
		return r3.Vec{X: 0.2 * x, Y: 0.15 * y, Z: 0.05 * (1 - x*x) * (1 - y*y) * (1 + 0.3*x - 0.2*y)}
	})
	for _, deg := range []float64{0, 30, -45, 90} {
		in.Layers = append(in.Layers, Layer{Mass: 0.4, Ply: wall.Ply{Name: "tape", Thickness: 0.25e-3, Angle: si.Degrees(deg),
			Elastic:  &wall.Elastic{E1: 120e9, E2: 8e9, G12: 4e9, Nu12: 0.3},
			Strength: &wall.Strength{Xt: 1200e6, Xc: 800e6, Yt: 35e6, Yc: 130e6, S: 60e6}}})
	}
	return in
}

// same holds all that a place or a direction does not enter; times is what the motion and
// the failure index grow by.
func same(t *testing.T, what string, got, want Result, times, tolerance float64) {
	t.Helper()
	within(t, what+" deflection", float64(got.Deflection), times*float64(want.Deflection), tolerance)
	within(t, what+" index", *got.Index, times**want.Index, tolerance)
	for c, w := range want.ByCriterion {
		g := got.ByCriterion[c]
		within(t, what+" "+string(c), g.Index, times*w.Index, tolerance)
		if g.Mode != w.Mode || g.Ply != w.Ply || g.Case != w.Case {
			t.Errorf("%s: %+v, want %+v", what, g, w)
		}
	}
	within(t, what+" mass", float64(*got.Mass), float64(*want.Mass), tolerance)
	within(t, what+" mesh error", got.MeshError, want.MeshError, tolerance)
	// a mode is known to its search's residual only
	within(t, what+" buckling", *got.Buckling, *want.Buckling/times, 1e-4)
	within(t, what+" frequency", float64(*got.Frequency), float64(*want.Frequency), 1e-4)
}

// Turned or shifted in space the part does the same; so does its mirror image, with the
// layers' angles mirrored.
func TestTurnedAndMirroredPartDoesTheSame(t *testing.T) {
	want := run(t, bowl())
	turn := r3.NewRotation(1.1, r3.Vec{X: -1, Y: 0.4, Z: 2})
	in := bowl()
	in.Warp = turn.Rotate(in.Warp)
	for v, p := range in.Mesh.Vertices {
		in.Mesh.Vertices[v] = r3.Add(turn.Rotate(p), r3.Vec{X: 3, Y: -2, Z: 1})
	}
	got := run(t, in)
	same(t, "turned", got, want, 1, 1e-7)
	at := want.DeflectionAt
	moved := place(r3.Add(turn.Rotate(r3.Vec{X: at[0], Y: at[1], Z: at[2]}), r3.Vec{X: 3, Y: -2, Z: 1}))
	for k := range moved {
		within(t, "place", got.DeflectionAt[k], moved[k], 1e-9)
	}

	in = bowl()
	in.Warp.X = -in.Warp.X
	for v := range in.Mesh.Vertices {
		in.Mesh.Vertices[v].X = -in.Mesh.Vertices[v].X
	}
	for f, tri := range in.Mesh.Triangles {
		in.Mesh.Triangles[f] = [3]int32{tri[1], tri[0], tri[2]}
	}
	for i := range in.Layers {
		in.Layers[i].Angle = -in.Layers[i].Angle
	}
	same(t, "mirrored", run(t, in), want, 1, 1e-7)
}

// Twice the load is twice the straight answer and half the buckling factor.
func TestTwiceTheLoadIsTwiceTheAnswer(t *testing.T) {
	in := bowl()
	for i := range in.Cases {
		in.Cases[i].Pressure *= 2
		in.Cases[i].Handling *= 2
	}
	same(t, "twice", run(t, in), run(t, bowl()), 2, 1e-9)
}
