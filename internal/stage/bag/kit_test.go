package bag

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// sheetOver is a square of side 2h cut n by n, lifted to z(x, y), normals up.
func sheetOver(h float64, n int, z func(x, y float64) float64) (*mesh.Mesh, []int32) {
	m := &mesh.Mesh{}
	var edge []int32
	for j := range n + 1 {
		for i := range n + 1 {
			x, y := h*(2*float64(i)/float64(n)-1), h*(2*float64(j)/float64(n)-1)
			if i == 0 || j == 0 || i == n || j == n {
				edge = append(edge, int32(len(m.Vertices)))
			}
			m.Vertices = append(m.Vertices, r3.Vec{X: x, Y: y, Z: z(x, y)})
		}
	}
	for j := range n {
		for i := range n {
			a := int32(j*(n+1) + i)
			b, c, d := a+1, a+int32(n)+1, a+int32(n)+2
			m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{a, d, c})
		}
	}
	return m, edge
}

func over(t *testing.T, m *mesh.Mesh, edge []int32, spec Spec) Result {
	t.Helper()
	r, err := Pack(Input{Spec: spec, Area: 0.1, Rim: 1, Face: m, Surface: m, Edge: edge})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The way over half a ball is π·R in its plane.
func TestPathOverBall(t *testing.T) {
	const r = 0.2
	m, edge := sheetOver(r, 200, func(x, y float64) float64 { return 0 })
	for i, v := range m.Vertices { // square to disc, disc to half ball
		a := max(math.Abs(v.X), math.Abs(v.Y)) / r
		l := math.Hypot(v.X, v.Y)
		if l > 0 {
			polar := a * math.Pi / 2
			m.Vertices[i] = r3.Vec{X: r * math.Sin(polar) * v.X / l, Y: r * math.Sin(polar) * v.Y / l, Z: r * math.Cos(polar)}
		} else {
			m.Vertices[i] = r3.Vec{Z: r}
		}
	}
	got := over(t, m, edge, Spec{})
	near(t, "along x", float64(got.PathLong), math.Pi*r, 1e-3)
	near(t, "along y", float64(got.PathWide), math.Pi*r, 1e-3)
	near(t, "film", float64(got.FilmLong), math.Pi*r+2*bagLand+stringMargin, 1e-3)
	if len(got.Hollows) != 0 {
		t.Errorf("hollows on a ball: %+v", got.Hollows)
	}
}

// box is a box of l by w by h standing on a plane, its walls upright, without a floor.
func box(l, w, h float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, z := range []float64{0, h} {
		m.Vertices = append(m.Vertices, r3.Vec{X: -l / 2, Y: -w / 2, Z: z}, r3.Vec{X: l / 2, Y: -w / 2, Z: z}, r3.Vec{X: l / 2, Y: w / 2, Z: z}, r3.Vec{X: -l / 2, Y: w / 2, Z: z})
	}
	m.Triangles = [][3]int32{{4, 5, 6}, {4, 6, 7}}
	for i := range int32(4) {
		j := (i + 1) % 4
		m.Triangles = append(m.Triangles, [3]int32{i, j, j + 4}, [3]int32{i, j + 4, i + 4})
	}
	return m
}

// Over a box the string is its length and twice its height, and the tape, pleats
// folded, is as long as the film's own edge.
func TestPathOverBox(t *testing.T) {
	got := over(t, box(0.4, 0.3, 0.1), nil, Spec{})
	near(t, "along x", float64(got.PathLong), 0.6, 1e-9)
	near(t, "along y", float64(got.PathWide), 0.5, 1e-9)
	near(t, "tape", float64(got.Tape), 2*float64(got.FilmLong+got.FilmWide), 1e-9)
	folded := 0.0
	for _, p := range got.PleatsAt {
		folded += 2 * float64(p.High)
		if p.High > pleatHigh+1e-12 {
			t.Errorf("a pleat %.3f m tall", float64(p.High))
		}
	}
	line := 2 * (0.4 + 0.3 + 4*bagLand)
	near(t, "tape line and pleats", line+folded, float64(got.Tape), 1e-9)
	if two := over(t, box(0.4, 0.3, 0.1), nil, Spec{Style: Envelope}); math.Abs(float64(two.FilmArea/got.FilmArea)-2) > 1e-9 {
		t.Errorf("an envelope takes %.3f times the film", float64(two.FilmArea/got.FilmArea))
	}
}

// A face that ends 50 mm above the base on one side: the film goes down to the base.
func TestFilmGoesDownToTheBase(t *testing.T) {
	m, edge := sheetOver(0.2, 20, func(x, y float64) float64 { return 0.125 * (x + 0.2) })
	got := over(t, m, edge, Spec{})
	near(t, "film", float64(got.FilmLong), math.Hypot(0.4, 0.05)+0.05+2*bagLand+stringMargin, 1e-9)
}

// A round hollow with the section of a cosine, 30 mm deep in a plate: the film is as
// long as the curve, and pleats stand on both sides of the hollow.
func TestHollowIsFound(t *testing.T) {
	const deep, half = 0.03, 0.1
	m, edge := sheetOver(0.2, 120, func(x, y float64) float64 {
		l := math.Hypot(x-0.05, y)
		if l > half {
			return 0
		}
		return -deep / 2 * (1 + math.Cos(math.Pi*l/half))
	})
	got := over(t, m, edge, Spec{})
	if len(got.Hollows) != 1 {
		t.Fatalf("%d hollows", len(got.Hollows))
	}
	h := got.Hollows[0]
	near(t, "deep", float64(h.Deep), deep, 0.02)
	if math.Hypot(h.At[0]-0.05, h.At[1]) > 0.01 {
		t.Errorf("deepest at %v", h.At)
	}
	// deeper than 10 mm where cos > −1/3: a disc of radius 0.1·acos(−1/3)/π
	radius := half * math.Acos(-1.0/3) / math.Pi
	near(t, "area", float64(h.Area), math.Pi*radius*radius, 0.1)
	arc, n := 0.0, 10000
	for i := range n {
		x := math.Pi * (float64(i) + 0.5) / float64(n)
		arc += 2 * math.Hypot(1, deep/2*math.Pi/half*math.Sin(x)) * half / float64(n)
	}
	near(t, "path", float64(got.PathLong), 0.4-2*half+arc, 1e-3)
	cavity := Input{Spec: Spec{}, Area: 0.1, Rim: 1, Face: m, Surface: m, Edge: edge, Cavity: true}
	r, _ := Pack(cavity)
	near(t, "film of the cavity", float64(r.FilmLong), 0.4-2*half+arc+2*bagLand+stringMargin, 1e-3)
	if r.Findings[len(r.Findings)-1].Code != "bag-reaches-in" {
		t.Errorf("findings %+v", r.Findings)
	}
}

// A plate 1.4 m wide wants more than one port; every place is within reach of one, as
// the crow flies too, and the gauge is where the air comes from last.
func TestPorts(t *testing.T) {
	m, edge := sheetOver(0.7, 60, func(x, y float64) float64 { return 0 })
	found, far := ports(m, edge)
	pumps := found[:len(found)-1]
	if len(pumps) < 2 || found[len(found)-1].Use != ForGauge || far > portReach {
		t.Errorf("%d ports, %.2f m", len(found), float64(far))
	}
	for _, v := range m.Vertices {
		least := math.Inf(1)
		for _, p := range pumps {
			least = min(least, math.Hypot(v.X-p.At[0], v.Y-p.At[1]))
		}
		if least > float64(far)+1e-9 {
			t.Fatalf("%v is %.3f m from a port", v, least)
		}
	}
	wide, edge := sheetOver(1.2, 60, func(x, y float64) float64 { return 0 })
	if r := over(t, wide, edge, Spec{}); len(r.Ports) > mostPorts || r.Findings[len(r.Findings)-1].Code != "port-far" {
		t.Errorf("%d ports, findings %+v", len(r.Ports), r.Findings)
	}
	small, _ := sheetOver(0.2, 10, func(x, y float64) float64 { return 0 })
	if found, _ = ports(small, nil); len(found) != 2 {
		t.Errorf("%d ports on a small part", len(found))
	}
	// On a grid cut along one diagonal the ways are exact along sides and that diagonal.
	w := newWays(small)
	w.from(0)
	near(t, "side", w.far[10], 0.4, 1e-9)
	near(t, "diagonal", w.far[120], 0.4*math.Sqrt2, 1e-9)
}

func BenchmarkKit(b *testing.B) {
	m, edge := sheetOver(0.5, 100, func(x, y float64) float64 { return 0.1 * math.Cos(4*x) * math.Cos(4*y) })
	for b.Loop() {
		_, _ = Pack(Input{Area: 0.1, Rim: 1, Face: m, Surface: m, Edge: edge})
	}
}
