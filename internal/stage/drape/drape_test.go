package drape

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// The ODE that other tests lean on, against the table of the exact net on the
// sphere (Mack and Taylor 1956; derived independently): shear at uv/R².
func TestSphereLaw(t *testing.T) {
	for _, c := range [][2]float64{{0.10, 5.7264}, {0.25, 14.2744}, {0.50, 28.2568}, {1.00, 54.3183}, {1.50, 76.6263}} {
		if got := sphereShear(c[0]) / deg; math.Abs(got-c[1]) > 2e-4 {
			t.Errorf("uv = %.2f: %.4f°, want %.4f°", c[0], got, c[1])
		}
	}
}

// Every vertex of a hemisphere against the exact net, seed at the pole and, the
// sphere being alike everywhere, off it. The rim itself is held to in the table
// below.
func TestSphereVertices(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		n               int
		tilt, turn, rms float64
	}{{48, 0, 0, 0.13}, {48, 0, 0.4, 0.1}, {64, 0.35, 0.3, 0.15}} {
		m := dome(c.n, math.Pi/2)
		seed := r3.Vec{X: math.Sin(c.tilt), Z: math.Cos(c.tilt)}
		along := r3.Vec{X: math.Cos(c.tilt), Z: -math.Sin(c.tilt)}
		sin, cos := math.Sincos(c.turn)
		r := solved(t, inputOn(t, m, seed, r3.Add(r3.Scale(cos, along), r3.Vec{Y: sin})))
		var sum float64
		var miss []float64
		rim := topologyOf(t, m).RimVertices()
		for v, q := range r.Flat {
			if rim[v] {
				continue
			}
			d := (r.Shear[v] - math.Copysign(sphereShear(math.Abs(q.X*q.Y)), q.X*q.Y)) / deg
			sum, miss = sum+d*d, append(miss, math.Abs(d))
		}
		slices.Sort(miss)
		rms, most := math.Sqrt(sum/float64(len(miss))), miss[len(miss)*99/100]
		if rms > c.rms || most > 0.5 {
			t.Errorf("seed %.2f rad off the pole, warp turned %.1f: error %.3f° rms, over %.2f° on 1 %%", c.tilt, c.turn, rms, most)
		}
	}
}

// Shear on the bias of the hemisphere and the flat place of its rim, against the
// table: polar angle, shear, u = v.
func TestSphereTable(t *testing.T) {
	t.Parallel()
	m := dome(64, math.Pi/2)
	r := solved(t, inputOn(t, m, r3.Vec{Z: 1}, r3.Vec{X: 1}))
	table := [][3]float64{{30, 7.5204, 0.362465}, {45, 16.1128, 0.531476}, {60, 26.9457, 0.690070}, {75, 39.2695, 0.839125}, {90, 52.4252, 0.980507}}
	for _, c := range table {
		sin, cos := math.Sincos(c[0] * deg)
		for _, s := range [][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
			p := r3.Vec{X: s[0] * sin / math.Sqrt2, Y: s[1] * sin / math.Sqrt2, Z: cos}
			shear, flat := r.sample(m, p)
			if got := s[0] * s[1] * shear / deg; math.Abs(got-c[1]) > 0.3 {
				t.Errorf("%v°: shear %.3f°, want %.4f°", c[0], got, c[1])
			}
			if math.Abs(s[0]*flat.X-c[2]) > 1e-3 || math.Abs(s[1]*flat.Y-c[2]) > 1e-3 {
				t.Errorf("%v°: flat at %.5f, %.5f, want %.5f", c[0], flat.X, flat.Y, c[2])
			}
		}
	}
	if _, flat := r.sample(m, r3.Vec{X: 1}); math.Abs(flat.X-math.Pi/2) > 1e-3 {
		t.Errorf("the warp through the pole meets the rim at %.5f, want π/2", flat.X)
	}
	var area float64
	for _, f := range m.Triangles {
		a, b, c := r.Flat[f[0]], r.Flat[f[1]], r.Flat[f[2]]
		area += r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) / 2
	}
	if math.Abs(area/6.79382-1) > 1e-3 {
		t.Errorf("flat area %.5f, want 6.79382", area)
	}
}

// sample reads shear and flat place at the surface point nearest to p.
func (r *Result) sample(m *mesh.Mesh, p r3.Vec) (shear float64, flat r2.Vec) {
	hit, _ := mesh.NewLocator(m).Closest(p)
	for k, v := range m.Triangles[hit.Face] {
		shear += hit.Bary[k] * r.Shear[v]
		flat = r2.Add(flat, r2.Scale(hit.Bary[k], r.Flat[v]))
	}
	return shear, flat
}

