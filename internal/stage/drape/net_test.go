package drape

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// flatNet lays a net on part of a plate and checks every node against the
// lattice that it must be, and that it comes to every vertex.
func flatNet(t *testing.T, m *mesh.Mesh, seed r3.Vec, turn, h float64) *Net {
	t.Helper()
	sin, cos := math.Sincos(turn)
	in := inputOn(t, m, seed, r3.Vec{X: cos, Y: sin})
	n := kinematic(t, in, h)
	for _, p := range n.Nodes {
		u, v := h*float64(p.I), h*float64(p.J)
		want := r3.Add(m.At(in.Seed), r3.Vec{X: cos*u - sin*v, Y: sin*u + cos*v})
		if r3.Norm(r3.Sub(p.At, want)) > 1e-6*h || math.Abs(p.Shear) > 1e-7 {
			t.Fatalf("node %d, %d at %v, want %v; shear %.2g", p.I, p.J, p.At, want, p.Shear)
		}
	}
	if n.Collapsed != 0 || n.Seams != 0 {
		t.Errorf("%d collapsed, %d seams", n.Collapsed, n.Seams)
	}
	reached(t, n, 2.2)
	return n
}

// reached checks that no vertex is further from a node than so many steps.
func reached(t *testing.T, n *Net, steps float64) {
	t.Helper()
	miss := 0
	for v, p := range n.s.Vertices {
		if len(n.s.topology.VertexFaces(v)) == 0 {
			continue
		}
		near := math.Inf(1)
		for i := range n.Nodes {
			near = min(near, r3.Norm2(r3.Sub(n.Nodes[i].At, p)))
		}
		if math.Sqrt(near) > steps*n.Step {
			miss++
		}
	}
	if miss > 0 {
		t.Errorf("%d vertices are further than %.1f steps from the net", miss, steps)
	}
}

func level0(x, y float64) float64 { return 0 }

// On a plate a net is a lattice. It flows over holes of any form, round a slit, into
// the second leg of an L and the bays of a comb; and where it meets itself behind
// the slit it fits.
func TestNetFlowsRound(t *testing.T) {
	t.Parallel()
	hole := without(t, graph(1, 60, level0), func(p r3.Vec) bool { return math.Hypot(p.X-0.4, p.Y-0.1) < 0.25 })
	angle := without(t, graph(1, 60, level0), func(p r3.Vec) bool { return p.X > -0.5 && p.Y > -0.5 })
	comb := without(t, graph(1, 60, level0), func(p r3.Vec) bool { return p.Y > -0.6 && math.Mod(p.X+1, 0.5) < 0.25 })
	crescent := without(t, graph(1, 60, level0), func(p r3.Vec) bool {
		return math.Hypot(p.X-0.4, p.Y-0.1) < 0.45 && math.Hypot(p.X-0.2, p.Y-0.1) > 0.4
	})
	slit := cutOpen(graph(1, 60, level0), func(p r3.Vec) bool { return math.Abs(p.X) < 1e-9 && math.Abs(p.Y) < 0.45 }, func(p r3.Vec) bool { return p.X > 0 })
	for name, c := range map[string]struct {
		m    *mesh.Mesh
		seed r3.Vec
		free bool
	}{"slit": {slit, r3.Vec{X: -0.313, Y: 0.031}, true}, "hole": {hole, r3.Vec{X: -0.313, Y: 0.031}, false}, "crescent": {crescent, r3.Vec{X: -0.313, Y: 0.031}, false},
		"L": {angle, r3.Vec{X: -0.713, Y: 0.631}, true}, "comb": {comb, r3.Vec{X: -0.613, Y: 0.231}, true}} {
		for _, turn := range []float64{0, 0.3, 1} {
			t.Run(fmt.Sprintf("%s %.1f", name, turn), func(t *testing.T) {
				n := flatNet(t, c.m, c.seed, turn, 0.041)
				free := 0
				for _, p := range n.Nodes {
					if p.Free {
						free++
					}
				}
				if turn == 0 && c.free != (free > 0) || free == len(n.Nodes) { // turned, the plate's corners are bays too
					t.Errorf("%d of %d nodes hang on later lines", free, len(n.Nodes))
				}
			})
		}
	}
}

