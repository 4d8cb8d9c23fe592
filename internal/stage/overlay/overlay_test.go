package overlay

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
)

// strip is what of the triangle lies between two heights y.
func strip(low, high float64) []geom.Convex {
	return []geom.Convex{{{X: 0, Y: low}, {X: 1 - low, Y: low}, {X: 1 - high, Y: high}, {X: 0, Y: high}}}
}

// beside is what of the triangle has x below or above a value.
func beside(x float64, left bool) []geom.Convex {
	if left {
		return []geom.Convex{{{}, {X: x}, {X: x, Y: 1 - x}, {Y: 1}}}
	}
	return []geom.Convex{{{X: x}, {X: 1}, {X: x, Y: 1 - x}}}
}

// Two plies: the first in two pieces that meet at x = 0.4, the second whole with a lap
// between y = 0.2 and 0.5. The triangle falls into four parts, as large as plane
// geometry says: of the triangle below the diagonal what has x < a is 1 − (1−a)², and
// what has y between b and c is (1−b)² − (1−c)².
func TestPartsOfATriangle(t *testing.T) {
	one := Cloth{On: [][]Bit{{{Bulk: 1, Shapes: beside(0.4, true)}, {Of: 1, Bulk: 1.1, Shapes: beside(0.4, false)}}}}
	two := Cloth{On: [][]Bit{{{Bulk: 1}, {Of: 1, Bulk: 1.2, Shapes: strip(0.2, 0.5)}}}}
	parts := Walls([]Cloth{one, two})[0]
	got := map[[2]int]float64{} // by the first ply's piece and the second's count
	sum := 0.0
	for _, p := range parts {
		piece := 0
		if p.Bits[0].Bulk == 1.1 {
			piece = 1
		}
		got[[2]int{piece, len(p.Bits) - 1}] += p.Share
		sum += p.Share
		if p.Bits[0].Ply != 0 || p.Bits[1].Ply != 1 {
			t.Errorf("order of %v", p.Bits)
		}
	}
	right := func(y float64) float64 { return max(0, 0.6-y) * max(0, 0.6-y) } // x > 0.4 above y
	want := map[[2]int]float64{
		{1, 2}: right(0.2) - right(0.5), {1, 1}: 0.36 - right(0.2) + right(0.5),
		{0, 2}: 0.64 - 0.25 - right(0.2) + right(0.5), {0, 1}: 0.25 + right(0.2) - right(0.5),
	}
	for k, x := range want {
		if math.Abs(got[k]-x) > 1e-12 {
			t.Errorf("piece %d, %d layers of the second: %.6f, want %.6f", k[0], k[1], got[k], x)
		}
	}
	if math.Abs(sum-1) > 1e-12 || len(got) != 4 {
		t.Errorf("shares add up to %g in %d parts", sum, len(got))
	}
}

// Where a ply has nothing the part lacks it, and triangles of a finer surface give the
// one that they lie in their shares.
func TestPartsOfTheGivenTriangle(t *testing.T) {
	c := Cloth{On: [][]Bit{{{Bulk: 1}}, {{Bulk: 1, Shapes: []geom.Convex{{r2.Vec{}, {X: 0.5}, {Y: 0.5}}}}}}, In: []int32{0, 0}, Share: []float64{0.7, 0.3}}
	bare, laid := 0.0, 0.0
	for _, p := range Walls([]Cloth{c})[0] {
		if len(p.Bits) == 0 {
			bare += p.Share
		} else {
			laid += p.Share
		}
	}
	if math.Abs(bare-0.3*0.75) > 1e-12 || math.Abs(laid-0.7-0.3*0.25) > 1e-12 {
		t.Errorf("bare %g, laid %g", bare, laid)
	}
}

// Pieces of one triangle that one body lies alike on are one part, with the mean of their
// bulk by area; those on the two sides of a slit, 20 degrees apart, stay two.
func TestLikePartsAreOne(t *testing.T) {
	lay := func(bulk, turn float64) []Bit {
		s, c := math.Sincos(turn * math.Pi / 180)
		return []Bit{{Yarns: Yarns{Warp: r3.Vec{X: c, Y: s}, Weft: r3.Vec{X: -s, Y: c}}, Bulk: bulk}}
	}
	c := Cloth{On: [][]Bit{lay(1, 0), lay(1.2, 1), lay(1.1, 20)}, In: []int32{0, 0, 0}, Share: []float64{0.5, 0.25, 0.25}}
	parts := Walls([]Cloth{c})[0]
	if len(parts) != 2 || math.Abs(parts[0].Share-0.75) > 1e-12 || math.Abs(parts[0].Share*parts[0].Bits[0].Bulk-0.8) > 1e-12 {
		t.Fatalf("%+v", parts)
	}
	if got := math.Atan2(parts[0].Bits[0].Warp.Y, parts[0].Bits[0].Warp.X) * 180 / math.Pi; math.Abs(got-1.0/3) > 1e-3 {
		t.Errorf("warp at %g degrees", got)
	}
}
