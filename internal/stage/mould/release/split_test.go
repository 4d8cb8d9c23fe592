package release

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// Cut twice, a sphere is three pieces that add up, each on its own side of the
// planes that bound it, with the seams in the planes: circles of the sphere, of
// which Pythagoras tells the radius.
func TestThreePieces(t *testing.T) {
	const R = 0.1
	s := ready(t, Input{Part: shapes.Sphere(R, 4)})
	v := s.survey(partMoves, directions(fineness))
	found := s.cutTwice(ThePart, v, s.cutOnce(ThePart, v)[:1])
	if len(found) == 0 {
		t.Fatal("none")
	}
	for _, sp := range found {
		if len(sp.Pieces) != 3 || len(sp.Planes) != 2 {
			t.Fatalf("%d pieces by %d planes", len(sp.Pieces), len(sp.Planes))
		}
		var sum float64
		for i, p := range sp.Pieces {
			sum += float64(p.Area)
			if p.Locked() > Trifle {
				t.Errorf("piece %d along %v locks %.2g m²", i, p.Dir, p.Locked())
			}
		}
		near(t, "area", sum, s.total, 1e-9)
		for i, plane := range sp.Planes {
			whole := 2 * math.Pi * math.Sqrt(R*R-sq(float64(plane.Offset)))
			got := length(linesIn(sp, i))
			if i == 0 && math.Abs(got-whole) > 0.01*whole || got > 1.01*whole { // the second cut goes over one piece
				t.Errorf("seam %d is %.4f m long, its circle %.4f", i, got, whole)
			}
		}
	}
}

// Three slabs of which the outer two leave inwards: the middle one has to go first,
// and without it there is no order.
func TestOrderOfSlabs(t *testing.T) {
	slab := func(from, to float64, e r3.Vec) (Piece, patch) {
		m := shapes.Patch(4, 4, func(u, v float64) r3.Vec { return r3.Vec{X: from + (to-from)*u, Y: v} })
		return Piece{Pull: Pull{Dir: array(r3.Unit(e))}, Mesh: m}, patch{mesh: m}
	}
	in, out := r3.Vec{X: -1, Z: 2}, r3.Vec{X: 1, Z: 2} // pulls of the part: the mould goes the other way
	sp := Split{Of: TheMould, Planes: []Plane{{Normal: [3]float64{1, 0, 0}, Offset: 1}, {Normal: [3]float64{1, 0, 0}, Offset: 2}}}
	for _, one := range []struct {
		from, to float64
		pull     r3.Vec
	}{{0, 1, in}, {1, 2, up}, {2, 3, out}} {
		p, c := slab(one.from, one.to, one.pull)
		sp.Pieces, sp.patches = append(sp.Pieces, p), append(sp.patches, c)
	}
	two := Split{Of: TheMould, Planes: sp.Planes[:1], Pieces: append([]Piece(nil), sp.Pieces[0]), patches: append([]patch(nil), sp.patches[0])}
	if !sp.inOrder() || sp.Pieces[0].Dir != array(up) {
		t.Errorf("first to go: %v", sp.Pieces[0].Dir)
	}
	p, c := slab(1, 3, out)
	two.Pieces, two.patches = append(two.Pieces, p), append(two.patches, c)
	if two.inOrder() {
		t.Error("two halves that both move inwards have no order")
	}
}

// A plane through a cube's middle cuts a face of a² through its solid.
func TestFaceOfCut(t *testing.T) {
	const a = 0.1
	box := shapes.OpenBox(r3.Vec{X: a, Y: a, Z: a}, 10)
	s := ready(t, Input{Part: box})
	top, err := mesh.NewTopology(box)
	if err != nil {
		t.Fatal(err)
	}
	middle := 0.5 * (box.Bounds().Min.X + box.Bounds().Max.X)
	c, err := top.ClipBy(func(p r3.Vec) float64 { return p.X - middle }, 0)
	if err != nil {
		t.Fatal(err)
	}
	area, within := s.face(cutLines(c))
	// The box is open at its foot: the cut's line runs up one wall, over the top and
	// down the other.
	near(t, "face", area, a*a, 0.02*a*a)
	if len(within) == 0 {
		t.Error("no places on the face")
	}
}