// fromSphere returns the largest difference, rad, of the net's shear from that of
// the unit sphere.
func fromSphere(n *Net) (most float64) {
	for _, p := range n.Nodes {
		if p.Cells == 4 && !p.Free {
			uv := float64(p.I) * float64(p.J) * n.Step * n.Step
			most = max(most, math.Abs(p.Shear-math.Copysign(sphereShear(math.Abs(uv)), uv)))
		}
	}
	return most
}

// On a dome with jagged holes the net comes everywhere and meets itself without a
// seam: what the yarns enclose is their shear behind a hole too, the hole's own
// curvature with it. From the whole dome's it differs by how flat the lid is.
func TestNetOnHoledDome(t *testing.T) {
	for name, holes := range map[string][]r3.Vec{
		"on the warp": {{X: 0.5, Y: 0.03, Z: 0.87}},
		"aside":       {{X: 0.4, Y: 0.35, Z: 0.85}},
		"four":        {{X: 0.5, Y: 0.1, Z: 0.86}, {X: -0.1, Y: 0.6, Z: 0.79}, {X: -0.6, Y: -0.1, Z: 0.79}, {X: 0.2, Y: -0.5, Z: 0.84}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := without(t, dome(64, 80*deg), func(p r3.Vec) bool {
				for _, h := range holes {
					if r3.Norm(r3.Sub(p, h)) < 0.16 {
						return true
					}
				}
				return false
			})
			n := onFacets(t, inputOn(t, m, r3.Vec{X: 0.011, Y: 0.007, Z: 1}, r3.Vec{X: 1, Y: 0.2}), 0.04)
			reached(t, n, 2)
			cells := cellsHoldTheirCurvature(t, n)
			count, worst, _ := identity(t, n)
			t.Logf("%d nodes, %d cells, %d compared, %.3f° off, from the sphere %.3f°", len(n.Nodes), cells, count, worst/deg, fromSphere(n)/deg)
			if count < 2500 || worst > 0.1*deg || fromSphere(n) > 2*deg || n.Collapsed > 0 || n.Seams > 0 {
				t.Errorf("%d nodes compared, %.3f° off, from the sphere %.3f°; %d collapsed, %d seams", count, worst/deg, fromSphere(n)/deg, n.Collapsed, n.Seams)
			}
		})
	}
}

// A round hole is closed smoothly, and the net behind is that of the whole dome.
func TestNetOverRoundHole(t *testing.T) {
	t.Parallel()
	m := capOf(40, 120, 90*deg)
	whole := fromSphere(kinematic(t, inputOn(t, m, r3.Vec{X: 0.5, Y: 0.02, Z: 0.86}, r3.Vec{X: 1, Y: 0.2, Z: -0.6}), 0.04))
	m = without(t, m, func(p r3.Vec) bool { return math.Acos(p.Z) < 18*deg })
	n := kinematic(t, inputOn(t, m, r3.Vec{X: 0.5, Y: 0.02, Z: 0.86}, r3.Vec{X: 1, Y: 0.2, Z: -0.6}), 0.04)
	if most := fromSphere(n); most > whole+0.3*deg || n.Seams > 0 {
		t.Errorf("%.3f° from the sphere, without the hole %.3f°; %d seams", most/deg, whole/deg, n.Seams)
	}
	t.Logf("from the sphere %.3f°, without the hole %.3f°", fromSphere(n)/deg, whole/deg)
}

