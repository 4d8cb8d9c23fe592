package drape

import (
	"context"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// On a hemisphere no net spans the four places at the rim on the bias. From a coarse
// copy they come to lie within a quarter of a side of where the descent ends, none
// turned over, and what the net has placed stays within that too.
func TestCoarseCopyTellsWhereClothLies(t *testing.T) {
	m := dome(60, 90*deg)
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	hit, _ := mesh.NewLocator(m).Closest(r3.Vec{Z: 1})
	in := Input{Surface: top, Seed: hit.Point, Warp: r3.Vec{X: 1}, Locking: 60 * deg}
	l, err := NewSolver(top)
	if err != nil {
		t.Fatal(err)
	}
	net, err := newNetOn(l.wide, l.tracer, in.Seed, in.Warp, l.given.edge)
	if err != nil {
		t.Fatal(err)
	}
	o := placeByNet(net, len(m.Triangles)).first(len(m.Vertices))
	if o.covered() == 1 {
		t.Fatal("the net spans it all")
	}
	r := &Result{Flat: append([]r2.Vec(nil), o.flat...)}
	spreadOut(l.given, r.Flat, o.placed())
	if ok, err := r.fromCoarse(context.Background(), l.shaped, o, newCloth(in.Locking)); !ok || err != nil {
		t.Fatal(ok, err)
	}
	if n := turned(l.shaped, r.Flat); n > 0 {
		t.Errorf("%d triangles lie turned over", n)
	}
	want, err := Solve(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for v, q := range want.Flat {
		if d := r2.Norm(r2.Sub(q, r.Flat[v])); d > 0.25*l.given.edge {
			t.Fatalf("vertex %d (known %v) is %.3f sides off", v, o.known(int32(v)), d/l.given.edge)
		}
	}
}
