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
			if math.Abs(b.Shear[v]/omega-1) > 0.1 {
				t.Errorf("at the rim vertex %d counts as a cap of %.4f rad, want %.4f", v, b.Shear[v], omega)
			}
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

// On half a ball a slit comes to end at the pole, where the sheet is laid down first: that
// place is then on the rim, and the sheet is laid all the same.
func TestFilmFromATip(t *testing.T) {
	p := partAt(t, shapes.Cap(0.1, math.Pi/2, 16), r3.Vec{Z: 0.1})
	beds, err := p.Gathered(t.Context(), Ask{Film: true, Limit: FilmLimit(0.05), Trifle: 5e-3 * p.Area})
	if err != nil {
		t.Fatal(err)
	}
	covers(t, p, beds)
	if len(beds[0].Slits) == 0 {
		t.Error("a half ball is not slit")
	}
}
