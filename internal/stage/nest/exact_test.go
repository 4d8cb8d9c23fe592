package nest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// sharedArea is the area that two rings share. A ring is the signed sum of the
// triangles that its sides span with any point, so that the shared area is the
// signed sum over all pairs of such triangles; a triangle is cut by another side
// by side. It shares nothing with the package's convex parts, tables or Booleans.
func sharedArea(p, q geom.Polygon) (sum float64) {
	for i, a := range p {
		for j, c := range q {
			u, su := triangle(p[0], a, p[(i+1)%len(p)])
			v, sv := triangle(q[0], c, q[(j+1)%len(q)])
			for k := range v {
				u = beside(u, v[k], v[(k+1)%len(v)])
			}
			sum += su * sv * math.Abs(u.Area())
		}
	}
	return sum
}

// triangle is the ring abc anticlockwise and 1, or the same and −1 where abc runs
// clockwise; 0 where it has no area.
func triangle(a, b, c r2.Vec) (geom.Polygon, float64) {
	switch d := r2.Cross(r2.Sub(b, a), r2.Sub(c, a)); {
	case d > 0:
		return geom.Polygon{a, b, c}, 1
	case d < 0:
		return geom.Polygon{a, c, b}, -1
	}
	return nil, 0
}

// beside is what of a convex ring lies left of the line from a to b.
func beside(p geom.Polygon, a, b r2.Vec) (out geom.Polygon) {
	side := func(v r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(v, a)) }
	for i, v := range p {
		w := p[(i+1)%len(p)]
		s, t := side(v), side(w)
		if s >= 0 {
			out = append(out, v)
		}
		if s*t < 0 {
			out = append(out, r2.Add(v, r2.Scale(s/(s-t), r2.Sub(w, v))))
		}
	}
	return out
}

// Closed form: two squares of side 1 a half and a quarter apart share 3/8; a U and
// the square between its legs share nothing.
func TestSharedArea(t *testing.T) {
	near(t, "two squares", sharedArea(geom.Rect(0, 0, 1, 1), geom.Rect(0.5, 0.25, 1.5, 1.25)), 0.375, 1e-12)
	u := geom.Polygon{{}, {X: 3}, {X: 3, Y: 3}, {X: 2, Y: 3}, {X: 2, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 3}, {Y: 3}}
	near(t, "between the legs", sharedArea(u, geom.Rect(1, 1, 2, 2)), 0, 1e-12)
	near(t, "into a leg", sharedArea(u, geom.Rect(0.9, 1, 1.9, 2)), 0.1, 1e-12)
}

// hollow is an outline with a mouth that other pieces may lie in.
func hollow(rng *rand.Rand) geom.Polygon {
	w, h := 0.15+0.15*rng.Float64(), 0.15+0.15*rng.Float64()
	a, b := 0.2*w, 0.3*h
	return geom.Polygon{{}, {X: w}, {X: w, Y: b}, {X: a, Y: b + 0.01}, {X: a, Y: h - b}, {X: w, Y: h - b}, {X: w, Y: h}, {Y: h}}
}

// layDirect lays a roll without tables, as if its pieces were very many.
func layDirect(t *testing.T, r Roll) Laid {
	t.Helper()
	r, err := r.check()
	if err != nil {
		t.Fatal(err)
	}
	k, err := newKit(r)
	if err != nil {
		t.Fatal(err)
	}
	k.direct, k.testWork = true, directWork
	l := lane{width: float64(r.Width), length: math.Inf(1)}
	st, _, err := l.use(context.Background(), k, r.sets(), spending{seconds: float64(r.Search), seed: r.Seed, watch: &watch{}})
	if err != nil {
		t.Fatal(err)
	}
	return r.report(l, st)
}

// Random pieces, hollow ones among them, that may touch or keep a gap, with turns
// by quarters or askew and lying face down: no two share area, by the sum of signed
// triangles, all gaps are kept to a micrometre, nothing leaves the roll, all copies
// are there. Every third roll is laid without tables.
func TestLayoutsAreExact(t *testing.T) {
	const fine = 1e-6
	for seed := range uint64(24) {
		rng := rand.New(rand.NewPCG(seed, 77))
		r := Roll{Width: 1, Gap: si.Length([]float64{0, 0.0005, 0.005}[rng.IntN(3)]), Search: 0.04, Seed: seed}
		for i := range 6 {
			p := Piece{Name: fmt.Sprint(i), Count: 1 + rng.IntN(3), Flip: rng.IntN(2) == 0, Outline: hollow(rng)}
			if i > 1 {
				p.Outline = star(rng, 3+rng.IntN(12), 0.02, 0.14)
			}
			p.Turns = [][]si.Angle{nil, halfTurns, {si.Degrees(45), si.Degrees(225)}, {0, si.Degrees(90), si.Degrees(180), si.Degrees(270)}, {si.Degrees(10), si.Degrees(77)}}[rng.IntN(5)]
			r.Pieces = append(r.Pieces, p)
		}
		l := lay(t, r)
		if seed%3 == 0 {
			l = layDirect(t, r)
		}
		var rings []geom.Polygon
		left := map[string]int{}
		for _, at := range l.Placements {
			var i int
			fmt.Sscan(at.Piece, &i)
			left[at.Piece]++
			p := onGoods(r.Pieces[i], at)
			for _, v := range p {
				if v.X < -fine || v.X > float64(l.Length)+fine || v.Y < -fine || v.Y > 1+fine {
					t.Errorf("seed %d: %s leaves the roll at %v", seed, at.Piece, v)
				}
			}
			for k, q := range rings {
				if a := sharedArea(p, q); a > fine*min(p.Perimeter(), q.Perimeter()) {
					t.Errorf("seed %d: %s and placement %d share %g m2", seed, at.Piece, k, a)
				}
				if d := clearance(p, q); r.Gap > 0 && d < float64(r.Gap)-fine {
					t.Errorf("seed %d: %s and placement %d are %g m apart", seed, at.Piece, k, d)
				}
			}
			rings = append(rings, p)
		}
		for _, p := range r.Pieces {
			if left[p.Name] != p.Count {
				t.Errorf("seed %d: %d of %s, want %d", seed, left[p.Name], p.Name, p.Count)
			}
		}
	}
}