// The end of a pipe is no hole to be covered, nor is a slit.
func TestOpeningsStayOpen(t *testing.T) {
	pipe := round(40, 20, false, func(turn, a float64) r3.Vec { return r3.Vec{X: math.Cos(turn), Y: math.Sin(turn), Z: 3 * a} })
	slit := cutOpen(graph(1, 20, level0), func(p r3.Vec) bool { return p.Y == 0 && math.Abs(p.X) < 0.35 }, func(p r3.Vec) bool { return p.Y > 0 })
	for name, m := range map[string]*mesh.Mesh{"pipe": pipe, "slit": slit} {
		s := newSurface(topologyOf(t, m))
		if loops := len(s.topology.RimLoops()); loops != 2 {
			t.Errorf("%s: %d rims", name, loops)
		}
		if over, err := s.overHoles(); err != nil || over != s {
			t.Errorf("%s: closed, %v", name, err)
		}
	}
}

// waving is a cone over a waving line: it has more than 360° at its tip and no
// curvature elsewhere.
func waving(wave float64) *mesh.Mesh {
	const around, rings = 96, 16
	m := &mesh.Mesh{Vertices: []r3.Vec{{}}}
	for i := 1; i <= rings; i++ {
		for k := range around {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / around)
			d := r3.Unit(r3.Vec{X: cos, Y: sin, Z: wave * 2 * sin * cos})
			m.Vertices = append(m.Vertices, r3.Scale(float64(i)/rings, d))
		}
	}
	id := func(i, k int) int32 { return int32(1 + (i-1)*around + k%around) }
	for k := range around {
		m.Triangles = append(m.Triangles, [3]int32{0, id(1, k), id(1, k+1)})
		for i := 1; i < rings; i++ {
			m.Triangles = append(m.Triangles, [3]int32{id(i, k), id(i+1, k), id(i+1, k+1)}, [3]int32{id(i, k), id(i+1, k+1), id(i, k+1)})
		}
	}
	return m
}

// beforeTip places the seed by straight lines back from the tip: so far along the
// weft, then so far along the warp.
func beforeTip(t *testing.T, m *mesh.Mesh, u, v float64) Input {
	t.Helper()
	top := topologyOf(t, m)
	back := func(from mesh.Point, dir r3.Vec, length float64) mesh.Station {
		line, err := top.Trace(from, dir, length)
		if err != nil {
			t.Fatal(err)
		}
		return line.End(m)
	}
	tip := mesh.Point{Bary: [3]float64{1, 0, 0}}
	weft := back(tip, r3.Vec{X: 0.21, Y: -1}, v)
	warp := back(weft.Point, r3.Cross(weft.Dir, m.FaceNormal(weft.Face)), u)
	return Input{Surface: top, Seed: warp.Point, Warp: r3.Scale(-1, warp.Dir)}
}

// Behind the tip of a waving cone the shear is what it has too much of, and in
// front and beside there is none, also where yarns come so near to the tip that
// no straight line reaches behind it.
func TestNetBehindSaddleTip(t *testing.T) {
	t.Parallel()
	const h = 0.041
	for _, wave := range []float64{0.1, 0.3, 0.5} {
		m := waving(wave)
		tip := topologyOf(t, m).AngleDefects()[0]
		bent := 0
		for _, aside := range []float64{-0.3, -0.1, -0.01, 0.003, 0.01, 0.2} {
			in := beforeTip(t, m, 6*h+aside*h, 5.4*h)
			n := onFacets(t, in, h)
			// what is before the tip is so many rows and columns; the next ones are in doubt
			var first [2]int32
			for _, p := range n.Nodes {
				if p.wedged {
					bent++
				}
				if n.whole(cell{p.I, p.J}) {
					if a, b := n.within(cell{p.I, p.J}, r3.Vec{}); a > 0 && a < 1 && b > 0 && b < 1 {
						first = [2]int32{p.I, p.J}
					}
				}
			}
			behind := 0
			for _, p := range n.Nodes {
				if p.Cells < 4 || p.I >= first[0]-2 && p.I <= first[0]+3 || p.J >= first[1]-2 && p.J <= first[1]+3 {
					continue
				}
				want := 0.0
				if p.I > first[0] && p.J > first[1] {
					want, behind = tip, behind+1
				}
				if math.Abs(p.Shear-want) > 1e-5 {
					t.Errorf("wave %v, seed %v, node %d, %d: %.4f°, want %.4f°", wave, aside, p.I, p.J, p.Shear/deg, want/deg)
					break
				}
			}
			if behind < 30 || n.Collapsed > 0 {
				t.Errorf("wave %v, seed %v: %d nodes behind the tip %v, %d collapsed", wave, aside, behind, first, n.Collapsed)
			}
		}
		if bent == 0 {
			t.Errorf("wave %v: no yarn had to bend at the tip", wave)
		}
		t.Logf("tip %.2f°, %d yarns bend there", tip/deg, bent)
	}
}

