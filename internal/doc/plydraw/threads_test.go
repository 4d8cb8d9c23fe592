package plydraw

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
)

// rolled is a sheet of a by b metres, its middle at the flat origin, rolled to a
// quarter of a tube along x (the identity of developable surfaces: its flat
// places are arc lengths).
func rolled(a, b float64, nx, ny int) *ground {
	g := &ground{piece: "P01", mesh: &mesh.Mesh{}}
	radius := b / (math.Pi / 2)
	for j := range ny + 1 {
		for i := range nx + 1 {
			u, v := a*(float64(i)/float64(nx)-0.5), b*(float64(j)/float64(ny)-0.5)
			s, c := math.Sincos(v / radius)
			g.flat = append(g.flat, r2.Vec{X: u, Y: v})
			g.mesh.Vertices = append(g.mesh.Vertices, r3.Vec{X: u, Y: radius * s, Z: radius * c})
			g.shear = append(g.shear, 0)
		}
	}
	for j := range ny {
		for i := range nx {
			a := int32(j*(nx+1) + i)
			b, c, d := a+1, a+int32(nx)+2, a+int32(nx)+1
			g.mesh.Triangles = append(g.mesh.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return g
}

// A sheet 0.31 by 0.23 m has 15 threads along the warp 16 mm apart, and 19 along
// the weft; each is one line from edge to edge at its own flat coordinate, and
// as long as the sheet.
func TestThreadsOfARolledSheet(t *testing.T) {
	const a, b, step = 0.31, 0.23, 0.016
	g := rolled(a, b, 40, 60)
	for _, c := range []struct {
		weft  bool
		count int
		long  float64
	}{{false, 15, a}, {true, 19, b}} {
		all := g.threads(step, c.weft)
		if len(all) != c.count {
			t.Errorf("weft %v: %d threads, want %d", c.weft, len(all), c.count)
		}
		for _, th := range all {
			long := 0.0
			for i, q := range th.flat {
				across := q.Y
				if c.weft {
					across = q.X
				}
				if off := math.Remainder(across, step); math.Abs(off) > 1e-12 {
					t.Fatalf("weft %v: a thread runs %g m off its place", c.weft, off)
				}
				if i > 0 {
					long += r3.Norm(r3.Sub(th.at[i], th.at[i-1]))
				}
			}
			if len(th.at) != len(th.face)+1 || math.Abs(long/c.long-1) > 1e-3 { // chords for arcs
				t.Errorf("weft %v: a thread of %d points is %.4f m long, want %.4f", c.weft, len(th.at), long, c.long)
			}
		}
	}
}

// A thread that closes on itself is one line: the parallel of a tube.
func TestClosedThread(t *testing.T) {
	g := &ground{mesh: &mesh.Mesh{}}
	const n = 12
	for j := range 2 {
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / n)
			g.mesh.Vertices = append(g.mesh.Vertices, r3.Vec{X: c, Y: s, Z: float64(j)})
			g.flat = append(g.flat, r2.Vec{Y: float64(j) - 0.5})
			g.shear = append(g.shear, 0)
		}
	}
	for i := range int32(n) {
		k := (i + 1) % n
		g.mesh.Triangles = append(g.mesh.Triangles, [3]int32{i, k, k + n}, [3]int32{i, k + n, i + n})
	}
	all := g.threads(lonely, false)
	if len(all) != 1 || len(all[0].face) != 2*n {
		t.Fatalf("%d threads, the first of %d stretches", len(all), len(all[0].face))
	}
	if first, last := all[0].at[0], all[0].at[2*n]; r3.Norm(r3.Sub(first, last)) > 1e-12 {
		t.Errorf("it begins at %v and ends at %v", first, last)
	}
}

// The seed lies where the flat origin does, and the arrow goes from there along
// the warp, as long as asked for.
func TestBegin(t *testing.T) {
	b := rolled(0.3, 0.2, 21, 17).begin(0.08)
	top := 0.2 / (math.Pi / 2)
	if !b.known || math.Abs(b.seed.X)+math.Abs(b.seed.Y) > 1e-12 || math.Abs(b.seed.Z/top-1) > 2e-3 {
		t.Errorf("the seed lies at %v", b.seed)
	}
	n := len(b.warp)
	if n < 2 || r3.Norm(r3.Sub(b.warp[0], b.seed)) > 1e-12 {
		t.Fatalf("the arrow begins at %v", b.warp)
	}
	if d := r3.Sub(b.warp[n-1], b.seed); math.Abs(d.X-0.08) > 1e-12 || math.Abs(d.Y) > 1e-12 {
		t.Errorf("the arrow ends %v from the seed", d)
	}
	off := rolled(0.3, 0.2, 21, 17)
	for i := range off.flat {
		off.flat[i].X += 1
	}
	if b := off.begin(0.08); b.known || b.warp != nil {
		t.Error("a piece without the origin has a seed")
	}
}

// Threads are light on dark ground; a thread is broken where that changes.
func TestThreadsAreReadOnAnyColour(t *testing.T) {
	g := rolled(0.3, 0.2, 30, 20)
	for i, q := range g.flat {
		if q.X > 0 {
			g.shear[i] = 40
		}
	}
	r := draw.Range{Ramp: draw.Sequential(), High: 40}
	dark, light := 0, 0
	for _, tr := range g.yarns(0.05, r) {
		if tr.Pen.Colour == draw.Faint {
			light++
			for _, p := range tr.Points {
				if p.X < -0.01 {
					t.Fatalf("a light thread at x = %g", p.X)
				}
			}
		} else {
			dark++
		}
	}
	if dark == 0 || light == 0 {
		t.Errorf("%d dark and %d light", dark, light)
	}
}

// A surface finer than paper shows is drawn on fewer vertices, each with its own
// values; a coarse one is drawn as it is.
func TestDrawable(t *testing.T) {
	fine := rolled(0.3, 0.2, 120, 90)
	d := drawable(fine.mesh)
	if n := len(d.mesh.Vertices); n > mostDrawn || n < mostDrawn/2 || len(d.of) != n {
		t.Fatalf("%d vertices of %d", n, len(fine.mesh.Vertices))
	}
	for i, q := range taken(d, fine.flat) {
		if d.mesh.Vertices[i].X != q.X {
			t.Fatalf("vertex %d at %v has the flat place %v", i, d.mesh.Vertices[i], q)
		}
	}
	if a := d.mesh.Area() / fine.mesh.Area(); math.Abs(a-1) > 1e-3 {
		t.Errorf("its area is %.4f of the surface's", a)
	}
	coarse := rolled(0.3, 0.2, 12, 9)
	if d := drawable(coarse.mesh); d.mesh != coarse.mesh || d.of != nil {
		t.Error("a coarse surface is drawn otherwise")
	}
}
