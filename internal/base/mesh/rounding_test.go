package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// On a ball rounded lines keep to great circles, more nearly the finer the triangles
// are, and several times as nearly as plain ones, which turn only where they pass a
// corner.
func TestRoundedLinesAreGreatCircles(t *testing.T) {
	off := func(level int, round bool) (rms float64) {
		m := sphere(t, level)
		top := topologyOf(t, m)
		var r *Rounding
		if round {
			r = top.Rounded(math.Pi/2, len(m.Triangles))
		}
		tr := NewTracer(top, r)
		rng := rand.New(rand.NewPCG(5, 6))
		for range 200 {
			p := Point{Face: rng.IntN(len(m.Triangles)), Bary: [3]float64{0.2, 0.3, 0.5}}
			n := m.FaceNormal(p.Face)
			d := unit(r3.Cross(n, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
			end, _, err := tr.End(p, d, 2)
			if err != nil {
				t.Fatal(err)
			}
			aside := r3.Dot(end.At, unit(r3.Cross(m.At(p), d)))
			rms += aside * aside / 200
		}
		return math.Sqrt(rms)
	}
	coarse, fine, plain := off(3, true), off(4, true), off(4, false)
	if fine > coarse/2 || fine > plain/2.5 {
		t.Errorf("off the great circle by %.2g, then %.2g; on plain triangles by %.2g", coarse, fine, plain)
	}
}

// On a cylinder, whose curvature is none, rounded lines are those of the triangles, and
// normals stand at a right angle to its axis.
func TestRoundedCylinder(t *testing.T) {
	m := tube(t, 1, 2, 48, 24)
	top := topologyOf(t, m)
	round := top.Rounded(math.Pi/4, len(m.Triangles))
	plain, rounded := NewTracer(top, nil), NewTracer(top, round)
	rng := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		p := Point{Face: rng.IntN(len(m.Triangles)), Bary: [3]float64{0.2, 0.3, 0.5}}
		d := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		a, rimA, errA := plain.End(p, d, 1)
		b, rimB, errB := rounded.End(p, d, 1)
		if errA != nil || errB != nil || rimA != rimB || r3.Norm(r3.Sub(a.At, b.At)) > 1e-9 {
			t.Fatalf("a line from %v along %v ends at %v, rounded at %v; %v, %v", p, d, a.At, b.At, errA, errB)
		}
		if up := round.Normal(p); math.Abs(up.Z) > 1e-12 || math.Abs(r3.Norm(up)-1) > 1e-12 {
			t.Fatalf("normal %v", up)
		}
	}
}

// The three normals of an octant enclose an eighth of the ball.
func TestOnBall(t *testing.T) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	if a, b := OnBall(x, y, z), OnBall(y, x, z); math.Abs(a-math.Pi/2) > 1e-12 || math.Abs(b+math.Pi/2) > 1e-12 {
		t.Errorf("areas %v, %v", a, b)
	}
}
