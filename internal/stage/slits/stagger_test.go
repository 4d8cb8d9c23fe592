package slits

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh/shapes"
)

// Whatever the stagger and the lap, neighbours keep the stagger, and of any three
// plies in a row no two laps lie over the same place. A lap lies on the right of
// its seam where the left side is over, and the other way round.
func TestStaggerKeepsLapsApart(t *testing.T) {
	for _, c := range [][2]float64{{0.025, 0.015}, {0.01, 0.02}, {0.04, 0.015}, {0.025, 0}} {
		for n := 2; n <= 14; n++ {
			plan := Stagger(n, c[0], c[1])
			for i := 1; i < n; i++ {
				if math.Abs(plan[i].By-plan[i-1].By) < c[0]-1e-12 {
					t.Errorf("%v: plies %d and %d are at %g and %g", c, i, i+1, plan[i-1].By, plan[i].By)
				}
				for j := max(0, i-2); j < i; j++ {
					a, b := lapOf(plan[i], c[1]), lapOf(plan[j], c[1])
					if min(a[1], b[1])-max(a[0], b[0]) > 1e-12 {
						t.Errorf("%v: laps of plies %d and %d of %d lie over each other", c, j+1, i+1, n)
					}
				}
			}
		}
	}
	if one := Stagger(1, 0.025, 0.015); one[0].By != 0 {
		t.Error("a single ply is moved")
	}
}

func lapOf(o Offset, lap float64) [2]float64 {
	if o.RightOver {
		return [2]float64{o.By, o.By + lap}
	}
	return [2]float64{o.By - lap, o.By}
}

// Two drawn seams 30 mm apart on a plate, and over the right angle of a folded one,
// where straight across they are nearer: what counts is the way over the surface.
func TestCloseness(t *testing.T) {
	plate := shapes.Patch(40, 20, func(u, v float64) r3.Vec { return r3.Vec{X: 0.4 * u, Y: 0.2 * v} })
	fold := shapes.Patch(40, 20, func(u, v float64) r3.Vec {
		x := 0.4 * u
		return r3.Vec{X: min(x, 0.2), Y: 0.2 * v, Z: -max(0, x-0.2)}
	})
	for name, m := range map[string][2]r3.Vec{"plate": {{X: 0.18}, {X: 0.21}}, "fold": {{X: 0.18}, {X: 0.2, Z: -0.01}}} {
		surface := plate
		if name == "fold" {
			surface = fold
		}
		p := partAt(t, surface, r3.Vec{X: 0.1, Y: 0.1})
		var beds [2][]*Bed
		for i, at := range m {
			k := ask(p, 0, 45)
			k.Drawn = []Line{{From: r3.Add(at, r3.Vec{Y: 0.1}), To: at}}
			beds[i] = bedsOf(t, p, k)
		}
		c, ok := p.Closeness(beds[0], beds[1], 0.025)
		if !ok || math.Abs(c.Least-0.03) > 1e-9 || c.Near != 0 || math.Abs(c.Long-0.1) > 1e-9 {
			t.Errorf("%s: %+v", name, c)
		}
		if c, _ = p.Closeness(beds[0], beds[1], 0.035); math.Abs(c.Near-c.Long) > 1e-9 || c.Forced != 0 {
			t.Errorf("%s: %+v nearer than 35 mm", name, c)
		}
	}
}

// Plies on either side of a corner keep the stagger over the surface but near the
// corner that both must reach.
func TestOffsetsKept(t *testing.T) {
	m := shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.2, Z: 0.1}, 14)
	b := m.Bounds()
	p := partAt(t, m, r3.Vec{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: b.Max.Z})
	const stagger = 0.025
	var beds [][]*Bed
	for _, o := range Stagger(2, stagger, 0.015) {
		k := ask(p, 0, 45)
		k.By, k.RightOver = o.By, o.RightOver
		beds = append(beds, bedsOf(t, p, k))
		lies(t, p, beds[len(beds)-1], k)
		if n, _ := cutsOf(beds[len(beds)-1]); n != 4 {
			t.Errorf("%d slits", n)
		}
	}
	c, ok := p.Closeness(beds[0], beds[1], stagger)
	if !ok || c.Near-c.Forced > 1e-9 || c.Near > 4*(stagger+3*m.MeanEdge()) {
		t.Errorf("%+v", c)
	}
}

// Plies on a tube are opened on two sides of it in turn: the seams of neighbours lie
// half the girth apart but for the stagger, which parts those of every other ply.
func TestTubeIsOpenedOnBothSides(t *testing.T) {
	const r, stagger = 0.04, 0.025
	m := shapes.Tube(r, 0.2, 40, 16)
	p := partAt(t, m, r3.Vec{X: r, Z: 0.1})
	var laid [][]*Bed
	for _, o := range Stagger(3, stagger, 0.015) {
		k := ask(p, 0, 45)
		k.By, k.RightOver, k.Opposite = o.By, o.RightOver, o.Opposite
		beds := bedsOf(t, p, k)
		lies(t, p, beds, k)
		if n, _ := cutsOf(beds); n != 1 {
			t.Errorf("%d cuts", n)
		}
		laid = append(laid, beds)
	}
	for _, c := range []struct {
		a, b int
		want float64
	}{{0, 1, math.Pi*r - stagger}, {1, 2, math.Pi*r - stagger}, {0, 2, 2 * stagger}} {
		got, ok := p.Closeness(laid[c.a], laid[c.b], stagger)
		if !ok || got.Near > 0 || math.Abs(got.Least-c.want) > 2*m.MeanEdge() {
			t.Errorf("plies %d and %d: %+v, want %.4f", c.a+1, c.b+1, got, c.want)
		}
	}
}
