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

// onGoods carries a piece to the goods by the definition of a placement.
func onGoods(p Piece, at Placement) (out geom.Polygon) {
	s, c := math.Sincos(float64(at.Turn))
	for _, v := range p.Outline {
		if at.Flipped {
			v.Y = -v.Y
		}
		out = append(out, r2.Vec{X: float64(at.X) + c*v.X - s*v.Y, Y: float64(at.Y) + s*v.X + c*v.Y})
	}
	return out
}

// clearance is the distance of two rings by brute force: over all pairs of sides, and 0
// where one holds a corner of the other. It shares nothing with the package.
func clearance(p, q geom.Polygon) float64 {
	inside := func(v r2.Vec, ring geom.Polygon) (in bool) {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y > v.Y) != (b.Y > v.Y) && v.X < a.X+(b.X-a.X)*(v.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
		return in
	}
	if inside(p[0], q) || inside(q[0], p) {
		return 0
	}
	toSide := func(v, a, b r2.Vec) float64 {
		d := r2.Sub(b, a)
		t := max(0, min(1, r2.Dot(r2.Sub(v, a), d)/r2.Dot(d, d)))
		return r2.Norm(r2.Sub(v, r2.Add(a, r2.Scale(t, d))))
	}
	side := func(a, b, c r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) }
	least := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		for j, c := range q {
			d := q[(j+1)%len(q)]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return 0
			}
			least = min(least, toSide(a, c, d), toSide(b, c, d), toSide(c, a, b), toSide(d, a, b))
		}
	}
	return least
}

// Random pieces under random rules: the layouts are checked by the brute force above
// to a micrometre. No overlap, the gap kept, nothing outside, on a defect or across a
// section line, the demand met, groups in one lot.
func TestRulesAreKept(t *testing.T) {
	for seed := range uint64(16) {
		rng := rand.New(rand.NewPCG(seed, 5))
		r := randomRoll(rng)
		out, err := Lay(context.Background(), Input{Rolls: []Roll{r}})
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		t.Run(fmt.Sprint(seed), func(t *testing.T) { checkRules(t, r, out.Rolls) })
	}
}

func randomRoll(rng *rand.Rand) Roll {
	r := Roll{Material: "cloth", Width: 1, Gap: si.Length(0.001 + 0.004*rng.Float64()), Edge: si.Length(0.02 * rng.Float64()), Search: 0.03, Seed: rng.Uint64(), Remnant: "R"}
	r.Pieces = stars(rng.Uint64(), 5, 3)
	for i := range r.Pieces {
		p := &r.Pieces[i]
		p.Turns = [][]si.Angle{nil, halfTurns, {0, si.Degrees(90), si.Degrees(180), si.Degrees(270)}}[rng.IntN(3)]
		p.Flip = rng.IntN(3) == 0
		p.Group = []string{"", "1", "2"}[rng.IntN(3)]
	}
	if rng.IntN(2) == 0 {
		r.Tilt = si.Degrees(2)
	}
	if rng.IntN(2) == 0 {
		r.Table = 0.7
	}
	r.ByHand = rng.IntN(4) == 0
	if rng.IntN(2) == 0 {
		r.SoldBy = 0.9144
	}
	for range rng.IntN(3) {
		x, y := 1.5*rng.Float64(), rng.Float64()
		r.Defects = append(r.Defects, geom.Polygon{{X: x, Y: y}, {X: x + 0.1, Y: y - 0.02}, {X: x + 0.12, Y: y + 0.07}, {X: x + 0.05, Y: y + 0.02}})
	}
	if rng.IntN(3) == 0 {
		r.Defects = append(r.Defects, geom.Rect(0.3, 0, 0.34, maxWidth))
	}
	if rng.IntN(2) == 0 {
		r.Stock = append(r.Stock, Stock{Name: "bent", Material: "cloth", Lot: "A", Outline: [][2]float64{{0, 0}, {1, 0}, {1, 0.3}, {0.4, 0.4}, {0.4, 0.9}, {0, 0.9}}},
			Stock{Name: "end", Material: "cloth", Lot: "B", Width: 1, Length: 0.6, Defects: [][][2]float64{pairs(geom.Rect(0.1, 0.4, 0.2, 0.5))}})
	}
	return r
}