// On z = f(x) + h(y) the profiles are net lines, so that in closed form
// sin γ = f′h′/√((1+f′²)(1+h′²)), with sign as (f′h′): the net closes on a dome.
func TestTranslationSurfaces(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		f, h   func(float64) float64
		df, dh func(float64) float64
	}{
		{"dome", func(x float64) float64 { return -x * x / 2 }, func(y float64) float64 { return -y * y / 2 },
			func(x float64) float64 { return -x }, func(y float64) float64 { return -y }},
		{"saddle", func(x float64) float64 { return x * x / 2 }, func(y float64) float64 { return -0.7 * y * y / 2 },
			func(x float64) float64 { return x }, func(y float64) float64 { return -0.7 * y }},
		{"waves", func(x float64) float64 { return 0.3 * math.Cos(2*x) }, func(y float64) float64 { return 0.2 * math.Cos(3*y) },
			func(x float64) float64 { return -0.6 * math.Sin(2*x) }, func(y float64) float64 { return -0.6 * math.Sin(3*y) }},
	} {
		var last float64
		for _, n := range []int{24, 48} {
			m := graph(0.9, n, func(x, y float64) float64 { return c.f(x) + c.h(y) })
			r := solved(t, inputOn(t, m, r3.Vec{Z: c.f(0) + c.h(0)}, r3.Vec{X: 1}))
			var sum float64
			worst := 0.0
			for v, p := range m.Vertices {
				a, b := c.df(p.X), c.dh(p.Y)
				want := math.Asin(a * b / math.Sqrt((1+a*a)*(1+b*b)))
				d := (r.Shear[v] - want) / deg
				sum, worst = sum+d*d, max(worst, math.Abs(d))
			}
			rms := math.Sqrt(sum / float64(len(m.Vertices)))
			if n == 48 && (rms > 0.12 || worst > 1.2) {
				t.Errorf("%s: error %.3f° rms, %.2f° at worst", c.name, rms, worst)
			}
			if n == 48 && math.Log2(last/rms) < 1.4 {
				t.Errorf("%s: halving the triangles takes the error from %.4f° to %.4f°, order %.2f, want nearly 2", c.name, last, rms, math.Log2(last/rms))
			}
			last = rms
		}
	}
}

// A surface that unrolls is not sheared, whichever way the cloth lies, and its
// flat area is its own.
func TestDevelopable(t *testing.T) {
	t.Parallel()
	cylinder := sheetOf(40, 30, func(s, u float64) r3.Vec {
		return r3.Vec{X: math.Sin(2.6 * (s - 0.5)), Y: 2 * u, Z: math.Cos(2.6 * (s - 0.5))}
	})
	// frustum of radii 1 and 3, height 4, over less than a full turn
	cone := sheetOf(60, 45, func(s, u float64) r3.Vec {
		r, φ := 1+2*u, 4*(s-0.5)
		return r3.Vec{X: r * math.Cos(φ), Y: r * math.Sin(φ), Z: 4 * u}
	})
	for name, m := range map[string]*mesh.Mesh{"cylinder": cylinder, "cone": cone.Flipped()} {
		for _, turn := range []float64{0, 0.5, 1.1} {
			seed := m.Centroid(len(m.Triangles)/2 + 20)
			in := inputOn(t, m, seed, r3.Vec{X: 0.1, Y: math.Cos(turn), Z: math.Sin(turn)})
			r := solved(t, in)
			for v, γ := range r.Shear {
				if math.Abs(γ) > 0.3*deg {
					t.Errorf("%s, %.1f: %.3f° of shear at %v", name, turn, γ/deg, m.Vertices[v])
					break
				}
			}
			var area float64
			for _, f := range m.Triangles {
				area += r2.Cross(r2.Sub(r.Flat[f[1]], r.Flat[f[0]]), r2.Sub(r.Flat[f[2]], r.Flat[f[0]])) / 2
			}
			if math.Abs(area/m.Area()-1) > 1e-5 {
				t.Errorf("%s, %.1f: flat area %.6f of %.6f", name, turn, area, m.Area())
			}
		}
	}
}

// pyramid is a square top of half-width 1 with walls at an angle to the
// horizontal: all curvature is in its four corners.
func pyramid(β float64) *mesh.Mesh {
	return graph(2.5, 40, func(x, y float64) float64 {
		return -math.Tan(β) * max(0, math.Abs(x)-1, math.Abs(y)-1)
	})
}

