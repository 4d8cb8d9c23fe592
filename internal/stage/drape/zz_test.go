package drape

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

func loadSTL(p string) *mesh.Mesh {
	b, err := os.ReadFile(p)
	if err != nil {
		panic(err)
	}
	n := int(binary.LittleEndian.Uint32(b[80:]))
	m := &mesh.Mesh{}
	at := map[[3]int64]int32{}
	f := func(i int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[i:]))) / 1000 }
	for k := range n {
		var t [3]int32
		for c := range 3 {
			o := 84 + 50*k + 12 + 12*c
			v := r3.Vec{X: f(o), Y: f(o + 4), Z: f(o + 8)}
			key := [3]int64{int64(math.Round(v.X * 1e7)), int64(math.Round(v.Y * 1e7)), int64(math.Round(v.Z * 1e7))}
			i, ok := at[key]
			if !ok {
				i = int32(len(m.Vertices))
				at[key] = i
				m.Vertices = append(m.Vertices, v)
			}
			t[c] = i
		}
		if t[0] == t[1] || t[1] == t[2] || t[0] == t[2] {
			continue
		}
		m.Triangles = append(m.Triangles, t)
	}
	return m
}

func runZ(t *testing.T, m *mesh.Mesh, seed, warp r3.Vec, lock float64, film bool) *Result {
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	hit, _ := mesh.NewLocator(m).Closest(seed)
	t0 := time.Now()
	r, err := Solve(context.Background(), Input{Surface: top, Seed: hit.Point, Warp: warp, Locking: si.Degrees(lock), Film: film})
	if err != nil {
		t.Fatal(err)
	}
	mx, wmax, wmin := 0.0, 0.0, 0.0
	for _, g := range r.Shear {
		mx = max(mx, math.Abs(g))
	}
	for _, e := range r.Stretch {
		wmax = max(wmax, e[0], e[1])
		wmin = min(wmin, e[0], e[1])
	}
	fmt.Printf("V %d nodes %d coll %d steps %d res %.1e cov %.2f max shear %.3f strain %.4f %.4f time %v\n", len(m.Vertices), len(r.Net.Nodes), r.Net.Collapsed, r.Steps, r.Residual, r.Covered, mx*180/math.Pi, wmin, wmax, time.Since(t0))
	return r
}

func near(m *mesh.Mesh, x, y, z float64) int {
	b, k := 1e9, 0
	for i, v := range m.Vertices {
		if d := r3.Norm(r3.Sub(v, r3.Vec{X: x / 1000, Y: y / 1000, Z: z / 1000})); d < b {
			b, k = d, i
		}
	}
	return k
}

func TestZ(t *testing.T) {
	J := "/work/shared/checks/jobs/"
	m := loadSTL(J + "hemisphere-100.stl")
	r := runZ(t, m, r3.Vec{Z: .1}, r3.Vec{X: 1}, 50, false)
	for _, c := range [][4]float64{{35.355339, 35.355339, 86.60254, 7.5204}, {50, 50, 70.710678, 16.1128}, {61.237244, 61.237244, 50, 26.9457}, {68.30127, 68.30127, 25.881905, 39.2695}, {70.7107, 70.7107, 0, 52.4252}, {-61.237244, 61.237244, 50, 26.9457}, {50, 0, 86.60254, 0}, {86.60254, 0, 50, 0}} {
		fmt.Printf("%.3f want %.3f\n", r.Shear[near(m, c[0], c[1], c[2])]*180/math.Pi, c[3])
	}
	m = loadSTL(J + "paraboloid.stl")
	r = runZ(t, m, r3.Vec{}, r3.Vec{X: 1}, 50, false)
	for _, c := range [][4]float64{{30, 30, -6, 2.2042}, {60, 60, -24, 7.9281}, {-60, 30, -15, 4.1769}, {80, -60, -33.3333, 10.0654}, {60, 0, -12, 0}} {
		fmt.Printf("%.3f want %.3f\n", r.Shear[near(m, c[0], c[1], c[2])]*180/math.Pi, c[3])
	}
	m = loadSTL(J + "cylinder-r60.stl")
	r = runZ(t, m, r3.Vec{Y: .1, Z: .06}, r3.Vec{X: 1}, 50, false)
	r = runZ(t, m, r3.Vec{Y: .1, Z: .06}, r3.Vec{X: 1, Y: .7}, 50, false)
	for _, n := range []string{"gen_hemisphere_flange", "gen_drafted_box", "gen_s_duct_half", "gen_fairing_half"} {
		m = loadSTL("/work/shared/reference/meshes/" + n + ".stl")
		fmt.Println(n)
		c := r3.Vec{Z: 1}
		r = runZ(t, m, c, r3.Vec{X: 1}, 50, false)
	}
}