func checkRules(t *testing.T, r Roll, of []Laid) {
	const fine = 1e-6
	byName, left, lots := map[string]Piece{}, map[string]int{}, map[string]map[string]int{}
	for _, p := range r.Pieces {
		byName[p.Name], left[p.Name] = p, p.Count
	}
	for _, l := range of {
		var rings []geom.Polygon
		for _, at := range l.Placements {
			p := byName[at.Piece]
			left[at.Piece]--
			if p.Group != "" {
				if lots[p.Group] == nil {
					lots[p.Group] = map[string]int{}
				}
				lots[p.Group][l.Stock]++
			}
			rings = append(rings, onGoods(p, at))
		}
		box := geom.Rect(0, float64(l.Edge), float64(l.Length), float64(l.Width-l.Edge))
		if len(l.Outline) > 0 {
			box = polygon(l.Outline)
		}
		for i, p := range rings {
			for _, v := range p {
				if !box.Contains(v) && box.Distance(v) > fine {
					t.Errorf("%s: a corner of %s lies %g m outside", l.Stock, l.Placements[i].Piece, box.Distance(v))
				}
			}
			for _, q := range append(append([]geom.Polygon(nil), rings[:i]...), l.Defects...) {
				if d := clearance(p, q); d < float64(r.Gap)-fine {
					t.Errorf("%s: %s has %g m of the gap %g", l.Stock, l.Placements[i].Piece, d, float64(r.Gap))
				}
			}
			for x := float64(l.Table); x > 0 && x < float64(l.Length) && len(l.Blanks) == 0; x += float64(l.Table) {
				if b := p.Bounds(); b.Min.X < x-fine && b.Max.X > x+fine {
					t.Errorf("%s lies across the section line at %g", l.Placements[i].Piece, x)
				}
			}
		}
		checkLeft(t, r, l, rings)
	}
	for name, n := range left {
		if n != 0 {
			t.Errorf("%d of %s are missing", n, name)
		}
	}
	checkLots(t, r, lots)
}

// What is called a remnant is free cloth, and nothing is counted twice.
func checkLeft(t *testing.T, r Roll, l Laid, rings []geom.Polygon) {
	whole := math.Abs(polygon(l.Outline).Area())
	if len(l.Outline) == 0 {
		whole = float64(l.Width) * float64(max(l.Length, l.Bought))
	}
	sum := float64(l.Waste) + float64(l.Rest*l.Width)
	for _, p := range rings {
		sum += math.Abs(p.Area())
	}
	for _, m := range l.Left {
		sum += float64(m.Area)
		p := polygon(m.Outline).Shift(r2.Vec{X: float64(m.X), Y: float64(m.Y)})
		for _, q := range append(rings[:len(rings):len(rings)], l.Defects...) {
			if clearance(p, q) <= 0 {
				t.Errorf("%s: remnant %s is not free", l.Stock, m.Name)
			}
		}
	}
	if math.Abs(sum-whole) > 1e-6 {
		t.Errorf("pieces, remnants and waste come to %g m2 of %g", sum, whole)
	}
}

// The pieces of a group lie whole on one length, where they are wanted equally often.
func checkLots(t *testing.T, r Roll, lots map[string]map[string]int) {
	for group, on := range lots {
		size := 0
		for _, p := range r.Pieces {
			if p.Group == group {
				size++
			}
		}
		for stock, n := range on {
			if n%size != 0 {
				t.Errorf("%d pieces of group %s, of %d a set, lie on %q", n, group, size, stock)
			}
		}
	}
}
