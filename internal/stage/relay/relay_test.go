package relay

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
)

// A plate is its own pattern: all covered, one layer, no seam, and the cut line
// lies outside the rim by the allowance.
func TestPlate(t *testing.T) {
	top := (&sheets{}).grid(12, 8, func(s, t float64) r3.Vec { return r3.Vec{X: 0.3 * s, Y: 0.2 * t} }).top(t)
	g := cut.Uncut(top)
	p := Piece{Ground: g, Flat: laidBy(g, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.X, Y: at.Y} }),
		Outline: union(t, [4]float64{-0.02, -0.02, 0.32, 0.22})}
	r := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, p)}, Lap: 0.015, Allowance: 0.02})
	c := r.Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-12)
	near(t, "mass", float64(r.Mass), 2*areal*0.06, 1e-12)
	near(t, "thickness", float64(r.ThicknessMax), 2*thick, 1e-12)
	near(t, "thickness", float64(r.ThicknessMin), 2*thick, 1e-12)
	if c.LapLeast != nil || c.EdgeLeast == nil || r.LayersMax != 2 || r.DoubledMax != 0 {
		t.Fatalf("%+v", r)
	}
	near(t, "edge", float64(*c.EdgeLeast), 0.02, 1e-9)
	near(t, "edge", float64(*c.EdgeMost), 0.02, 1e-9)
}

// The cross round an upright box covers it; every lap is as wide as it is cut,
// since its wall is flat; laps lie double over their own area, all of it plane.
func TestUprightBox(t *testing.T) {
	top, p := box(t, 20)
	in := Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, p)}, Lap: lap, Allowance: beyond}
	r := relaid(t, in)
	c := r.Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-6)
	near(t, "least lap", float64(*c.LapLeast), lap, 2e-6)
	near(t, "median lap", float64(*c.LapMedian), lap, 2e-6)
	near(t, "seams", float64(c.SeamLong), 4*height, 1e-9)
	near(t, "short", float64(c.LapShort), 0, 0)
	near(t, "edge", float64(*c.EdgeLeast), beyond, 1e-9)
	near(t, "edge", float64(*c.EdgeMost), beyond, 1e-9)
	near(t, "double", float64(c.Doubled), 4*height*lap, 2e-6)
	whole := 4*half*half + 8*half*height
	near(t, "mass", float64(c.Mass), areal*(whole+4*height*lap), 1e-6)
	near(t, "thickest", float64(r.ThicknessMax), 4*thick, 1e-9)
	near(t, "thinnest", float64(r.ThicknessMin), 2*thick, 1e-9)
	near(t, "step", float64(r.StepMax), 2*thick, 1e-9)
	if r.LayersMax != 4 || r.DoubledMax != 2 || len(c.Short) != 0 {
		t.Errorf("%d layers, %d doubled, short %v", r.LayersMax, r.DoubledMax, c.Short)
	}
	near(t, "both double", float64(r.DoubledOver), 4*height*lap, 0.02*4*height*lap)
	var volume float64
	for v, a := range top.Mesh.VertexAreas() {
		volume += a * r.Stack.Thickness[v]
	}
	near(t, "volume", volume, 2*thick*(whole+4*height*lap), 1e-9)
}

