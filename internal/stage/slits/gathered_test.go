package slits

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh/shapes"
)

// A film on a shallow cap of a ball, laid whole, changes its lengths by Ω/(8π) round the
// rim and by Ω/(16π) in the middle: the closed form of a disc that lies free in its plane.
func TestFilmOnACap(t *testing.T) {
	const angle = 12 * math.Pi / 180
	p := partAt(t, shapes.Cap(1, angle, 40), r3.Vec{Z: 1})
	b, err := p.Lay(t.Context(), cut.Uncut(p.Top), Ask{Film: true, Limit: FilmLimit(0.015)})
	if err != nil {
		t.Fatal(err)
	}
	omega := 2 * math.Pi * (1 - math.Cos(angle))
	rim, whole := 0.0, 0.0
	for v, is := range p.Top.RimVertices() {
		if is {
			rim, whole = rim+b.FilmStrain(v), whole+1
		}
	}
	if got, want := rim/whole, omega/(8*math.Pi); math.Abs(got/want-1) > 0.05 {
		t.Errorf("round the rim lengths change by %.5f, want %.5f", got, want)
	}
	for v, q := range b.Flat {
		if r2.Norm(q) < 0.01 {
			if got, want := b.FilmStrain(v), omega/(16*math.Pi); math.Abs(got/want-1) > 0.05 {
				t.Errorf("in the middle lengths change by %.5f, want %.5f", got, want)
			}
		}
	}
}

// A slit that ends at the place where the sheet is laid down first leaves that place on
// the rim: the sheet is laid all the same.
func TestFilmFromATip(t *testing.T) {
	p := partAt(t, shapes.Cap(0.1, math.Pi/2, 16), r3.Vec{Z: 0.1})
	ask := Ask{Film: true, Limit: FilmLimit(0.05), Drawn: []Line{{From: r3.Vec{Z: 0.1}, To: r3.Vec{X: 0.1}}}}
	beds, err := p.Beds(t.Context(), ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(beds) != 1 || len(beds[0].Slits) != 1 {
		t.Fatalf("%d pieces", len(beds))
	}
}
