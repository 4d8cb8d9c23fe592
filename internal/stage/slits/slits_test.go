package slits

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

const deg = math.Pi / 180

// partAt returns the one part of a surface with its seed nearest to a place.
func partAt(t *testing.T, m *mesh.Mesh, seed r3.Vec) *Part {
	t.Helper()
	parts, err := Parts(m)
	if err != nil || len(parts) != 1 {
		t.Fatal(len(parts), err)
	}
	p := &parts[0]
	hit, _ := p.Locator.Closest(seed)
	p.Seed, p.Along = hit.Point, r3.Vec{X: 1}
	p.Normal = m.FaceNormal(hit.Face)
	p.Warp = laidInto(p.Along, p.Normal)
	return p
}

func ask(p *Part, angle, limit float64) Ask {
	return Ask{Angle: angle * deg, Locking: limit * deg, Limit: limit * deg, Trifle: 1e-5 * p.Area}
}

func bedsOf(t *testing.T, p *Part, k Ask) []*Bed {
	t.Helper()
	beds, err := p.Beds(context.Background(), k, nil)
	if err != nil {
		t.Fatal(err)
	}
	covers(t, p, beds)
	return beds
}

// covers checks that the beds hold the part's area and each of its vertices.
func covers(t *testing.T, p *Part, beds []*Bed) {
	t.Helper()
	var area float64
	seen := make([]bool, len(p.Top.Mesh.Vertices))
	for _, b := range beds {
		area += b.Top.Mesh.Area()
		for _, v := range b.From {
			if v >= 0 {
				seen[v] = true
			}
		}
	}
	if math.Abs(area/p.Area-1) > 1e-9 {
		t.Errorf("beds of %.6f m² on a part of %.6f", area, p.Area)
	}
	for v, is := range seen {
		if !is && len(p.Top.VertexFaces(v)) > 0 {
			t.Errorf("vertex %d is on no bed", v)
		}
	}
}

// lies checks that nothing locks and nothing lies double.
func lies(t *testing.T, p *Part, beds []*Bed, k Ask) {
	t.Helper()
	for i, b := range beds {
		if places := b.Locked(k.Limit, k.Trifle); len(places) > 0 {
			t.Errorf("bed %d locks at %v with %.1f°, over %.2f cm²", i, b.Top.Mesh.Vertices[places[0].At], places[0].Worst/deg, 1e4*places[0].Area)
		}
		if b.Doubled > littleDouble*p.Area {
			t.Errorf("bed %d lies double over %.2f cm²", i, 1e4*b.Doubled)
		}
		if k.Width > 0 && b.wide() > k.Width {
			t.Errorf("bed %d is %.3f m wide", i, b.wide())
		}
	}
}

// cutsOf returns the routes cut and their length together.
func cutsOf(beds []*Bed) (count int, long float64) {
	routes := map[int]bool{}
	for _, b := range beds {
		for _, s := range b.Slits {
			routes[s.Route] = true
			long += lengthOf(b.Ground, s)
		}
	}
	return len(routes), long
}

func bounds(b *Bed) r2.Vec {
	lo, hi := b.Flat[0], b.Flat[0]
	for _, q := range b.Flat {
		lo, hi = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}, r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	return r2.Sub(hi, lo)
}

