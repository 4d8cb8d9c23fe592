package joint

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Two like sheets joined by a bolt as long as wide, by hand: ((t+t)/2d)^(2/3) is 1 for
// t = d, and the four terms come to (2/E + 1/E₃)/t.
func TestFastener(t *testing.T) {
	f := Fastener{Diameter: 5e-3, E: 205e9}
	s := Sheet{E: 20e9, Thickness: 5e-3}
	near(t, "shear", float64(f.Shear(s, s)), 5e-3/(4.2*(2/20e9+1/205e9)), 1e-12)
	// Of [huth1984] in US units, 1/4 in steel bolt, 0.1 in of carbon on 0.2 in of
	// aluminium, by hand: (0.3/0.5)^(2/3)·4.2·(1/0.8e6 + 1/2.06e6 + 1/5.8e6 + 1/11.6e6)
	// = 5.956e-6 in/lbf.
	const inch, psi, lbf = 0.0254, 6894.757293, 4.4482216153
	b := Fastener{Diameter: 0.25 * inch, E: 29e6 * psi}
	k := b.Shear(Sheet{8e6 * psi, 0.1 * inch}, Sheet{10.3e6 * psi, 0.2 * inch})
	near(t, "mixed", 1/float64(k)/(inch/lbf), 0.711379*4.2*(1.25e-6+4.854369e-7+1.724138e-7+8.62069e-8), 1e-5)
	near(t, "along", float64(f.Along(s, s)), 205e9*math.Pi/4*25e-6/10e-3, 1e-12)
}

// By hand: 1000 N across a 5 mm hole in 2 mm, 12 mm from the edge, alone; 300 N pull
// under a 10 mm head.
func TestHole(t *testing.T) {
	h := Hole{Diameter: 5e-3, Head: 10e-3, Thickness: 2e-3, Edge: 12e-3}
	near(t, "bearing", float64(h.Bearing(1000)), 100e6, 1e-12)
	uses := h.Uses(300, 1000, Limits{Bearing: 200e6, Shear: 50e6, Tension: 300e6})
	for i, want := range []float64{0.5, 1000 / (4e-3 * 9.5e-3) / 50e6, 1000 / (19e-3 * 2e-3) / 300e6, 300 / (math.Pi * 20e-6) / 50e6} {
		near(t, uses[i].Mode, uses[i].Share, want, 1e-12)
	}
	if w := Worst(uses); w.Mode != "shear-out" {
		t.Errorf("%+v", w)
	}
	h.Pitch = 7e-3
	near(t, "close holes", h.Uses(0, 1000, Limits{Tension: 300e6})[0].Share, 1000/(2e-3*2e-3)/300e6, 1e-12)
	h.Edge = 2e-3 // the hole runs out of the edge
	if w := Worst(h.Uses(0, 1000, Limits{Shear: 50e6})); !math.IsInf(w.Share, 1) {
		t.Errorf("%+v", w)
	}
}

// w(x) = e^(−βx)·(Q·cos βx + β·M·(cos βx − sin βx))/(2β³D) is the half-endless beam of
// [hetenyi1946] under Q and M at its end: that it has them is checked by differences,
// and the bed's stress there is k·w(0).
func TestPeelScales(t *testing.T) {
	a := Adhesive{E: 3e9, Thickness: 0.5e-3}
	const d = 2.0
	k := 3e9 / 0.5e-3
	β := math.Pow(k/(4*d), 0.25)
	q, m := 300.0, 0.7
	w := func(x float64) float64 {
		return math.Exp(-β*x) / (2 * β * β * β * d) * (q*math.Cos(β*x) + β*m*(math.Cos(β*x)-math.Sin(β*x)))
	}
	const h = 1e-5
	curve := (w(h) - 2*w(0) + w(-h)) / (h * h)
	near(t, "moment at the end", d*curve, m, 1e-3)
	bent := (w(2*h) - 2*w(h) + 2*w(-h) - w(-2*h)) / (2 * h * h * h)
	near(t, "force at the end", math.Abs(d*bent), q, 1e-2)
	near(t, "stress", float64(a.Peel(d, q, m)), k*w(0), 1e-12)
}