// Behind the sharp corner of a truncated pyramid the shear is the corner's
// curvature, 90° − 2·asin(cot β/√(1 + 2·cot²β)); on top and walls it is nothing.
func TestBoxCorner(t *testing.T) {
	for _, c := range [][2]float64{{30, 8.21}, {45, 19.47}, {60, 36.87}} {
		in := inputOn(t, pyramid(c[0]*deg), r3.Vec{X: 0.01, Y: 0.02}, r3.Vec{X: 1})
		n := kinematic(t, in, 0.107)
		far := int(1.5 / n.Step)
		for _, s := range [][2]int{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
			p, ok := n.Node(s[0]*far, s[1]*far)
			if got := float64(s[0]*s[1]) * p.Shear / deg; !ok || math.Abs(got-c[1]) > 0.01 {
				t.Errorf("walls at %v°: shear behind the corner %.3f°, want %.2f°", c[0], got, c[1])
			}
		}
		if p, ok := n.Node(far, 1); !ok || math.Abs(p.Shear) > 1e-6 {
			t.Errorf("walls at %v°: shear on the wall %.4f°, want 0", c[0], p.Shear/deg)
		}
	}
}

// Far behind a bump on a plane the shear is nothing again; over it, the nodes of
// z = ½·exp(−2(x² + y²)) (independent discrete net, extrapolated to four digits).
func TestBump(t *testing.T) {
	t.Parallel()
	m := graph(1.5, 96, func(x, y float64) float64 { return 0.5 * math.Exp(-2*(x*x+y*y)) })
	n := kinematic(t, inputOn(t, m, r3.Vec{Z: 0.5}, r3.Vec{X: 1}), 0.0375)
	for _, c := range []struct {
		i, j int
		want float64
	}{{10, 10, 11.9960}, {20, 20, 8.1918}, {30, 30, 1.2298}, {20, 10, 11.2804}, {30, 15, 7.5309}} {
		p, ok := n.Node(c.i, c.j)
		if !ok || math.Abs(p.Shear/deg-c.want) > 0.1 {
			t.Errorf("node %d, %d: %.4f°, want %.4f°", c.i, c.j, p.Shear/deg, c.want)
		}
	}
}

// The identity of nets with geodesic generators: shear is the curvature that the
// net's rectangle encloses, which on a mesh is the sum of the angles that its
// vertices lack to 360°.
func TestShearIsEnclosedCurvature(t *testing.T) {
	m := graph(1, 40, func(x, y float64) float64 { return 0.4*math.Sin(2*x+0.3)*math.Cos(1.5*y-0.2) + 0.1*x*y })
	in := inputOn(t, m, r3.Vec{X: 0.03, Y: 0.02, Z: 0.1}, r3.Vec{X: 1, Y: 0.3})
	n := onFacets(t, in, 0.02)
	o := placeByNet(n, len(m.Triangles))
	lack := make([]float64, len(m.Vertices))
	for v := range lack {
		lack[v] = 2 * math.Pi
	}
	for f, tri := range m.Triangles {
		for k, a := range m.Angles(f) {
			lack[tri[k]] -= a
		}
	}
	tested := 0
	for _, c := range [][2]int{{20, 20}, {-20, 20}, {-15, -25}, {25, -12}, {30, 15}} {
		p, ok := n.Node(c[0], c[1])
		if !ok || p.Cells < 4 {
			continue
		}
		tested++
		u, v := float64(c[0])*n.Step, float64(c[1])*n.Step
		var inside float64
		for i, q := range o.flat {
			if o.known(int32(i)) && q.X/u > 0 && q.X/u < 1 && q.Y/v > 0 && q.Y/v < 1 {
				inside += lack[i]
			}
		}
		if want := math.Copysign(1, u*v) * inside; math.Abs(p.Shear-want) > 0.5*deg {
			t.Errorf("node %v: shear %.3f°, enclosed %.3f°", c, p.Shear/deg, want/deg)
		}
	}
	if tested < 4 {
		t.Errorf("only %d nodes could be tested", tested)
	}
}

// Node (1, 1) of the sphere's net is 54.3183°; the error falls with the square
// of the step.
func TestNetOrder(t *testing.T) {
	t.Parallel()
	in := inputOn(t, dome(160, math.Pi/2), r3.Vec{Z: 1}, r3.Vec{X: 1})
	e := func(k int) float64 {
		p, _ := kinematic(t, in, 0.8/float64(k)).Node(k, k)
		return math.Abs(p.Shear - sphereShear(0.64))
	}
	a, b := e(4), e(8)
	if order := math.Log2(a / b); order < 1.6 || b > 0.4*deg {
		t.Errorf("error %.3f° then %.3f°: order %.2f, want 2", a/deg, b/deg, order)
	}
}