// A wrong pattern is found out, and by how much.
func TestWrongPatterns(t *testing.T) {
	top, right := box(t, 20)
	whole := top.Mesh.Area()
	lay := func(p Piece) Covered {
		return relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: lap, Allowance: beyond}).Plies[0]
	}
	t.Run("lap 3 mm short", func(t *testing.T) {
		p := right
		p.Outline = union(t, [4]float64{-half - height - beyond, -half, half + height + beyond, half},
			[4]float64{-half, -half - height - beyond, half, half + height + beyond},
			[4]float64{half, half, half + lap - 0.003, half + height + beyond}, [4]float64{-half - lap, -half - height - beyond, -half, -half},
			[4]float64{-half - height - beyond, half, -half, half + lap}, [4]float64{half, -half - lap, half + height + beyond, -half})
		c := lay(p)
		near(t, "least lap", float64(*c.LapLeast), lap-0.003, 2e-6)
		near(t, "short", float64(c.LapShort), height, 1e-9)
		near(t, "coverage", c.Coverage, 1, 1e-6)
		if len(c.Short) != 1 || math.Abs(c.Short[0].To-height) > 1e-9 || c.Short[0].From > 1e-9 {
			t.Errorf("short: %+v", c.Short)
		}
	})
	t.Run("1 % small", func(t *testing.T) {
		p := right
		p.Outline = nil
		for _, q := range right.Outline {
			p.Outline = append(p.Outline, [2]float64{0.99 * q[0], 0.99 * q[1]})
		}
		c := lay(p)
		// the lap ends at 0.99·(half+lap), the side under it at 0.99·half
		near(t, "least lap", float64(*c.LapLeast), 0.99*(half+lap)-half-0.01*half, 1e-5)
		near(t, "edge", float64(*c.EdgeLeast), 0.99*(half+height+beyond)-half-height, 1e-9)
	})
	t.Run("hole", func(t *testing.T) {
		p := right
		p.Holes = [][][2]float64{{{0.03, 0.02}, {0.05, 0.02}, {0.05, 0.033}, {0.03, 0.033}}}
		c := lay(p)
		near(t, "coverage", c.Coverage, 1-0.02*0.013/whole, 1e-6)
		if len(c.Uncovered) != 1 {
			t.Fatalf("places: %+v", c.Uncovered)
		}
		at := c.Uncovered[0].At
		near(t, "hole's middle", math.Hypot(at[0]-0.04, at[1]-0.0265), 0, 1e-6)
	})
	t.Run("hole under a lap", func(t *testing.T) {
		p := right // the +x arm's wall, where the +y arm's lap lies
		p.Holes = [][][2]float64{{{0.13, 0.09}, {0.15, 0.09}, {0.15, 0.098}, {0.13, 0.098}}}
		near(t, "coverage", lay(p).Coverage, 1, 1e-6)
	})
	t.Run("shifted", func(t *testing.T) {
		p := right
		p.Outline, p.Knife = nil, nil
		for _, q := range right.Outline {
			p.Outline = append(p.Outline, [2]float64{q[0], q[1] + 0.002})
		}
		for _, k := range right.Knife {
			p.Knife = append(p.Knife, [][2]float64{{k[0][0], k[0][1] + 0.002}, {k[1][0], k[1][1] + 0.002}})
		}
		c := lay(p)
		near(t, "least lap", float64(*c.LapLeast), lap-0.002, 2e-6)
		near(t, "most edge", float64(*c.EdgeMost), beyond+0.002, 2e-6)
		near(t, "least edge", float64(*c.EdgeLeast), beyond-0.002, 2e-6)
	})
	t.Run("cut through", func(t *testing.T) {
		p := right // a knife line across the +x arm parts its end from the body
		p.Knife = [][][2]float64{right.Knife[0], right.Knife[1], right.Knife[2], right.Knife[3], {{half + 0.05, -half - 0.05}, {half + 0.05, half + 0.05}}}
		near(t, "coverage", lay(p).Coverage, 1-(2*half-lap)*0.03/whole, 2e-5)
	})
}

// An L cut the wrong way round leaves bare what the plane figures do not share:
// the foot of 0.1 m by 0.1 m lies on the other side.
func TestMirroredPiece(t *testing.T) {
	top := (&sheets{}).grid(6, 12, func(s, t float64) r3.Vec { return r3.Vec{X: 0.1*s - 0.05, Y: 0.2 * t} }).
		grid(6, 6, func(s, t float64) r3.Vec { return r3.Vec{X: 0.05 + 0.1*s, Y: 0.1 * t} }).top(t)
	p := Piece{Ground: cut.Uncut(top), Outline: union(t, [4]float64{-0.05, 0, 0.05, 0.2}, [4]float64{0.05, 0, 0.15, 0.1})}
	p.Flat = laidBy(p.Ground, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.X, Y: at.Y} })
	near(t, "right", relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p)}}).Plies[0].Coverage, 1, 1e-9)
	for i := range p.Outline {
		p.Outline[i][0] *= -1
	}
	near(t, "mirrored", relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p)}}).Plies[0].Coverage, 2.0/3, 1e-9)
}

// tube is a closed strip of n flat facets of width w, l high.
func tube(n int, w, l float64) *sheets {
	r := w / 2 / math.Sin(math.Pi/float64(n))
	return (&sheets{}).grid(n, 10, func(s, t float64) r3.Vec {
		φ := 2 * math.Pi * math.Mod(s, 1)
		return r3.Vec{X: r * math.Cos(φ), Y: r * math.Sin(φ), Z: l * t}
	})
}

