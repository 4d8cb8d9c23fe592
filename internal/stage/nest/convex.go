package nest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// convexParts cuts a simple ring into convex parts that share its corners, so
// that the parts cover it without gap or overlap: ears are cut off until a
// triangle is left, then parts are joined over every cut that leaves both its
// ends convex. At most four times as many parts as needed come out.
// Source: [hertel1983]
func convexParts(p geom.Polygon) []geom.Polygon {
	parts := joinConvex(p, ears(p))
	out := make([]geom.Polygon, len(parts))
	for k, part := range parts {
		for _, i := range part {
			out[k] = append(out[k], p[i])
		}
	}
	return out
}

// ears triangulates an anticlockwise ring. Straight corners are dropped as
// ears of no area. Of the ears that can be cut the one with the widest
// smallest angle goes first: thin slivers make poor parts.
func ears(p geom.Polygon) [][]int {
	ring := make([]int, len(p))
	for i := range ring {
		ring[i] = i
	}
	var out [][]int
	for len(ring) > 3 {
		best, quality := -1, -1.0
		for k := range ring {
			if q := earQuality(p, ring, k); q > quality {
				best, quality = k, q
			}
		}
		if best < 0 { // rounding hides every ear: cut the least bad corner
			best = leastReflex(p, ring)
		}
		n := len(ring)
		tri := []int{ring[(best+n-1)%n], ring[best], ring[(best+1)%n]}
		if cross(p, tri[0], tri[1], tri[2]) > 0 {
			out = append(out, tri)
		}
		ring = slices.Delete(ring, best, best+1)
	}
	return append(out, ring)
}

// earQuality is the sine of the smaller of the angles at the cut (0 for a
// straight corner), or −1 where corner k is no ear.
func earQuality(p geom.Polygon, ring []int, k int) float64 {
	n := len(ring)
	a, b, c := ring[(k+n-1)%n], ring[k], ring[(k+1)%n]
	area := cross(p, a, b, c)
	if area < 0 {
		return -1
	}
	for _, i := range ring {
		if i == a || i == b || i == c || p[i] == p[a] || p[i] == p[b] || p[i] == p[c] {
			continue
		}
		if cross(p, a, b, i) >= 0 && cross(p, b, c, i) >= 0 && cross(p, c, a, i) >= 0 {
			return -1
		}
	}
	ab, bc, ca := r2.Norm(r2.Sub(p[b], p[a])), r2.Norm(r2.Sub(p[c], p[b])), r2.Norm(r2.Sub(p[a], p[c]))
	return area / (ca * max(ab, bc))
}

func leastReflex(p geom.Polygon, ring []int) int {
	n, best := len(ring), 0
	at := func(k int) float64 { return cross(p, ring[(k+n-1)%n], ring[k], ring[(k+1)%n]) }
	for k := range ring {
		if v := at(k); v >= 0 && (at(best) < 0 || v < at(best)) {
			best = k
		}
	}
	return best
}

// cross is twice the area of the triangle abc, positive when anticlockwise.
func cross(p geom.Polygon, a, b, c int) float64 {
	return r2.Cross(r2.Sub(p[b], p[a]), r2.Sub(p[c], p[a]))
}

// joinConvex joins parts pairwise over shared edges while the outcome is convex.
func joinConvex(p geom.Polygon, parts [][]int) [][]int {
	for i := 0; i < len(parts); i++ {
		for j := 0; j < len(parts); j++ {
			if j == i {
				continue
			}
			if joined, ok := join(p, parts[i], parts[j]); ok {
				parts[i] = joined
				parts = slices.Delete(parts, j, j+1)
				if j < i {
					i--
				}
				j = -1 // the grown part may take one that was refused before
			}
		}
	}
	return parts
}

// join joins a and b over the edge that runs one way in a and the other way
// in b.
func join(p geom.Polygon, a, b []int) ([]int, bool) {
	for k := range a {
		u, v := a[k], a[(k+1)%len(a)]
		for m := range b {
			if b[m] != v || b[(m+1)%len(b)] != u {
				continue
			}
			var ring []int
			for s := 1; s <= len(a); s++ { // from v round a to u
				ring = append(ring, a[(k+s)%len(a)])
			}
			for s := 2; s < len(b); s++ { // from u round b, without u and v
				ring = append(ring, b[(m+s)%len(b)])
			}
			return ring, isConvex(p, ring)
		}
	}
	return nil, false
}

func isConvex(p geom.Polygon, ring []int) bool {
	n := len(ring)
	for k := range ring {
		if cross(p, ring[(k+n-1)%n], ring[k], ring[(k+1)%n]) < 0 {
			return false
		}
	}
	return true
}