// Turning and growing the mould changes nothing but the scale.
func TestTurnedMould(t *testing.T) {
	m := graph(1, 20, func(x, y float64) float64 { return -0.3*x*x - 0.2*y*y + 0.1*x*y })
	q := r3.NewRotation(1.1, r3.Vec{X: 0.3, Y: -0.5, Z: 0.8})
	big := m.Clone()
	for v, p := range big.Vertices {
		big.Vertices[v] = r3.Scale(0.1, q.Rotate(p))
	}
	a := solved(t, inputOn(t, m, r3.Vec{}, r3.Vec{X: 1, Y: 0.2}))
	b := solved(t, inputOn(t, big, r3.Vec{}, q.Rotate(r3.Vec{X: 1, Y: 0.2})))
	for v := range a.Flat {
		if d := r2.Norm(r2.Sub(r2.Scale(0.1, a.Flat[v]), b.Flat[v])); d > 1e-6 || math.Abs(a.Shear[v]-b.Shear[v]) > 1e-4 {
			t.Fatalf("vertex %d moves by %.2g, shear by %.2g", v, d, a.Shear[v]-b.Shear[v])
		}
		if d := r3.Norm(r3.Sub(q.Rotate(a.Warp[v]), b.Warp[v])); d > 1e-3 {
			t.Fatalf("the warp at vertex %d turns by %.2g", v, d)
		}
	}
}

// Yarns are unit vectors in the surface that stand at 90° less the shear, the
// weft to the left of the warp seen from outside.
func TestYarnDirections(t *testing.T) {
	m := dome(24, 1.2)
	r := solved(t, inputOn(t, m, r3.Vec{Z: 1}, r3.Vec{X: 1, Y: 1}))
	for v, n := range m.VertexNormals() {
		a, b := r.Warp[v], r.Weft[v]
		angle := math.Atan2(r3.Dot(n, r3.Cross(a, b)), r3.Dot(a, b))
		if math.Abs(r3.Norm(a)-1)+math.Abs(r3.Norm(b)-1)+math.Abs(r3.Dot(a, n))+math.Abs(r3.Dot(b, n)) > 1e-9 ||
			math.Abs(angle-(math.Pi/2-r.Shear[v])) > 1e-9 {
			t.Fatalf("vertex %d: warp %v, weft %v, normal %v, shear %.3f", v, a, b, n, r.Shear[v])
		}
	}
}

// A hole is flowed round: the cloth on a dome with a window is that on the dome,
// but for what the window's own curvature would have added behind it.
func TestHole(t *testing.T) {
	f := func(x, y float64) float64 { return -(x*x + y*y) / 4 }
	m := graph(1, 40, f)
	whole := m.Triangles
	m.Triangles = nil
	for _, tri := range whole {
		c := (&mesh.Mesh{Vertices: m.Vertices, Triangles: [][3]int32{tri}}).Centroid(0)
		if math.Abs(c.X-0.5) > 0.1 || math.Abs(c.Y-0.5) > 0.1 {
			m.Triangles = append(m.Triangles, tri)
		}
	}
	r := solved(t, inputOn(t, m, r3.Vec{}, r3.Vec{X: 1}))
	top := topologyOf(t, m)
	for v, p := range m.Vertices {
		if len(top.VertexFaces(v)) == 0 || max(math.Abs(p.X), math.Abs(p.Y)) > 0.91 {
			continue // nothing to lay, or at the rim where a triangle's width of curvature tells
		}
		a, b := -p.X/2, -p.Y/2
		want := math.Asin(a * b / math.Sqrt((1+a*a)*(1+b*b)))
		limit := 0.4 * deg
		if p.X > 0.3 && p.Y > 0.3 {
			limit = 2 * deg
		}
		if math.Abs(r.Shear[v]-want) > limit {
			t.Errorf("at (%.2f, %.2f): %.2f°, on the whole dome %.2f°", p.X, p.Y, r.Shear[v]/deg, want/deg)
		}
	}
}

// A box with steep walls cannot be draped whole; the cloth still lies down, with
// no triangle turned over and the shear behind the corners far over any limit.
func TestSteepBoxLiesDown(t *testing.T) {
	t.Parallel()
	in := inputOn(t, pyramid(80*deg), r3.Vec{}, r3.Vec{X: 1})
	in.Locking = 45 * deg
	r := solved(t, in)
	worst := 0.0
	for _, γ := range r.Shear {
		worst = max(worst, math.Abs(γ))
	}
	if worst < 50*deg || worst > 90*deg {
		t.Errorf("largest shear %.1f°; the corner's curvature is 70.3°", worst/deg)
	}
}