// The error of node (1, 1) of the unit sphere's net, 54.3183°, falls with the
// square of the step, on triangles that are much finer. Where the step is the
// triangles' mean side the generators' wrong turns on them tell as well, which
// fall with the power 3/2 of their size.
func TestNetIsOfSecondOrder(t *testing.T) {
	t.Parallel()
	fine := inputOn(t, dome(200, 125*deg), r3.Vec{Z: 1}, r3.Vec{X: 1})
	at := func(in Input, k int) float64 {
		p, ok := kinematic(t, in, 1/float64(k)).Node(k, k)
		if !ok || p.Cells < 4 {
			t.Fatalf("no node at step 1/%d", k)
		}
		return math.Abs(p.Shear/deg - 54.3183)
	}
	a, b := at(fine, 5), at(fine, 10)
	if order := math.Log2(a / b); math.Abs(order-2) > 0.15 {
		t.Errorf("errors %.4f°, %.4f°: order %.2f, want 2", a, b, order)
	}
	t.Logf("steps of 1/5 and 1/10: %.4f°, %.4f° off", a, b)
	var e [3]float64
	for i, n := range []int{24, 48, 96} {
		m := dome(n, 100*deg)
		net := onFacets(t, inputOn(t, m, r3.Vec{X: 0.011, Y: 0.007, Z: 1}, r3.Vec{X: 1, Y: 0.2}), m.MeanEdge())
		var sum, count float64
		for _, p := range net.Nodes {
			if p.Cells == 4 {
				uv := float64(p.I) * float64(p.J) * net.Step * net.Step
				d := p.Shear/deg - math.Copysign(sphereShear(math.Abs(uv)), uv)/deg
				sum, count = sum+d*d, count+1
			}
		}
		e[i] = math.Sqrt(sum / count)
	}
	t.Logf("triangles halved twice: %.4f°, %.4f°, %.4f° rms", e[0], e[1], e[2])
	if order := math.Log2(e[0]/e[2]) / 2; !(order > 1.3) {
		t.Errorf("errors %.4f°, %.4f°, %.4f°: order %.2f, want 1.5", e[0], e[1], e[2], order)
	}
}

// other returns the same surface turned, grown by a scale and moved, its vertices
// and triangles in another order and the triangles begun at other corners; and the
// vertices' new numbers.
func other(m *mesh.Mesh, q r3.Rotation, scale float64) (*mesh.Mesh, []int) {
	rng := rand.New(rand.NewPCG(11, 13))
	to := rng.Perm(len(m.Vertices))
	out := &mesh.Mesh{Vertices: make([]r3.Vec, len(to)), Triangles: make([][3]int32, len(m.Triangles))}
	for v, p := range m.Vertices {
		out.Vertices[to[v]] = r3.Add(r3.Scale(scale, q.Rotate(p)), r3.Vec{X: 3, Y: -2, Z: 7})
	}
	for i, f := range rng.Perm(len(m.Triangles)) {
		first := rng.IntN(3)
		for k := range 3 {
			out.Triangles[i][k] = int32(to[m.Triangles[f][(k+first)%3]])
		}
	}
	return out, to
}