// Four cylinders and four strokes fire twice a turn; two blades on a gear of 2 pass
// once.
func TestOrders(t *testing.T) {
	e := Engine{Low: 20, High: 40, Cylinders: 4, Blades: 2, Gear: 2}
	var got []float64
	for _, o := range e.Orders() {
		got = append(got, o.PerTurn)
	}
	for i, want := range []float64{1, 2, 4, 1, 2} {
		near(t, "order", got[i], want, 1e-12)
	}
	e.TwoStroke = true
	if got := e.Orders()[1].PerTurn; got != 4 {
		t.Errorf("a two-stroke fires %g times", got)
	}
	near(t, "below", e.Apart(18, Order{PerTurn: 1}), 0.1, 1e-12)
	near(t, "above", e.Apart(100, Order{PerTurn: 2}), 0.25, 1e-12)
	if e.Apart(50, Order{PerTurn: 2}) != 0 {
		t.Error("within the range")
	}
}

func ud(angle float64) wall.Ply {
	return wall.Ply{Name: "u", Angle: si.Degrees(angle), Thickness: 0.2e-3,
		Elastic: &wall.Elastic{E1: 130e9, E2: 9e9, G12: 5e9, Nu12: 0.3}, Expansion: &wall.Expansion{Alpha1: 0.2e-6, Alpha2: 30e-6}}
}

// One material grows alike all ways; a single ply by its own numbers; a cross-ply as
// a solid does: the three-dimensional law of Hooke worked by hand, the plies' σ₁ and
// σ₂ in balance.
func TestGrows(t *testing.T) {
	metal := wall.Ply{Thickness: 1e-3, Elastic: &wall.Elastic{E1: 70e9, E2: 70e9, G12: 27e9, Nu12: 0.3}, Expansion: &wall.Expansion{Alpha1: 23e-6, Alpha2: 23e-6}}
	g, known := Grows([]wall.Ply{metal, metal})
	near(t, "metal plane", g.Plane, 23e-6, 1e-9)
	near(t, "metal through", g.Through, 23e-6, 1e-9)
	if !known {
		t.Error("not known")
	}
	g, _ = Grows([]wall.Ply{ud(20)})
	near(t, "one ply through", g.Through, 30e-6, 1e-9)
	// cross-ply: ε the same both ways; σ₁ = Q₁₁(ε−α₁)+Q₁₂(ε−α₂), σ₂ = −σ₁.
	g, _ = Grows([]wall.Ply{ud(0), ud(90), ud(90), ud(0)})
	r := 1 - 0.09*9/130
	q11, q12, q22 := 130e9/r, 0.3*9e9/r, 9e9/r
	ε := (q11*0.2e-6 + q12*(30e-6+0.2e-6) + q22*30e-6) / (q11 + 2*q12 + q22)
	σ := q11*(ε-0.2e-6) + q12*(ε-30e-6)
	near(t, "cross-ply plane", g.Plane, ε, 1e-9)
	near(t, "cross-ply through", g.Through, 30e-6-0.3*σ/130e9+0.4*σ/9e9, 1e-9)
	// yarns of a weave lie as a cross-ply's plies do
	y := wall.Yarns{Along: *ud(0).Elastic, Expansion: ud(0).Expansion, WarpShare: 0.5}
	e, α := y.Weave()
	weave, _ := Grows([]wall.Ply{{Thickness: 0.4e-3, Woven: true, Elastic: &e, Expansion: α, Yarns: &y}})
	near(t, "weave through", weave.Through, g.Through, 1e-9)
	if _, known := Grows([]wall.Ply{{Thickness: 0.4e-3, Woven: true, Elastic: &e, Expansion: α}}); known {
		t.Error("a measured weave tells nothing of its thickness")
	}
}