// A tube cut open along a facet's side unrolls to a rectangle; a lap of 15 mm
// measures 15 mm round the facets, and what lies double is a strip of that width.
func TestTube(t *testing.T) {
	const n, w, l = 40, 0.008, 0.1
	top := tube(n, w, l).top(t)
	r := w / 2 / math.Sin(math.Pi/n)
	g := opened(t, top, []r3.Vec{{X: r}, {X: r, Z: l}})
	p := Piece{Ground: g, Flat: laidBy(g, func(at, middle r3.Vec) r2.Vec {
		facet := math.Floor(math.Mod(math.Atan2(middle.Y, middle.X)+2*math.Pi, 2*math.Pi) / (2 * math.Pi / n))
		corner := math.Round(math.Mod(math.Atan2(at.Y, at.X)+2*math.Pi+1e-9, 2*math.Pi) / (2 * math.Pi / n))
		if corner == 0 && facet == n-1 {
			corner = n
		}
		return r2.Vec{X: corner * w, Y: at.Z}
	})}
	p.Outline = union(t, [4]float64{-0.015, -0.02, n * w, l + 0.02})
	out := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: 0.015, Allowance: 0.02})
	c := out.Plies[0]
	near(t, "coverage", c.Coverage, 1, 1e-6)
	near(t, "least lap", float64(*c.LapLeast), 0.015, 2e-6)
	near(t, "median lap", float64(*c.LapMedian), 0.015, 2e-6)
	near(t, "double", float64(c.Doubled), 0.015*l, 2e-7)
	near(t, "mass", float64(c.Mass), areal*(n*w+0.015)*l, 1e-7)
	near(t, "step", float64(out.StepMax), thick, 1e-9)
}

// On z = f(x) + h(y) the profiles are yarns, and sin γ = f′h′/√((1+f′²)(1+h′²)).
// The cloth weighs its flat area, and is thicker by 1/cos γ. Of a lap cut
// parallel to the seam, the mould sees cos γ. The surface is in two pieces,
// parted along x = 0.1; errors are of second order in the triangles.
func TestShearedSheet(t *testing.T) {
	f, df := func(x float64) float64 { return 2 * x * x }, func(x float64) float64 { return 4 * x }
	long := func(x float64) float64 { return (x*math.Hypot(1, 4*x) + math.Asinh(4*x)/4) / 2 }
	γ := func(x, y float64) float64 {
		return math.Asin(df(x) * df(y) / (math.Hypot(1, df(x)) * math.Hypot(1, df(y))))
	}
	errs := func(n int) (lapErr, thickErr float64) {
		top := (&sheets{}).grid(n, n, func(s, t float64) r3.Vec {
			x, y := 0.2*s, 0.2*t
			return r3.Vec{X: x, Y: y, Z: f(x) + f(y)}
		}).top(t)
		var way []r3.Vec
		for j := range n + 1 {
			y := 0.2 * float64(j) / float64(n)
			way = append(way, r3.Vec{X: 0.1, Y: y, Z: f(0.1) + f(y)})
		}
		g := opened(t, top, way)
		var pieces []Piece
		for k := range 2 {
			part := parted(t, g, func(c r3.Vec) bool { return (c.X > 0.1) == (k == 1) })
			p := Piece{Ground: part, Flat: laidBy(part, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: long(at.X), Y: long(at.Y)} })}
			p.Outline = union(t, [4]float64{-0.01, -0.01, long(0.1), long(0.2) + 0.01})
			if k == 1 {
				p.Outline = union(t, [4]float64{long(0.1) - 0.015, -0.01, long(0.2) + 0.01, long(0.2) + 0.01})
			}
			pieces = append(pieces, p)
		}
		r := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, pieces...)}, Lap: 0.015, Allowance: 0.01})
		c := r.Plies[0]
		near(t, "coverage", c.Coverage, 1, 1e-6)
		flat := 0.0 // of the triangles, chords of the profiles
		for _, p := range pieces {
			for _, f := range p.Top.Mesh.Triangles {
				flat += geom.Polygon{p.Flat[f[0]], p.Flat[f[1]], p.Flat[f[2]]}.Area()
			}
		}
		near(t, "lap's mass", float64(c.Mass)/areal-flat, 0.015*long(0.2), 1e-3*0.015)
		if len(c.Short) != 1 {
			t.Fatalf("%d short stretches", len(c.Short))
		}
		lapErr = math.Abs(float64(*c.LapLeast) - 0.015*math.Cos(γ(0.1, 0.2)))
		for v, at := range top.Mesh.Vertices {
			if at.X > 0.15 && at.X < 0.19 && at.Y > 0.15 && at.Y < 0.19 {
				thickErr = max(thickErr, math.Abs(r.Stack.Thickness[v]/thick*math.Cos(γ(at.X, at.Y))-1))
			}
		}
		return lapErr, thickErr
	}
	lap1, thick1 := errs(20)
	lap2, thick2 := errs(40)
	t.Logf("lap off by %.2g, %.2g m; thickness by %.2g, %.2g", lap1, lap2, thick1, thick2)
	if lap2 > 1e-4 || thick2 > 1e-3 || thick1/thick2 < 3 {
		t.Errorf("lap off by %.2g, %.2g m; thickness by %.2g, %.2g", lap1, lap2, thick1, thick2)
	}
}