// Another order of the vertices, a turn and another scale change nothing in a
// net, but for rounding.
func TestNetIsTheSameTurned(t *testing.T) {
	t.Parallel()
	q := r3.NewRotation(1.1, r3.Vec{X: 0.3, Y: -0.5, Z: 0.8})
	holed := without(t, graph(1, 30, bumpy), func(p r3.Vec) bool { return math.Hypot(p.X-0.4, p.Y-0.1) < 0.2 })
	for name, c := range map[string]struct {
		m          *mesh.Mesh
		seed, warp r3.Vec
	}{
		"dome":  {dome(40, 80*deg), r3.Vec{X: 0.1, Y: 0.2, Z: 0.97}, r3.Vec{X: 1, Y: 0.3}},
		"apex":  {dome(40, 80*deg), r3.Vec{Z: 1}, r3.Vec{X: 1}}, // along rows of vertices
		"box":   {draftedBox(30, 0.03, 60*deg), r3.Vec{X: 0.011, Y: 0.007}, r3.Vec{X: 1}},
		"holed": {holed, r3.Vec{X: -0.3, Y: 0.1, Z: 0.3}, r3.Vec{X: 1, Y: 0.3}},
	} {
		for _, scale := range []float64{1, 1e-3, 40} {
			m, _ := other(c.m, q, scale)
			in := inputOn(t, c.m, c.seed, c.warp)
			h := 1.1 * c.m.MeanEdge()
			tie := 1e-6 // rad
			if name == "apex" {
				tie = 5e-5 // nodes on sides are seen in the plane of the triangle on either hand
			}
			move := func(p r3.Vec) r3.Vec { return r3.Add(r3.Scale(scale, q.Rotate(p)), r3.Vec{X: 3, Y: -2, Z: 7}) }
			a, size := kinematic(t, in, h), scale*c.m.Diagonal()
			b := kinematic(t, inputOn(t, m, move(c.m.At(in.Seed)), q.Rotate(c.warp)), h*scale)
			if len(a.Nodes) != len(b.Nodes) || a.Collapsed != b.Collapsed || a.Seams != b.Seams {
				t.Errorf("%s, scale %v: %d nodes, %d collapsed, %d seams; then %d, %d, %d", name, scale, len(a.Nodes), a.Collapsed, a.Seams, len(b.Nodes), b.Collapsed, b.Seams)
			}
			for _, p := range a.Nodes {
				r, ok := b.Node(int(p.I), int(p.J))
				if !ok || r3.Norm(r3.Sub(move(p.At), r.At)) > 1e-6*size || math.Abs(p.Shear-r.Shear) > tie {
					t.Errorf("%s, scale %v: node %d, %d: %v sheared by %.9f, then %v by %.9f", name, scale, p.I, p.J, move(p.At), p.Shear, r.At, r.Shear)
					break
				}
			}
		}
	}
}

// BenchmarkNet lays the net with steps of the mean side, as [Solve] does, on a
// dome and on a box with rounded corners.
func BenchmarkNet(b *testing.B) {
	for _, k := range []int{10, 30, 100, 300} {
		n := int(math.Sqrt(float64(k) * 500))
		for _, c := range []struct {
			name string
			m    *mesh.Mesh
		}{{"dome", dome(n, 75*deg)}, {"box", draftedBox(n, 0.03, 40*deg)}} {
			top, err := mesh.NewTopology(c.m)
			if err != nil {
				b.Fatal(err)
			}
			hit, _ := mesh.NewLocator(c.m).Closest(r3.Vec{X: 0.001, Y: 0.002, Z: 1})
			in := Input{Surface: top, Seed: hit.Point, Warp: r3.Vec{X: 1, Y: 0.1}}
			step := c.m.MeanEdge()
			b.Run(fmt.Sprintf("%s/%dk", c.name, k), func(b *testing.B) {
				for b.Loop() {
					net, err := Kinematic(in, step)
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(float64(len(net.Nodes)), "nodes")
				}
			})
		}
	}
}
