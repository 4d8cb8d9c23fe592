package geom

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Polygon is a closed ring of corners; the last joins the first, which is not
// repeated. Anticlockwise rings have positive area.
type Polygon []r2.Vec

// Rect is the anticlockwise rectangle from (x0, y0) to (x1, y1).
func Rect(x0, y0, x1, y1 float64) Polygon {
	return Polygon{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// Area is the signed area, positive for an anticlockwise ring:
//
//	A = ½ Σ (xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ)
//
// The corners are taken from the first one, so that a small ring far from the
// origin loses no digits.
func (p Polygon) Area() float64 {
	var twice float64
	for i := 1; i+1 < len(p); i++ {
		twice += r2.Cross(r2.Sub(p[i], p[0]), r2.Sub(p[i+1], p[0]))
	}
	return twice / 2
}

// Centroid is the centre of area; for a ring without area, the mean corner.
//
//	c = p₀ + Σ (aᵢ + bᵢ) (aᵢ × bᵢ) / (3 Σ aᵢ × bᵢ),  aᵢ = pᵢ − p₀, bᵢ = pᵢ₊₁ − p₀
func (p Polygon) Centroid() r2.Vec {
	if len(p) == 0 {
		return r2.Vec{}
	}
	var sum, mean r2.Vec
	var twice float64
	for i := 1; i+1 < len(p); i++ {
		a, b := r2.Sub(p[i], p[0]), r2.Sub(p[i+1], p[0])
		w := r2.Cross(a, b)
		twice += w
		sum = r2.Add(sum, r2.Scale(w, r2.Add(a, b)))
	}
	if twice != 0 {
		return r2.Add(p[0], r2.Scale(1/(3*twice), sum))
	}
	for _, v := range p {
		mean = r2.Add(mean, r2.Scale(1/float64(len(p)), v))
	}
	return mean
}

// Perimeter is the length of the closed ring.
func (p Polygon) Perimeter() float64 {
	var sum float64
	for i := range p {
		sum += r2.Norm(r2.Sub(p.next(i), p[i]))
	}
	return sum
}

// Bounds is the smallest upright box around the ring. An empty ring has an
// inside-out box (Min is +Inf), which joins with others harmlessly.
func (p Polygon) Bounds() r2.Box {
	inf := math.Inf(1)
	b := r2.NewBox(0, 0, 0, 0)
	b.Min, b.Max = r2.Vec{X: inf, Y: inf}, r2.Vec{X: -inf, Y: -inf}
	for _, v := range p {
		b.Min.X, b.Max.X = min(b.Min.X, v.X), max(b.Max.X, v.X)
		b.Min.Y, b.Max.Y = min(b.Min.Y, v.Y), max(b.Max.Y, v.Y)
	}
	return b
}

// Contains reports whether q lies inside, by the even-odd rule. On the border
// itself either answer may come.
func (p Polygon) Contains(q r2.Vec) bool {
	inside := false
	for i, a := range p {
		b := p.next(i)
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}

// Distance is how far q is from the border, inside or outside. It is +Inf for
// an empty ring.
func (p Polygon) Distance(q r2.Vec) float64 {
	best := math.Inf(1)
	for i, a := range p {
		best = min(best, SegmentDistance(q, a, p.next(i)))
	}
	return best
}

// SegmentDistance is the distance of q from the segment ab.
func SegmentDistance(q, a, b r2.Vec) float64 {
	d, r := r2.Sub(b, a), r2.Sub(q, a)
	if len2 := r2.Norm2(d); len2 > 0 {
		r = r2.Sub(r, r2.Scale(min(1, max(0, r2.Dot(r, d)/len2)), d))
	}
	return math.Hypot(r.X, r.Y)
}

// Clone is a copy that shares nothing.
func (p Polygon) Clone() Polygon { return slices.Clone(p) }

// Reversed is the ring travelled the other way, from the same first corner.
func (p Polygon) Reversed() Polygon {
	q := slices.Clone(p)
	if len(q) > 1 {
		slices.Reverse(q[1:])
	}
	return q
}

// Anticlockwise is the ring with positive area.
func (p Polygon) Anticlockwise() Polygon {
	if p.Area() < 0 {
		return p.Reversed()
	}
	return p.Clone()
}

// Clean drops corners closer than tol to the one before (the last against the
// first too); tol = 0 drops exact repeats only.
func (p Polygon) Clean(tol float64) Polygon {
	var q Polygon
	for _, v := range p {
		if len(q) == 0 || r2.Norm(r2.Sub(v, q[len(q)-1])) > tol {
			q = append(q, v)
		}
	}
	for len(q) > 1 && r2.Norm(r2.Sub(q[len(q)-1], q[0])) <= tol {
		q = q[:len(q)-1]
	}
	return q
}

// Shaven drops hairs: corners at which the border turns back on itself, its two sides
// no farther apart than tol.
func (p Polygon) Shaven(tol float64) Polygon {
	q := p.Clean(tol)
	for i, left := 0, len(q); left > 0 && len(q) > 3; left-- {
		i %= len(q)
		a, b, c := q.prev(i), q[i], q.next(i)
		back := r2.Dot(r2.Sub(b, a), r2.Sub(c, b)) < 0
		if !back || SegmentDistance(c, a, b) > tol && SegmentDistance(a, b, c) > tol {
			i++
			continue
		}
		q = append(q[:i], q[i+1:]...).Clean(tol) // the corner before may be one now
		i, left = i+len(q)-1, len(q)+1
	}
	return q
}

func (p Polygon) next(i int) r2.Vec {
	if i+1 == len(p) {
		return p[0]
	}
	return p[i+1]
}

func (p Polygon) prev(i int) r2.Vec {
	if i == 0 {
		return p[len(p)-1]
	}
	return p[i-1]
}
