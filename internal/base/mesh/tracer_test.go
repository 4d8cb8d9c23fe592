package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The end of a quick line is that of the careful one, on round ground and on a
// cube, from inside triangles, from sides and corners, and out over the rim, rounded
// or not.
func TestTracerEndsWhereTraceDoes(t *testing.T) {
	open := tube(t, 1, 2, 24, 12)
	for name, m := range map[string]*Mesh{"torus": torus(t, 2, 0.6, 16), "cube": cube(), "tube": open, "plate": plate(6), "strip": moebius(12)} {
		top := topologyOf(t, m)
		plain, rounded := NewTracer(top, nil), NewTracer(top, top.Rounded(math.Pi/3, len(m.Triangles)))
		rng := rand.New(rand.NewPCG(2, 9))
		rims := 0
		for i := range 600 {
			tr := plain
			if i%2 == 1 {
				tr = rounded
			}
			p := Point{Face: rng.IntN(len(m.Triangles)), Bary: [3]float64{0.2, 0.3, 0.5}}
			switch i % 5 {
			case 1:
				p.Bary = [3]float64{0, 0.4, 0.6}
			case 2:
				p.Bary = [3]float64{0, 1, 0}
			}
			d := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
			length := 3 * rng.Float64()
			line, errA := tr.Line(p, d, length)
			end, atRim, errB := tr.End(p, d, length)
			if (errA == nil) != (errB == nil) {
				t.Fatalf("%s: errors %v, %v", name, errA, errB)
			}
			if errA != nil {
				continue
			}
			want := line.End(m)
			if atRim {
				rims++
			}
			if off := r3.Norm(r3.Sub(end.At, want.At)); off > 1e-7 || atRim != line.AtRim || math.Abs(end.Arc-want.Arc) > 1e-7 || r3.Norm(r3.Sub(end.Dir, want.Dir)) > 1e-7 {
				t.Fatalf("%s: ends at %v, want %v; at the rim %v, want %v", name, end, want, atRim, line.AtRim)
			}
		}
		if (rims == 0) != (name == "torus" || name == "cube") {
			t.Errorf("%s: %d lines of 600 came to the rim", name, rims)
		}
	}
}

// Refusals are those of the careful way.
func TestTracerRefuses(t *testing.T) {
	tr := NewTracer(topologyOf(t, plate(2)), nil)
	inside := Point{0, [3]float64{0.2, 0.3, 0.5}}
	for name, err := range map[string]error{
		"straight up": second(tr.End(inside, r3.Vec{Z: 1}, 1)),
		"NaN length":  second(tr.End(inside, r3.Vec{X: 1}, math.NaN())),
		"no triangle": second(tr.End(Point{Face: 99}, r3.Vec{X: 1}, 1)),
		"no way":      second(tr.End(inside, r3.Vec{}, 1)),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func second(_ Station, _ bool, err error) error { return err }