// The curvature of what fills a hole, from its rim alone: nothing in a plane; a
// half turn short of the sphere's, 2π·(1 − cos a), at a cap's pole taken out; a
// whole turn at the end of a tube; 2π·(1 − sin α) at a cone's apex; a quarter turn
// for a box's corner.
func TestHolesByGaussBonnet(t *testing.T) {
	without := func(m *mesh.Mesh, inside func(r3.Vec) bool) *mesh.Topology {
		part := m.Extract(m.FacesWhere(func(f int) bool { return !inside(m.Centroid(f)) }))
		top, err := mesh.NewTopology(part.Mesh)
		if err != nil {
			t.Fatal(err)
		}
		return top
	}
	near := func(c r3.Vec, r float64) func(r3.Vec) bool {
		return func(x r3.Vec) bool { return r3.Norm(r3.Sub(x, c)) < r }
	}
	plate := shapes.Patch(30, 20, func(u, v float64) r3.Vec { return r3.Vec{X: 0.3 * u, Y: 0.2 * v} })
	const a = 30 * deg
	ring := shapes.Wound(96, 48, func(u, v float64) r3.Vec {
		θ := a + v*(90*deg-a)
		return r3.Vec{X: 0.1 * math.Sin(θ) * math.Cos(2*math.Pi*u), Y: 0.1 * math.Sin(θ) * math.Sin(2*math.Pi*u), Z: 0.1 * math.Cos(θ)}
	})
	top, err := mesh.NewTopology(ring)
	if err != nil {
		t.Fatal(err)
	}
	tube, err := mesh.NewTopology(shapes.Tube(0.04, 0.2, 40, 10))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		top       *mesh.Topology
		want, tol float64
	}{
		{"plate", without(plate, near(r3.Vec{X: 0.12, Y: 0.1}, 0.04)), 0, 1e-9},
		{"tube", tube, 2 * math.Pi, 1e-9},
		{"pole", top, 2 * math.Pi * (1 - math.Cos(a)), 2 * math.Pi * math.Sin(a) * (90*deg - a) / 48}, // a rim's own curvature is counted too
		{"apex", without(shapes.Cone(0.12, 0.09, 30), near(r3.Vec{Z: 0.09}, 0.05)), 2 * math.Pi * (1 - 0.8), 0.005},
		{"corner", without(shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.2, Z: 0.1}, 20), near(corner(shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.2, Z: 0.1}, 20)), 0.03)), math.Pi / 2, 1e-9},
	} {
		holes := holesOf(c.top)
		if len(holes) != 1 {
			t.Errorf("%s: %d holes", c.name, len(holes))
			continue
		}
		if got := holes[0].curvature; math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: %.4f rad, want %.4f", c.name, got, c.want)
		}
	}
}

// corner is an inner vertex of a quarter turn of curvature.
func corner(m *mesh.Mesh) r3.Vec {
	top, err := mesh.NewTopology(m)
	if err != nil {
		panic(err)
	}
	rim := top.RimVertices()
	for v, k := range top.AngleDefects() {
		if !rim[v] && math.Abs(k-math.Pi/2) < 1e-6 {
			return m.Vertices[v]
		}
	}
	panic("no corner")
}

// A tube opens along one cut, as long as it is, to a rectangle as wide as its
// girth, without shear, whichever way the cloth runs.
func TestTubeUnrolls(t *testing.T) {
	const r, long, around = 0.05, 0.2, 40
	girth := 2 * around * r * math.Sin(math.Pi/around)
	for _, angle := range []float64{0, 45} {
		p := partAt(t, shapes.Tube(r, long, around, 16), r3.Vec{X: r, Z: long / 2})
		k := ask(p, angle, 40)
		beds := bedsOf(t, p, k)
		lies(t, p, beds, k)
		n, cuts := cutsOf(beds)
		if len(beds) != 1 || n != 1 || math.Abs(cuts-long) > 1e-9 {
			t.Errorf("%d pieces, %d cuts of %.4f m", len(beds), n, cuts)
		}
		size := bounds(beds[0])
		α := angle * deg
		c, s := math.Abs(math.Cos(α)), math.Abs(math.Sin(α))
		a, b := girth*c+long*s, girth*s+long*c // of a rectangle that is turned
		if math.Abs(max(size.X, size.Y)-max(a, b)) > 1e-3 || math.Abs(min(size.X, size.Y)-min(a, b)) > 1e-3 {
			t.Errorf("flat %.4f by %.4f m, want %.4f by %.4f", size.X, size.Y, a, b)
		}
		for _, γ := range beds[0].Shear {
			if math.Abs(γ) > 1*deg {
				t.Fatalf("sheared by %.2f°", γ/deg)
			}
		}
	}
}