func gexact(z float64) float64 {
	r := 2 * math.Sqrt(z)
	n := 4000
	h := r / float64(n)
	g, p := 0.0, 0.0
	f := func(x, g, p float64) float64 {
		if x == 0 {
			return 0.5
		}
		return math.Cos(g) - p/x
	}
	for i := range n {
		x := float64(i) * h
		k1, l1 := p, f(x, g, p)
		k2, l2 := p+h/2*l1, f(x+h/2, g+h/2*k1, p+h/2*l1)
		k3, l3 := p+h/2*l2, f(x+h/2, g+h/2*k2, p+h/2*l2)
		k4, l4 := p+h*l3, f(x+h, g+h*k3, p+h*l3)
		g += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
		p += h / 6 * (l1 + 2*l2 + 2*l3 + l4)
	}
	return g
}

func TestY(t *testing.T) {
	m := loadSTL("/work/shared/checks/jobs/hemisphere-100.stl")
	r := runZ(t, m, r3.Vec{Z: .1}, r3.Vec{X: 1}, 0, false)
	for i := 0; i < 32; i += 4 {
		for _, q := range [][2]int{{i, i}, {i, i / 2}} {
			n, ok := r.Net.Node(q[0], q[1])
			if !ok {
				continue
			}
			u, v := float64(q[0])*r.Net.Step*10, float64(q[1])*r.Net.Step*10
			fmt.Printf("net %v cells %d  %.3f exact %.3f\n", q, n.Cells, n.Shear*180/math.Pi, gexact(u*v)*180/math.Pi)
		}
	}
	worst, sum, k := 0.0, 0.0, 0
	for v, q := range r.Flat {
		e := (r.Shear[v] - math.Copysign(gexact(math.Abs(q.X*q.Y)*100), q.X*q.Y)) * 180 / math.Pi
		worst = max(worst, math.Abs(e))
		sum += e * e
		k++
	}
	fmt.Printf("vs uv law worst %.3f rms %.3f\n", worst, math.Sqrt(sum/float64(k)))
	for _, c := range [][4]float64{{35.355339, 35.355339, 86.60254, .362465}, {61.237244, 61.237244, 50, .690070}, {68.30127, 68.30127, 25.881905, .839125}, {70.7107, 70.7107, 0, .980507}, {86.60254, 0, 50, 1.0472}} {
		i := near(m, c[0], c[1], c[2])
		fmt.Printf("uv %.5f %.5f want %.5f\n", r.Flat[i].X*10, r.Flat[i].Y*10, c[3])
	}
}

func TestX(t *testing.T) {
	m := loadSTL("/work/shared/checks/jobs/hemisphere-100.stl")
	r := runZ(t, m, r3.Vec{Z: .1}, r3.Vec{X: 1}, 0, false)
	top, _ := mesh.NewTopology(m)
	for v, p := range m.Vertices {
		if p.X > 0 && p.Y > 0 && p.Z > 0.02 && p.Z < 0.03 {
			q := r.Flat[v]
			e := (r.Shear[v] - math.Copysign(gexact(math.Abs(q.X*q.Y)*100), q.X*q.Y)) * 180 / math.Pi
			fmt.Printf("z %.2f az %.2f val %d  shear %.3f err %.3f\n", p.Z*1000, math.Atan2(p.Y, p.X)*180/math.Pi, len(top.VertexFaces(v)), r.Shear[v]*180/math.Pi, e)
		}
	}
	i := near(m, 68.30127, 68.30127, 25.881905)
	s := newSurface(top)
	for _, f := range top.VertexFaces(i) {
		g := s.gradientOf(int(f), r.Flat)
		a, b := g.yarns()
		fmt.Printf("face: shear %.3f stretch %.5f %.5f centroid %v\n", math.Atan2(-(g.a*g.c+g.b*g.d), g.det())*180/math.Pi, math.Hypot(a.X, a.Y), math.Hypot(b.X, b.Y), s.Centroid(int(f)))
	}
}

