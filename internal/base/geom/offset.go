package geom

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// arcError is how far the chords of a round join may stand off the true arc,
// in metres: a hundredth of a millimetre, finer than any blade follows.
const arcError = 1e-5

// straight is the turn in radians below which a join is one chord: it falls
// short of the arc by d·turn²/8, less than rounding at any shop size.
const straight = 1e-6

// Offset is the border of p moved outward by d, or inward by −d, with round
// joins at the corners:
//
//	d > 0: all points nearer than d to p;  d < 0: all points of p farther than −d from its border
//
// Joins are drawn as chords that touch the true arc from the far side, so that
// the result keeps at least |d| from p's border and at most |d| + 0.01 mm.
// An inward offset may fall into parts or vanish (no parts). Pockets that an
// outward offset closes in are filled: [OffsetRegion] keeps them as holes.
func Offset(p Polygon, d float64) ([]Polygon, error) {
	parts, err := OffsetRegion(p.Region(), d)
	if err != nil {
		return nil, err
	}
	var out []Polygon
	for _, r := range parts {
		out = append(out, r.Outer)
	}
	return out, nil
}

// OffsetRegion grows (d > 0) or shrinks (d < 0) a region on all its borders,
// holes included, as [Offset] does.
func OffsetRegion(r Region, d float64) ([]Region, error) {
	if math.IsNaN(d) || math.IsInf(d, 0) {
		return nil, fmt.Errorf("offset by %g m", d)
	}
	r = r.oriented()
	if _, err := shape(r); err != nil {
		return nil, fmt.Errorf("offset: %w", err)
	}
	if d == 0 {
		return []Region{r}, nil
	}
	var band []Region
	for _, ring := range append([]Polygon{r.Outer}, r.Holes...) {
		if d < 0 {
			ring = ring.Reversed()
		}
		band = append(band, bandOf(ring, abs(d))...)
	}
	if d > 0 {
		return Union(append(band, r)...)
	}
	return Difference([]Region{r}, band)
}

// oriented is the region with the outer ring anticlockwise and holes clockwise,
// so that the right-hand side of every border is outside.
func (r Region) oriented() Region {
	q := Region{Outer: r.Outer.Clean(0).Anticlockwise()}
	for _, h := range r.Holes {
		q.Holes = append(q.Holes, h.Clean(0).Anticlockwise().Reversed())
	}
	return q
}

// bandOf covers what lies within d on the right of the ring: a rectangle on
// every edge and a fan at every corner that opens to the right. Neighbours
// share their straight sides exactly, which keeps the union sound.
//
//	   fan
//	 ______
//	|  ____\___
//	| |edge    |
func bandOf(ring Polygon, d float64) []Region {
	var out []Region
	for i, a := range ring {
		b := ring.next(i)
		n := r2.Scale(d, rightOf(a, b))
		out = append(out, Polygon{a, b, r2.Add(b, n), r2.Add(a, n)}.Reversed().Region())
		m := r2.Scale(d, rightOf(b, ring.next((i+1)%len(ring))))
		if turn := math.Atan2(r2.Cross(n, m), r2.Dot(n, m)); turn > 0 {
			if f := fan(b, n, m, turn, d); f.Valid() == nil { // a turn of next to nothing has no area
				out = append(out, f.Region())
			}
		}
	}
	return out
}

// fan is the sector about v from v+n to v+m. Its outer corners stand at
// d / cos(δ/2), half a step off the ends, so that each chord touches the arc.
func fan(v, n, m r2.Vec, turn, d float64) Polygon {
	step := math.Pi / 4
	if c := d / (d + arcError); c > math.Cos(step/2) {
		step = 2 * math.Acos(c)
	}
	k := math.Ceil(turn / step)
	δ := turn / k
	p := Polygon{v, r2.Add(v, n)}
	if turn < straight {
		return append(p, r2.Add(v, m))
	}
	for j := 0.5; j < k; j++ {
		s, c := math.Sincos(j * δ)
		w := r2.Vec{X: c*n.X - s*n.Y, Y: s*n.X + c*n.Y}
		p = append(p, r2.Add(v, r2.Scale(1/math.Cos(δ/2), w)))
	}
	return append(p, r2.Add(v, m))
}

func rightOf(a, b r2.Vec) r2.Vec {
	u := r2.Unit(r2.Sub(b, a))
	return r2.Vec{X: u.Y, Y: -u.X}
}

func abs(x float64) float64 { return math.Abs(x) }
