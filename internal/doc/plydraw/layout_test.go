package plydraw

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
)

// cube is the unit cube about the origin, outward facing.
func cube() *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, r3.Vec{X: float64(i&1) - 0.5, Y: float64(i>>1&1) - 0.5, Z: float64(i>>2) - 0.5})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

func staged(m *mesh.Mesh) stage { return newStage(m, mesh.NewLocator(m)) }

// Of a cube's faces each view shows those that look its way: the top in both,
// the two sides towards (1, −1) in the first, the other two in the second, the
// foot in none.
func TestWhatIsSeenOfACube(t *testing.T) {
	s := staged(cube())
	if len(s.eyes) != 2 {
		t.Fatalf("%d views of a cube", len(s.eyes))
	}
	for i, want := range []map[r3.Vec]bool{
		{{X: 0.5}: true, {X: -0.5}: false, {Y: 0.5}: false, {Y: -0.5}: true, {Z: 0.5}: true, {Z: -0.5}: false},
		{{X: 0.5}: false, {X: -0.5}: true, {Y: 0.5}: true, {Y: -0.5}: false, {Z: 0.5}: true, {Z: -0.5}: false},
	} {
		scene := s.scene
		scene.Eye = s.eyes[i]
		v := seen{stage: s, eye: s.eyes[i], view: scene.View(r2.NewBox(0, 0, 50, 50))}
		for p, shown := range want {
			if _, got := v.at(p); got != shown {
				t.Errorf("view %d: the middle of the face at %v is seen: %v", i+1, p, got)
			}
		}
	}
}

// A plate that looks up is seen whole in one view, from above; one that looks
// down, from below.
func TestOneViewOfAPlate(t *testing.T) {
	g := rolled(0.3, 0.01, 2, 2)
	up := &mesh.Mesh{Triangles: g.mesh.Triangles}
	for _, q := range g.flat {
		up.Vertices = append(up.Vertices, r3.Vec{X: q.X, Y: q.Y})
	}
	for _, c := range []struct {
		m *mesh.Mesh
		z float64
	}{{up, 1}, {up.Flipped(), -1}} {
		if s := staged(c.m); len(s.eyes) != 1 || s.eyes[0].Z*c.z <= 0 {
			t.Errorf("seen from %v", s.eyes)
		}
	}
}

// Signs at one place do not lie over each other, and stay in their room as long
// as it has any.
func TestLabelsKeepApart(t *testing.T) {
	l := labels{room: r2.NewBox(0, 0, 100, 100)}
	for range 12 {
		l.name(r2.Vec{X: 50, Y: 50}, r2.Vec{X: 1}, "1·3")
	}
	if len(l.taken) != 12 {
		t.Fatalf("%d places", len(l.taken))
	}
	for i, b := range l.taken {
		if !within(b, l.room) || meetsAny(b, l.taken[:i]) {
			t.Errorf("sign %d lies at %v", i+1, b)
		}
	}
}

// Pieces of any number and shape lie in the box, to one scale, off each other.
func TestPiecesInRows(t *testing.T) {
	chance := rand.New(rand.NewPCG(7, 11))
	for n := 1; n < 12; n++ {
		var outlines []geom.Polygon
		for range n {
			at := r2.Vec{X: chance.Float64(), Y: chance.Float64()}
			outlines = append(outlines, r2.Box{Min: at, Max: r2.Add(at, r2.Vec{X: 0.05 + chance.Float64(), Y: 0.05 + chance.Float64()})}.Vertices())
		}
		box := r2.NewBox(10, 20, 10+60+100*chance.Float64(), 20+60+100*chance.Float64())
		fits := inRows(outlines, box)
		var laid []r2.Box
		for i, f := range fits {
			b := geom.Polygon(f.All(outlines[i])).Bounds()
			if !within(b, draw.Inset(box, -1e-9)) || meetsAny(b, laid) || math.Abs(f.Scale()-fits[0].Scale()) > 1e-12 {
				t.Errorf("piece %d of %d at %v in %v", i+1, n, b, box)
			}
			laid = append(laid, b)
		}
	}
}

// Distances between threads are round in the job's units, and about as many lie
// across as asked for.
func TestSpacing(t *testing.T) {
	for _, c := range []struct {
		us     bool
		across float64
		want   string
	}{{false, 0.62, "40 mm"}, {false, 0.3, "20 mm"}, {false, 0.05, "3 mm"}, {true, 14 * inch, "1 in"}, {true, 5 * inch, "0.5 in"}, {true, 1 * inch, "0.125 in"}} {
		w := words{c.us}
		if got := w.round(w.spacing(c.across, threadCount)); got != c.want {
			t.Errorf("%g m: every %s, want %s", c.across, got, c.want)
		}
	}
}

// The numbers of people's tables: 25.4 mm is 1 in, 645.16 mm² is 1 in², a
// thousandth of an inch is 1 mil.
func TestWords(t *testing.T) {
	us, si := words{true}, words{}
	for _, c := range [][2]string{
		{us.length(0.0254), "1.00 in"}, {us.length(0.508), "20.0 in"}, {si.length(0.0254), "25 mm"},
		{us.area(645.16e-6), "1 in²"}, {si.area(0.0123), "123 cm²"},
		{us.thin(0.254e-3), "10.0 mil"}, {si.thin(0.254e-3), "0.25 mm"},
		{si.place([3]float64{-0.1, 0, 0.0456}), "−100, 0, 46 mm"}, {us.place([3]float64{0.0254, 0, -0.0508}), "1.0, 0.0, −2.0 in"},
	} {
		if c[0] != c[1] {
			t.Errorf("%q, want %q", c[0], c[1])
		}
	}
}