// Cloth that is not cut between its sides can't lap: both would claim it.
func TestSeamNotCut(t *testing.T) {
	top, p := box(t, 20)
	p.Knife = p.Knife[1:]
	in := Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: lap, Allowance: beyond}
	r := relaid(t, in)
	c := r.Plies[0]
	near(t, "not cut", float64(c.Uncut), lap, height/20) // to a station
	if f := r.Findings(in); len(f) != 2 || f[0].Code != "seam-not-cut" || f[1].Code != "lap-short" {
		t.Errorf("findings %v", f)
	}
}

// What is asked decides what is found: bare places, short laps, edges, stacks.
func TestFindings(t *testing.T) {
	top, p := box(t, 10)
	in := Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, p)}, Lap: lap, Allowance: beyond}
	codes := func() (out string) {
		r := relaid(t, in)
		for _, f := range r.Findings(in) {
			out += f.Code + " "
		}
		return out
	}
	if got := codes(); got != "laps-stacked " {
		t.Errorf("two plies cut alike: %s", got)
	}
	in.Plies = in.Plies[:1]
	if got := codes(); got != "" {
		t.Errorf("one ply: %s", got)
	}
	in.Lap, in.Allowance = 0.02, 0.05
	in.Plies[0].Pieces[0].Holes = [][][2]float64{{{0.03, 0.02}, {0.05, 0.02}, {0.05, 0.04}, {0.03, 0.04}}}
	if got := codes(); got != "coverage-low lap-short edge-short " {
		t.Errorf("more asked than there is: %s", got)
	}
}

// Whatever is drawn, the answer is a share of the part, and no panic.
func TestWildPieces(t *testing.T) {
	top, right := box(t, 6)
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 7))
		p := right
		p.Flat = append([]r2.Vec(nil), right.Flat...)
		for i := range p.Flat {
			if seed%2 == 0 {
				p.Flat[i] = r2.Add(p.Flat[i], r2.Vec{X: 0.03 * r.NormFloat64(), Y: 0.03 * r.NormFloat64()})
			}
		}
		wild := func(n int) (out [][2]float64) {
			for range n {
				out = append(out, [2]float64{0.2 * r.NormFloat64(), 0.2 * r.NormFloat64()})
			}
			return out
		}
		if seed%3 > 0 {
			p.Outline = wild(r.IntN(12))
		}
		p.Holes, p.Knife = [][][2]float64{wild(r.IntN(5))}, [][][2]float64{wild(r.IntN(9)), wild(2)}
		out := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: lap, Allowance: beyond})
		if c := out.Plies[0].Coverage; !(c >= -1e-9 && c <= 1+1e-9) {
			t.Errorf("seed %d: coverage %g", seed, c)
		}
	}
	right.Outline[0][0] = math.NaN()
	if _, err := Lay(context.Background(), Input{Surface: top, Plies: []Ply{plyOf(1, right)}}); err == nil {
		t.Error("an outline that is no number is taken")
	}
}

// The same pieces give the same numbers, and plies cut alike give the same as each
// by itself.
func TestSameEachTime(t *testing.T) {
	top, p := box(t, 10)
	q := p
	q.Outline = append([][2]float64{}, p.Outline...)
	one := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, p), plyOf(3, p)}, Lap: lap, Allowance: beyond})
	two := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, q), plyOf(3, p)}, Lap: lap, Allowance: beyond})
	if one.Mass != two.Mass || one.ThicknessMax != two.ThicknessMax || one.DoubledOver != two.DoubledOver || one.Plies[2].Number != 3 {
		t.Errorf("%+v and %+v", one, two)
	}
}

func TestInThree(t *testing.T) {
	for _, c := range []struct {
		doubled string
		want    int
	}{{"", 0}, {"x", 1}, {"x..x..x", 1}, {"x.x", 2}, {"..xx..", 2}, {"x..xxx.", 3}, {"xx..xx", 2}} {
		var list []bool
		for _, r := range c.doubled {
			list = append(list, r == 'x')
		}
		if got := inThree(list); got != c.want {
			t.Errorf("%q: %d, want %d", c.doubled, got, c.want)
		}
	}
}