// touch is the depth in metres up to which two outlines count as touching and
// not as overlapping: a tenth of a nanometre, above the rounding of positions
// on a roll of many metres and below anything that can be cut.
const touch = 1e-10

// plane is one side of a convex ring: points with n·d < c lie within.
type plane struct{ nx, ny, c float64 }

// part is a convex part of a piece.
type part struct {
	ring  geom.Polygon
	sides []plane
	box   r2.Box
}

func newPart(ring geom.Polygon) part {
	p := part{ring: ring, box: ring.Bounds()}
	for i, a := range ring {
		e := r2.Sub(ring[(i+1)%len(ring)], a)
		if l := r2.Norm(e); l > 0 {
			n := r2.Scale(1/l, r2.Vec{X: e.Y, Y: -e.X})
			p.sides = append(p.sides, plane{n.X, n.Y, reach(ring, n)})
		}
	}
	return p
}

// meets reports whether part v shifted by (dx, dy) overlaps part u: whether no
// side of either parts them.
func (u *part) meets(v *part, dx, dy float64) bool {
	if u.box.Min.X-v.box.Max.X >= dx || v.box.Min.X-u.box.Max.X >= -dx ||
		u.box.Min.Y-v.box.Max.Y >= dy || v.box.Min.Y-u.box.Max.Y >= -dy {
		return false
	}
	for _, h := range u.sides {
		if h.nx*dx+h.ny*dy >= h.c+reach(v.ring, r2.Vec{X: -h.nx, Y: -h.ny})-touch {
			return false
		}
	}
	for _, h := range v.sides {
		if -h.nx*dx-h.ny*dy >= h.c+reach(u.ring, r2.Vec{X: -h.nx, Y: -h.ny})-touch {
			return false
		}
	}
	return true
}

// sum is the set of shifts at which one convex part of a piece overlaps one of
// another: the ring A ⊕ (−B), as its sides.
type sum struct {
	sides []plane
	box   r2.Box
}

// sumBox is the box of the sum of two parts.
func sumBox(u, v *part) r2.Box {
	return r2.Box{Min: r2.Sub(u.box.Min, v.box.Max), Max: r2.Sub(u.box.Max, v.box.Min)}
}

// set makes s the sum {d : part v shifted by d overlaps part u} = u ⊕ (−v). Its
// sides run along the sides of both; each lies as far out as the two reach
// together.
func (s *sum) set(u, v *part) {
	s.box = sumBox(u, v)
	s.sides = s.sides[:0]
	for _, h := range u.sides {
		s.sides = append(s.sides, plane{h.nx, h.ny, h.c + reach(v.ring, r2.Vec{X: -h.nx, Y: -h.ny})})
	}
	for _, h := range v.sides {
		s.sides = append(s.sides, plane{-h.nx, -h.ny, h.c + reach(u.ring, r2.Vec{X: -h.nx, Y: -h.ny})})
	}
}

// reach is how far a ring goes along n.
func reach(p geom.Polygon, n r2.Vec) float64 {
	best := math.Inf(-1)
	for _, v := range p {
		best = max(best, r2.Dot(n, v))
	}
	return best
}

func (s *sum) holds(dx, dy float64) bool {
	for i := range s.sides {
		if h := &s.sides[i]; h.nx*dx+h.ny*dy >= h.c-touch {
			return false
		}
	}
	return true
}

// cover reports whether the box of half sides wx, wy about (x, y) lies wholly in
// the sum, or wholly beyond one of its sides.
func (s *sum) cover(x, y, wx, wy float64) (in, out bool) {
	in = true
	for _, h := range s.sides {
		mid, half := h.nx*x+h.ny*y-h.c, math.Abs(h.nx)*wx+math.Abs(h.ny)*wy+touch
		if mid >= half {
			return false, true
		}
		in = in && mid+half < -touch
	}
	return in, false
}

// blocked is the range of dx that the sum holds at the given dy; empty where
// lo >= hi. Its ends lie half a touch deep, where holds says no.
func (s *sum) blocked(dy float64) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for i := range s.sides {
		h := &s.sides[i]
		rest := h.c - touch/2 - h.ny*dy
		switch {
		case h.nx > flat:
			hi = min(hi, rest/h.nx)
		case h.nx < -flat:
			lo = max(lo, rest/h.nx)
		case rest <= 0:
			return 0, 0
		}
	}
	return lo, hi
}

// flat is the x component of a side's normal below which the side counts as
// running along the roll.
const flat = 1e-12
