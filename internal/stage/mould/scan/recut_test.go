package scan_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

// strayBySampling is an independent measure of how far a stands off b: the
// greatest distance of random places on a, by area, from the nearest of all
// triangles of b that a grid of boxes offers; no locator is used.
func strayBySampling(a, b *mesh.Mesh, places int, cell float64) float64 {
	type key [3]int
	at := func(p r3.Vec) key {
		return key{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell)), int(math.Floor(p.Z / cell))}
	}
	grid := map[key][]int{}
	for f := range b.Triangles {
		p, q, r := b.Corners(f)
		lo := at(r3.Vec{X: min(p.X, q.X, r.X) - cell, Y: min(p.Y, q.Y, r.Y) - cell, Z: min(p.Z, q.Z, r.Z) - cell})
		hi := at(r3.Vec{X: max(p.X, q.X, r.X) + cell, Y: max(p.Y, q.Y, r.Y) + cell, Z: max(p.Z, q.Z, r.Z) + cell})
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				for z := lo[2]; z <= hi[2]; z++ {
					grid[key{x, y, z}] = append(grid[key{x, y, z}], f)
				}
			}
		}
	}
	chance := rand.New(rand.NewPCG(3, 4))
	upTo, total := make([]float64, len(a.Triangles)), 0.0
	for f := range a.Triangles {
		total += a.FaceArea(f)
		upTo[f] = total
	}
	most := 0.0
	for range places {
		f, x := 0, total*chance.Float64()
		for lo, hi := 0, len(upTo)-1; lo <= hi; {
			if f = (lo + hi) / 2; upTo[f] < x {
				lo = f + 1
				f = lo
			} else {
				hi = f - 1
			}
		}
		u, v := chance.Float64(), chance.Float64()
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		p, q, r := a.Corners(f)
		place := r3.Add(p, r3.Add(r3.Scale(u, r3.Sub(q, p)), r3.Scale(v, r3.Sub(r, p))))
		best := math.Inf(1)
		for _, g := range grid[at(place)] {
			best = min(best, fromTriangle(place, b, g))
		}
		most = max(most, best)
	}
	return most
}

// fromTriangle is the distance of p from a triangle: to its plane where the foot
// lies inside, else to the nearest side.
func fromTriangle(p r3.Vec, m *mesh.Mesh, f int) float64 {
	a, b, c := m.Corners(f)
	n := m.FaceNormal(f)
	inside, best := true, math.Inf(1)
	for _, s := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		d, e := r3.Sub(s[1], s[0]), r3.Sub(p, s[0])
		inside = inside && r3.Dot(r3.Cross(n, d), e) >= 0
		x := max(0, min(1, r3.Dot(d, e)/r3.Norm2(d)))
		best = min(best, r3.Norm(r3.Sub(e, r3.Scale(x, d))))
	}
	if inside {
		return math.Abs(r3.Dot(r3.Sub(p, a), n))
	}
	return best
}

// Thinned or refined, both surfaces stay within what was asked, measured both ways
// by another sampler than the program's; sides come near what was wanted, and
// triangles are well shaped.
func TestRecutWithin(t *testing.T) {
	fine := shapes.Patch(56, 42, func(u, v float64) r3.Vec {
		return r3.Vec{X: 0.3 * u, Y: 0.22 * v, Z: 0.04 * math.Sin(math.Pi*u) * math.Sin(math.Pi*v)}
	})
	box := shapes.OpenBox(r3.Vec{X: 0.24, Y: 0.15, Z: 0.07}, 28)
	coarse := shapes.OpenBox(r3.Vec{X: 0.24, Y: 0.15, Z: 0.07}, 4)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		r    scan.Recut
	}{
		{"swell to 8 mm", fine, scan.Recut{Side: 8e-3, Within: 0.1e-3}},
		{"swell by itself", fine, scan.Recut{Auto: true, Within: 0.1e-3}},
		{"box to 8 mm", box, scan.Recut{Side: 8e-3, Within: 0.02e-3}},
		{"coarse box to 5 mm", coarse, scan.Recut{Side: 5e-3, Within: 0.02e-3}},
		{"blister", shapes.Blister(0.06, 0.015, 0.15, 60), scan.Recut{Auto: true, Within: 0.2e-3}},
	} {
		k := take(t, c.m, scan.Options{Recut: c.r})
		off, back := strayBySampling(k.Mesh, c.m, 2_000, 4e-3), strayBySampling(c.m, k.Mesh, 2_000, 8e-3)
		var poor float64
		for f := range k.Mesh.Triangles {
			a := k.Mesh.Angles(f)
			if min(a[0], a[1], a[2]) < 20*math.Pi/180 {
				poor++
			}
		}
		poor /= float64(len(k.Mesh.Triangles))
		t.Logf("%s: %d → %d triangles, wanted side %.2f mm, mean %.2f; off %.4f mm (said %.4f), back %.4f mm (said %.4f); %.2f %% under 20 deg", c.name,
			k.Recut.Was, k.Recut.Now, 1e3*k.Recut.Side, 1e3*k.Mesh.MeanEdge(), 1e3*off, 1e3*k.Recut.Off, 1e3*back, 1e3*k.Recut.Back, 100*poor)
		if max(off, back) > c.r.Within {
			t.Errorf("%s: %.4f mm off, %.4f mm back, allowed %.4f", c.name, 1e3*off, 1e3*back, 1e3*c.r.Within)
		}
		if mean := k.Mesh.MeanEdge(); mean < 0.6*k.Recut.Side || mean > 1.3*k.Recut.Side {
			t.Errorf("%s: mean side %.3f mm, wanted %.3f", c.name, 1e3*mean, 1e3*k.Recut.Side)
		}
		if poor > 0.02 || k.Rims != 1 || len(topology(t, k.Mesh).BowTies()) > 0 {
			t.Errorf("%s: %.1f %% poor triangles, %d rims", c.name, 100*poor, k.Rims)
		}
	}
}