// Resin alone shrinks as it does; fibres hold it along themselves.
func TestShrinking(t *testing.T) {
	r := Resin{E: 3e9, Nu: 0.35, Shrinkage: 0.01}
	resin := wall.Ply{Thickness: 1e-3, Elastic: &wall.Elastic{E1: 3e9, E2: 3e9, G12: 1.1e9, Nu12: 0.35}}
	g, _ := Grows(r.Shrinking([]wall.Ply{resin}, []float64{0}))
	near(t, "plane", g.Plane, -0.01, 1e-9)
	p := r.Shrinking([]wall.Ply{ud(0)}, []float64{0.5})[0]
	near(t, "along", float64(p.Expansion.Alpha1), -0.01*3e9*0.5/130e9, 1e-9)
	near(t, "across", float64(p.Expansion.Alpha2), -1.35*0.01*0.5+0.01*3e9*0.5/130e9*0.3, 1e-9)
}

// profile is a strip drawn along y from a line in x and z.
func profile(line []r3.Vec, width float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := range n + 1 {
		for _, p := range line {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: width * float64(j) / float64(n), Z: p.Z})
		}
	}
	w := int32(len(line))
	for j := range int32(n) {
		for i := range w - 1 {
			a := j*w + i
			m.Triangles = append(m.Triangles, [3]int32{a, a + 1, a + w + 1}, [3]int32{a, a + w + 1, a + w})
		}
	}
	return m
}

// hat is flange, rounded foot, wall, rounded top edge, top, and sharp fall: turns of
// 70, 70 and 90 degrees.
func hat() []r3.Vec {
	var out []r3.Vec
	at, heading := r3.Vec{}, 0.0
	straight := func(l float64, n int) {
		for range n {
			at = r3.Add(at, r3.Scale(l/float64(n), r3.Vec{X: math.Cos(heading), Z: math.Sin(heading)}))
			out = append(out, at)
		}
	}
	round := func(turn, r float64, n int) {
		for range n {
			heading += turn / float64(n) / 2
			straight(2*r*math.Sin(math.Abs(turn)/float64(n)/2), 1)
			heading += turn / float64(n) / 2
		}
	}
	out = append(out, at)
	straight(0.03, 4)
	round(70*math.Pi/180, 0.01, 4)
	straight(0.05, 6)
	round(-70*math.Pi/180, 0.012, 5)
	straight(0.06, 8)
	heading -= math.Pi / 2
	straight(0.04, 5)
	return out
}

func TestCorners(t *testing.T) {
	topology, err := mesh.NewTopology(profile(hat(), 0.2, 24))
	if err != nil {
		t.Fatal(err)
	}
	got := Corners(topology)
	if len(got) != 3 {
		t.Fatalf("%d corners: %+v", len(got), got)
	}
	hollow := 0
	for _, c := range got {
		near(t, "length", float64(c.Length), 0.2, 1e-9)
		want := 70.0
		if c.Turn.Degrees() > 80 {
			want = 90
		}
		near(t, "turn", c.Turn.Degrees(), want, 1e-6)
		if c.Hollow {
			hollow++
		}
	}
	if hollow != 1 {
		t.Errorf("%d are hollow", hollow)
	}
	// a dome has none
	dome := profile(nil, 1, 1)
	*dome = mesh.Mesh{}
	const n = 20
	for j := range n + 1 {
		for i := range n + 1 {
			x, y := 0.3*(float64(i)/n-0.5), 0.3*(float64(j)/n-0.5)
			dome.Vertices = append(dome.Vertices, r3.Vec{X: x, Y: y, Z: -2 * (x*x + y*y)})
		}
	}
	for j := range int32(n) {
		for i := range int32(n) {
			a := j*(n+1) + i
			dome.Triangles = append(dome.Triangles, [3]int32{a, a + 1, a + n + 2}, [3]int32{a, a + n + 2, a + n + 1})
		}
	}
	if topology, err = mesh.NewTopology(dome); err != nil {
		t.Fatal(err)
	}
	if got := Corners(topology); len(got) != 0 {
		t.Errorf("a dome has corners: %+v", got)
	}
}
