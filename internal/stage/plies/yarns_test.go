package plies

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// warpOf returns where a triangle's flat warp runs on the mould: the direction of
// u in the map from its flat corners to its corners there.
func warpOf(m *mesh.Mesh, f int, flat [3]r2.Vec) r3.Vec {
	a, b, c := m.Corners(f)
	d, e := r2.Sub(flat[1], flat[0]), r2.Sub(flat[2], flat[0])
	det := r2.Cross(d, e)
	return r3.Unit(r3.Add(r3.Scale(e.Y/det, r3.Sub(b, a)), r3.Scale(-d.Y/det, r3.Sub(c, a))))
}

// Beside the slits of a box the yarns of each triangle are those of its own side: at
// the vertices of a slit two directions meet, and what the flat pieces show over the
// triangles on both sides is what the wall gets, where the values by vertex of the whole
// surface, those of the right side, would be off by the angle that the slit opens by.
func TestYarnsBesideASlitAreThoseOfTheirSide(t *testing.T) {
	m := lid(85*deg, 0.08)
	r := laid(t, Input{Surface: m, Plies: stackOf(45, 0)})
	p := r.Plies[0]
	beside := map[int32]bool{}
	var off, was, n float64
	for i, s := range p.Sheets {
		if p.Pieces[i].Patch {
			continue
		}
		for _, slit := range s.Slits {
			for _, v := range slit.Left[min(1, len(slit.Left)):] {
				beside[v] = true
			}
		}
		for f, tri := range s.Top.Mesh.Triangles {
			if !beside[tri[0]] && !beside[tri[1]] && !beside[tri[2]] {
				continue
			}
			flat := [3]r2.Vec{s.Flat[tri[0]], s.Flat[tri[1]], s.Flat[tri[2]]}
			if r2.Cross(r2.Sub(flat[1], flat[0]), r2.Sub(flat[2], flat[0])) < 1e-3*s.Top.Mesh.FaceArea(f) {
				continue
			}
			want := warpOf(s.Top.Mesh, f, flat)
			home := homeOf(m, s.Top.Mesh.Centroid(f))
			least := math.Pi
			for _, b := range r.Relaid.Cloth[0].On[home] {
				least = min(least, math.Acos(math.Abs(min(1, max(-1, r3.Dot(b.Warp, want))))))
			}
			var whole r3.Vec
			for _, v := range m.Triangles[home] {
				whole = r3.Add(whole, p.Laid.Warp[v])
			}
			off += least
			was += math.Acos(math.Abs(min(1, r3.Dot(r3.Unit(whole), want))))
			n++
		}
	}
	if !(off/n < 2*deg && was/n > 20*deg) {
		t.Errorf("%g triangles: off by %.2f deg, %.2f by vertex of the whole", n, off/n/deg, was/n/deg)
	}
}

// homeOf returns the triangle whose middle is nearest to a place.
func homeOf(m *mesh.Mesh, at r3.Vec) (home int) {
	best := math.Inf(1)
	for g := range m.Triangles {
		if d := r3.Norm(r3.Sub(m.Centroid(g), at)); d < best {
			best, home = d, g
		}
	}
	return home
}