func TestV(t *testing.T) {
	m := loadSTL("/work/shared/reference/meshes/gen_hemisphere_flange.stl")
	r := runZ(t, m, r3.Vec{Z: .1}, r3.Vec{X: 1}, 50, false)
	fmt.Println(m.Bounds())
	for _, sg := range []float64{1, -1} {
		for _, c := range [][4]float64{{67.09, 74.16, 50, 14.27}, {91.3, 40.79, 75, 31.67}, {98.87, 15, 90, 44.79}, {108.2, .42, 100, 50.5}, {117.6, 0, 105, 51.3}, {127.05, 0, 110, 51.44}, {164.6, 0, 130, 46.36}, {243.2, 0, 180, 0}} {
			i := near(m, sg*c[0]/math.Sqrt2, c[0]/math.Sqrt2, c[1])
			p := m.Vertices[i]
			fmt.Printf("r %.2f z %.2f: uv %.2f %.2f (%.0f) shear %.2f (%.2f) stretch %.4f\n", math.Hypot(p.X, p.Y)*1000, p.Z*1000, r.Flat[i].X*1000, r.Flat[i].Y*1000, c[2], r.Shear[i]*180/math.Pi, c[3], r.Stretch[i])
		}
	}
	for v, e := range r.Stretch {
		if math.Abs(e[0]) > 0.008 {
			p := m.Vertices[v]
			fmt.Printf("strain %.4f at %.1f %.1f %.1f az %.1f shear %.1f\n", e[0], p.X*1000, p.Y*1000, p.Z*1000, math.Atan2(p.Y, p.X)*57.2958, r.Shear[v]*57.3)
		}
	}
}

func TestU(t *testing.T) {
	m := loadSTL("/work/shared/reference/meshes/gen_hemisphere_flange.stl")
	top, _ := mesh.NewTopology(m)
	s := newSurface(top)
	hit, _ := mesh.NewLocator(m).Closest(r3.Vec{Z: 1})
	for _, d := range []float64{.005, .0025, .00125} {
		t0 := time.Now()
		net, err := newNet(s, hit.Point, r3.Vec{X: 1}, d)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println("net", d, time.Since(t0), len(net.Nodes), net.Collapsed)
		for _, u := range []float64{.05, .075, .09, .095, .1, .105, .11, .115, .12, .13} {
			k := int(math.Round(u / d))
			for _, sg := range []int{1, -1} {
				n, ok := net.Node(sg*k, k)
				fmt.Printf("  %v %.1f: %.2f (%d)", ok, float64(k)*d*1000, n.Shear*180/math.Pi, n.Cells)
			}
		}
		fmt.Println()
	}
}

func TestFilmZ(t *testing.T) {
	for _, n := range []string{"/work/shared/checks/jobs/hemisphere-100", "/work/shared/reference/meshes/gen_hemisphere_flange", "/work/shared/reference/meshes/gen_drafted_box"} {
		m := loadSTL(n + ".stl")
		top, _ := mesh.NewTopology(m)
		hit, _ := mesh.NewLocator(m).Closest(r3.Vec{X: .3, Z: 1})
		if n[len(n)-3:] != "alf" {
			hit, _ = mesh.NewLocator(m).Closest(r3.Vec{X: 0, Z: 1})
		}
		t0 := time.Now()
		r, err := Solve(context.Background(), Input{Surface: top, Seed: hit.Point, Warp: r3.Vec{X: 1, Y: 1}, Film: true})
		if err != nil {
			fmt.Println(n, err)
			continue
		}
		s := newSurface(top)
		mx, mn, sum := 0.0, 9.0, 0.0
		for f := range m.Triangles {
			g := s.gradientOf(f, r.Flat)
			p, q := math.Hypot(g.a+g.d, g.c-g.b)/2, math.Hypot(g.a-g.d, g.c+g.b)/2
			mx, mn = max(mx, p+q), min(mn, p-q)
			sum += s.area[f] * ((p+q-1)*(p+q-1) + (p-q-1)*(p-q-1))
		}
		fmt.Println(n, "steps", r.Steps, "max s1", mx, "min s2", mn, "rms", math.Sqrt(sum/s.whole), time.Since(t0), turned(s, r.Flat))
	}
}