// A conical tube opens along one straight line, and so does an elbow, along the
// inside of its bend, where it is shortest: π/2·(R − r) for a right angle.
func TestOtherTubesOpenOnce(t *testing.T) {
	const bend, radius = 0.15, 0.04
	cone := shapes.Wound(40, 14, func(u, v float64) r3.Vec {
		r := 0.04 + 0.06*v
		return r3.Vec{X: r * math.Cos(2*math.Pi*u), Y: r * math.Sin(2*math.Pi*u), Z: -0.08 * v}
	})
	elbow := shapes.Elbow(bend, radius, math.Pi/2, 28, 22)
	b := elbow.Bounds()
	for _, c := range []struct {
		name string
		p    *Part
		want float64
	}{
		{"cone", partAt(t, cone, r3.Vec{X: 0.07, Z: -0.04}), 0.1},
		{"elbow", partAt(t, elbow, b.Max), math.Pi / 2 * (bend - radius)},
	} {
		k := ask(c.p, 0, 50)
		beds := bedsOf(t, c.p, k)
		lies(t, c.p, beds, k)
		if n, long := cutsOf(beds); len(beds) != 1 || n != 1 || math.Abs(long/c.want-1) > 0.03 {
			t.Errorf("%s: %d pieces, %d cuts of %.4f m, want one of %.4f", c.name, len(beds), n, long, c.want)
		}
	}
}

// A box with upright walls needs a slit at each corner as long as the wall is high,
// and the four are alike. On the bias of a square box a yarn from the seed runs into
// each corner and shares its curvature out to both sides, so that less will do.
func TestBoxNeedsFourSlits(t *testing.T) {
	size := r3.Vec{X: 0.2, Y: 0.2, Z: 0.06}
	for _, angle := range []float64{0, 45} {
		m := shapes.OpenBox(size, 12)
		b := m.Bounds()
		p := partAt(t, m, r3.Vec{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: b.Max.Z})
		k := ask(p, angle, 40)
		beds := bedsOf(t, p, k)
		lies(t, p, beds, k)
		n, long := cutsOf(beds)
		if len(beds) != 1 || n != 4 || angle == 0 && long < 4*size.Z*(1-1e-9) || long > 4*(size.Z+1.5*m.MeanEdge()) {
			t.Errorf("at %v°: %d pieces, %d slits of %.4f m together", angle, len(beds), n, long)
		}
		for _, s := range beds[0].Slits {
			if math.Abs(lengthOf(beds[0].Ground, s)-long/4) > 0.02*long {
				t.Errorf("at %v°: slits of %.4f and %.4f m on a square box", angle, lengthOf(beds[0].Ground, s), long/4)
			}
		}
	}
}

// A bowl of half a turn shears cloth by 52.4° (exact for a sphere); cloth that
// locks at 45° is slit a few times, no longer each than its radius.
func TestBowlNeedsFew(t *testing.T) {
	p := partAt(t, shapes.Cap(0.1, math.Pi/2, 14), r3.Vec{Z: 0.1})
	k := ask(p, 0, 45)
	beds := bedsOf(t, p, k)
	lies(t, p, beds, k)
	if n, long := cutsOf(beds); len(beds) != 1 || n < 4 || n > 6 || long > 0.4 {
		t.Errorf("%d pieces, %d slits of %.3f m", len(beds), n, long)
	}
}

// Half a ring round a hole is curved both ways and holds a whole turn in its
// middle: it is opened and parted until all lies. A stair goes round more than once
// and would lie over itself: it is parted.
func TestParted(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		most int
	}{
		{"ring", shapes.HalfTorus(0.12, 0.04, 36, 10), 4},
		{"stair", shapes.Stair(0.05, 0.2, 0.15, 1.5, 60, 10), 2},
	} {
		p := partAt(t, c.m, c.m.Centroid(len(c.m.Triangles)/2))
		k := ask(p, 0, 45)
		beds := bedsOf(t, p, k)
		lies(t, p, beds, k)
		if len(beds) < 2 || len(beds) > c.most {
			t.Errorf("%s: %d pieces", c.name, len(beds))
		}
		for i, b := range beds {
			for _, s := range b.Slits {
				if s.Left == nil && s.Right == nil {
					t.Errorf("%s: bed %d has a slit without sides", c.name, i)
				}
			}
		}
	}
}

// A plate wider than the roll is parted along the warp into as few strips as its
// width asks for.
func TestRollWidth(t *testing.T) {
	m := shapes.Patch(30, 18, func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: 0.6 * v} })
	p := partAt(t, m, r3.Vec{X: 0.5, Y: 0.3})
	k := ask(p, 0, 45)
	k.Width = 0.25
	beds := bedsOf(t, p, k)
	lies(t, p, beds, k)
	if _, long := cutsOf(beds); len(beds) != 3 || math.Abs(long-2) > 0.05 {
		t.Errorf("%d strips, %.3f m of seams; want 3 and 2 m", len(beds), long)
	}
}

