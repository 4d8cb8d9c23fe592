package strength

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/wall"
)

// What is drawn fits the mesh and says what the numbers say. A pinned square swings as
// sin(πx/a)·sin(πy/a) (Navier): at a quarter of both sides half as far as in the middle.
func TestMaps(t *testing.T) {
	in := plate(24, Pinned, 0.33)
	r := run(t, in)
	if r.Mesh != in.Mesh || len(r.Wall) != len(in.Mesh.Triangles) || len(r.Move) != len(in.Mesh.Vertices) {
		t.Fatal("the maps do not fit the mesh")
	}
	for f, h := range r.Wall {
		if math.Abs(h-2e-3) > 1e-15 {
			t.Fatalf("triangle %d: wall of %g m", f, h)
		}
	}
	const n = 24
	swing := func(i, j int) float64 { return math.Abs(r.Swing[j*(n+1)+i].Z) }
	within(t, "swing at the quarter", swing(n/4, n/4)/swing(n/2, n/2), 0.5, 0.01)
	most := 0
	for f, s := range r.Share {
		if s > r.Share[most] {
			most = f
		}
	}
	if lead := r.Lead[most]; wall.Criteria[lead.Criterion] != r.Worst.Criterion || int(lead.Ply) != r.Worst.Ply || r.Share[most] != *r.Index {
		t.Errorf("triangle %d leads by %+v with %g; the worst is %+v", most, lead, r.Share[most], *r.Worst)
	}
}

// A vault under suction folds: the shape comes with the factor, and is held at the rim.
func TestBuckledShape(t *testing.T) {
	in := plate(12, Pinned, 0.33)
	in.Mesh = panel(12, func(u, v float64) r3.Vec {
		s, c := math.Sincos(u - 0.5)
		return r3.Vec{X: 0.4 * s, Y: 0.4 * v, Z: 0.4 * c}
	})
	in.Cases[0].Pressure = -1000
	r := run(t, in)
	if r.Buckling == nil || len(r.Buckled) != len(in.Mesh.Vertices) {
		t.Fatalf("factor %v, a shape of %d vertices", r.Buckling, len(r.Buckled))
	}
	if _, size := largest(r.Buckled); size == 0 || r3.Norm(r.Buckled[0]) != 0 {
		t.Errorf("it moves %g at most and %g at the rim", size, r3.Norm(r.Buckled[0]))
	}
}

// The shop counts plies from 1 and leaves cores out.
func TestLayersAsTheShopCallsThem(t *testing.T) {
	skin, foam := metal(0.3), metal(0.3)
	skin.Name, foam.Name, foam.Core = "glass", "foam", true
	in := Input{Layers: []Layer{skin, foam, skin}}
	for i, want := range []string{"ply 1 (glass)", "the core foam", "ply 2 (glass)"} {
		if got := in.layer(i); got != want {
			t.Errorf("layer %d: %q, want %q", i, got, want)
		}
	}
}
