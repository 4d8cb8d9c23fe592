package flat

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// A slot narrower than a knife's notch is filled, a wider one kept; a whisker of
// allowance is cut off, one of the net's own is left and named.
func TestCuttable(t *testing.T) {
	block := func(slot, whisker float64) geom.Region {
		return geom.Polygon{{}, {X: 0.1}, {X: 0.1, Y: 0.02}, {X: 0.1 + 0.01, Y: 0.02}, {X: 0.1 + 0.01, Y: 0.02 + whisker}, {X: 0.1, Y: 0.02 + whisker},
			{X: 0.1, Y: 0.05}, {X: 0.05 + slot, Y: 0.05}, {X: 0.05 + slot, Y: 0.03}, {X: 0.05, Y: 0.03}, {X: 0.05, Y: 0.05}, {Y: 0.05}}.Region()
	}
	body := geom.Rect(0, 0, 0.1, 0.05)
	for _, c := range []struct {
		slot, whisker float64
		net           geom.Region
		want          float64
		narrow        int
	}{
		{0.8e-3, 1.5e-3, body.Region(), 0.005, 0},
		{1.4e-3, 1.5e-3, body.Region(), 0.005 - 0.02*1.4e-3, 0},
		{0.8e-3, 2.6e-3, body.Region(), 0.005 + 0.01*2.6e-3, 0},
		{0.8e-3, 1.5e-3, block(0.8e-3, 1.5e-3), 0.005 + 0.01*1.5e-3, 1},
	} {
		got, narrow := cuttable(block(c.slot, c.whisker), c.net)
		near(t, "area", got.Area(), c.want, 1.5e-6)
		if len(narrow) != c.narrow || got.Outer.Valid() != nil {
			t.Errorf("slot %g, whisker %g: narrow at %v", c.slot, c.whisker, narrow)
		}
	}
}

// Whatever the rim, the slits and the widths, pieces are sound: a disc whose flat rim
// is noisy, with a slit that opens or overlaps.
func TestPiecesAreSoundUnderNoise(t *testing.T) {
	// a piece takes some 50 ms; -rapid.seed=N tries others
	for name, usual := range map[string]string{"rapid.checks": "25", "rapid.seed": "1"} {
		if f := flag.Lookup(name); f.Value.String() == f.DefValue {
			if err := f.Value.Set(usual); err != nil {
				t.Fatal(err)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		const around, rings = 36, 6
		noise := rapid.Float64Range(0, 0.004).Draw(t, "noise")
		open := rapid.Float64Range(-0.5, 1.2).Draw(t, "open")
		c := Cloth{Lap: rapid.Float64Range(0, 0.03).Draw(t, "lap"), Allowance: rapid.Float64Range(0, 0.03).Draw(t, "allowance"), Butted: rapid.Bool().Draw(t, "butted")}
		tip := rapid.IntRange(1, rings-2).Draw(t, "tip")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		m := &mesh.Mesh{}
		var flat []r2.Vec
		at := func(j, i int) int32 { // the row i = around is the left side of the slit beyond its tip
			if i == around && j <= tip {
				i = 0
			}
			return int32(j*(around+1) + i)
		}
		for j := range rings + 1 {
			for i := range around + 1 {
				r := 0.03 + 0.12*float64(j)/rings
				φ := 2 * math.Pi * float64(i) / around
				past := max(0, float64(j-tip)/rings)
				sin, cos := math.Sincos(φ * (1 - open*past/(2*math.Pi)))
				s, co := math.Sincos(φ)
				m.Vertices = append(m.Vertices, r3.Vec{X: r * co, Y: r * s, Z: 0})
				flat = append(flat, r2.Vec{X: r*cos + noise*(2*rng.Float64()-1), Y: r*sin + noise*(2*rng.Float64()-1)})
			}
		}
		for j := range rings {
			for i := range around {
				a, b, d, e := at(j, i), at(j, i+1), at(j+1, i+1), at(j+1, i)
				m.Triangles = append(m.Triangles, [3]int32{a, d, b}, [3]int32{a, e, d})
			}
		}
		top, err := mesh.NewTopology(m)
		if err != nil {
			t.Fatal(err)
		}
		b := Sheet{Ground: cut.Uncut(top), Flat: flat}
		s := cut.Slit{}
		for j := tip; j <= rings; j++ {
			s.Left, s.Right = append(s.Left, at(j, 0)), append(s.Right, at(j, around))
		}
		b.Slits = []cut.Slit{s}
		if p := Cut("P", b, c); Polygon(p.Net).Valid() == nil {
			sound(t, p)
		}
	})
}

// A lap of next to nothing is none: the piece is the butted one.
func TestLapOfNextToNothing(t *testing.T) {
	b := fan(t, 0.15, 10, 90, round(0.9975), nil)
	butted := Cut("P", b, Cloth{Butted: true, Allowance: 0.03})
	for _, lap := range []float64{7e-15, 1e-9, 5e-5} {
		p := Cut("P", b, Cloth{Lap: lap, Allowance: 0.03})
		sound(t, p)
		near(t, "outline", Polygon(p.Outline).Area(), Polygon(butted.Outline).Area(), 1e-9)
	}
}