// Cuts keep off a place that the person names, as long as there is another way;
// where there is none they run through it, and tell how far.
func TestKeepOff(t *testing.T) {
	m := shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.2, Z: 0.06}, 10)
	b := m.Bounds()
	p := partAt(t, m, r3.Vec{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: b.Max.Z})
	k := ask(p, 0, 40)
	k.KeepOff = []Ball{{r3.Vec{X: b.Max.X, Y: b.Max.Y, Z: b.Min.Z}, 0.015}}
	for _, bed := range bedsOf(t, p, k) {
		if bed.Trespass > 0 {
			t.Errorf("%.4f m of cuts in a place that can be kept off", bed.Trespass)
		}
	}
	k.KeepOff[0].Radius = 1
	if beds := bedsOf(t, p, k); beds[0].Trespass < 0.23 {
		t.Errorf("%.4f m of cuts in a place that is all there is", beds[0].Trespass)
	}
}

func TestForbidden(t *testing.T) {
	p := partAt(t, shapes.Cap(0.1, math.Pi/2, 12), r3.Vec{Z: 0.1})
	k := ask(p, 0, 40)
	k.Forbid = true
	beds := bedsOf(t, p, k)
	if n, _ := cutsOf(beds); len(beds) != 1 || n != 0 {
		t.Errorf("%d pieces and %d cuts where there are to be none", len(beds), n)
	}
}

// A drawn line through a plate parts it where it is drawn; a drawn slit that leaves
// into that seam ends there. What lies outside is counted as lost.
func TestDrawn(t *testing.T) {
	m := shapes.Patch(24, 16, func(u, v float64) r3.Vec { return r3.Vec{X: 0.3 * u, Y: 0.2 * v} })
	p := partAt(t, m, r3.Vec{X: 0.1, Y: 0.1})
	k := ask(p, 0, 45)
	k.Drawn = []Line{
		{From: r3.Vec{X: 0.2}, To: r3.Vec{X: 0.2, Y: 0.2}, Part: true},
		{From: r3.Vec{X: 0.05, Y: 0.1}, To: r3.Vec{X: 0.05}},
		{From: r3.Vec{X: 0.05, Y: 0.01}, To: r3.Vec{X: 0.05}, Part: true}, // from the same rim vertex to itself
	}
	beds := bedsOf(t, p, k)
	if n, long := cutsOf(beds); len(beds) != 2 || n != 2 || math.Abs(long-0.3) > 1e-6 {
		t.Errorf("%d pieces, %d cuts of %.4f m", len(beds), n, long)
	}
	if beds[0].Unreachable != 1 {
		t.Errorf("%d lines lost", beds[0].Unreachable)
	}
	if at := beds[0].SeedAt; math.Abs(at.X-0.1) > 0.06 {
		t.Errorf("the first bed begins at %v", at)
	}
}

func TestSamePlanAgain(t *testing.T) {
	lay := func() (out []float64) {
		p := partAt(t, shapes.Cap(0.1, math.Pi/2, 10), r3.Vec{Z: 0.1})
		for _, b := range bedsOf(t, p, ask(p, 0, 42)) {
			for _, q := range b.Flat {
				out = append(out, q.X, q.Y)
			}
		}
		return out
	}
	a, b := lay(), lay()
	if len(a) != len(b) {
		t.Fatal("another number of vertices")
	}
	for i := range a {
		if a[i] != b[i] {
			t.Fatal("another place")
		}
	}
}

func TestEndedCall(t *testing.T) {
	ctx, end := context.WithCancel(context.Background())
	end()
	p := partAt(t, shapes.Cap(0.1, math.Pi/2, 10), r3.Vec{Z: 0.1})
	if _, err := p.Beds(ctx, ask(p, 0, 40), nil); err == nil {
		t.Error("a call that was ended gave beds")
	}
	if _, err := p.Beds(context.Background(), ask(p, 0, 40), nil); err != nil {
		t.Errorf("after it: %v", err)
	}
}
