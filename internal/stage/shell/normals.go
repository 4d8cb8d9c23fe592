package shell

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// crease is the cosine of the angle between two triangles at a vertex from which
// the surface counts as folded there, not curved: 40 degrees, more than a fillet
// of three rows in a square corner turns between two.
const crease = 0.766

// corner is a triangle with one of its corners.
type corner struct{ face, at int32 }

// fan is the triangles about a vertex over which the surface goes on smoothly, and
// its normal there.
type fan struct {
	corners []corner
	normal  r3.Vec
}

// curved is a triangle surface taken for the curved one that it stands for.
type curved struct {
	m    *mesh.Mesh
	fans []fan
	of   [][3]int32 // by triangle and corner
}

// rimSweeps is how often normals at rims are worked out from one another. Each
// hangs mostly on those within, which stay, so a few sweeps settle them.
const rimSweeps = 6

func newCurved(m *mesh.Mesh) *curved {
	s := &curved{m: m, of: make([][3]int32, len(m.Triangles))}
	around := make([][]corner, len(m.Vertices))
	flat := make([]r3.Vec, len(m.Triangles))
	for f, t := range m.Triangles {
		flat[f] = m.FaceNormal(f)
		for k, v := range t {
			around[v] = append(around[v], corner{int32(f), int32(k)})
		}
	}
	for _, left := range around {
		for len(left) > 0 {
			seed := flat[left[0].face]
			var in fan
			var out []corner
			for _, c := range left {
				if r3.Dot(flat[c.face], seed) > crease {
					in.corners = append(in.corners, c)
				} else {
					out = append(out, c)
				}
			}
			s.add(in)
			left = out
		}
	}
	s.settleRims()
	if s.settleSteps() {
		s.settleRims()
	}
	return s
}

func (s *curved) settleRims() {
	for range rimSweeps {
		for i := range s.fans {
			if f := &s.fans[i]; s.open(f) {
				f.tilt(s.lean(f))
			}
		}
	}
}

// step is the lean of a closed fan's normal that its sides ask for, as a share of
// the angle between normal and triangles, from which the curve of the surface counts
// as changing at the vertex: where a flat runs into a fillet the share is 1.
const step = 1.0 / 3

// settleSteps turns normals where the surface's curve changes from one side of a
// vertex to the other, the most mistaken first, as they mislead their neighbours. The
// normal of a sphere leans there into the smaller triangles, and larger ones beside
// them would seem curved.
func (s *curved) settleSteps() bool {
	var off []int
	size := make([]float64, len(s.fans))
	for i := range s.fans {
		f := &s.fans[i]
		if size[i] = r3.Norm(s.lean(f)); !s.open(f) && size[i] > step*s.turn(f) {
			off = append(off, i)
		}
	}
	slices.SortStableFunc(off, func(a, b int) int { return cmp.Compare(size[b], size[a]) })
	for _, i := range off {
		f := &s.fans[i]
		if lean := s.lean(f); r3.Norm(lean) > step*s.turn(f) {
			f.tilt(lean)
		}
	}
	return len(off) > 0
}

// turn is the sine of the largest angle between a fan's normal and its triangles.
func (s *curved) turn(f *fan) (most float64) {
	for _, c := range f.corners {
		most = max(most, r3.Norm(r3.Cross(f.normal, s.m.FaceNormal(int(c.face)))))
	}
	return most
}

// add gives a fan the normal that a sphere through its vertices has.
//
//	N ∝ Σ (a×b)/(|a|²·|b|²)    a, b: the sides that meet at the vertex
//
// Source: [max1999].
func (s *curved) add(f fan) {
	for _, c := range f.corners {
		a, b := s.leg(c, 1), s.leg(c, 2)
		f.normal = r3.Add(f.normal, r3.Scale(1/(r3.Norm2(a)*r3.Norm2(b)), r3.Cross(a, b)))
		s.of[c.face][c.at] = int32(len(s.fans))
	}
	f.normal = r3.Unit(f.normal)
	s.fans = append(s.fans, f)
}

// leg is the side from a corner to the next (1) or the one before (2).
func (s *curved) leg(c corner, k int32) r3.Vec {
	t := s.m.Triangles[c.face]
	return r3.Sub(s.m.Vertices[t[(c.at+k)%3]], s.m.Vertices[t[c.at]])
}

// open tells whether the fan does not close round its vertex.
func (s *curved) open(f *fan) bool {
	odd := 0
	for _, c := range f.corners {
		t := s.m.Triangles[c.face]
		odd += int(t[(c.at+1)%3]) - int(t[(c.at+2)%3])
	}
	return odd != 0
}

// lean returns by how much a fan's normal must lean to agree best with those at the
// other ends of its sides, each side being an arc of a circle: the slopes at both
// ends are opposite.
//
//	N·t + N'·t = 0    t: along the side, N': normal at its other end
//
// What the sides do not tell stays as it was.
func (s *curved) lean(f *fan) r3.Vec {
	x := r3.Unit(s.leg(f.corners[0], 1))
	x = r3.Unit(r3.Sub(x, r3.Scale(r3.Dot(x, f.normal), f.normal)))
	y := r3.Cross(f.normal, x)
	var xx, xy, yy, bx, by float64
	for _, c := range f.corners {
		for k := range int32(2) {
			t := r3.Unit(s.leg(c, 1+k))
			other := s.fans[s.of[c.face][(c.at+1+k)%3]].normal
			tx, ty, b := r3.Dot(t, x), r3.Dot(t, y), -r3.Dot(t, r3.Add(f.normal, other))
			xx, xy, yy = xx+tx*tx, xy+tx*ty, yy+ty*ty
			bx, by = bx+tx*b, by+ty*b
		}
	}
	const keep = 1e-3 // of the sides' weight, for what they do not tell
	stay := keep * (xx + yy)
	xx, yy = xx+stay, yy+stay
	det := xx*yy - xy*xy
	return r3.Add(r3.Scale((yy*bx-xy*by)/det, x), r3.Scale((xx*by-xy*bx)/det, y))
}

// tilt leans a normal. One that would lean over the crease is left alone.
func (f *fan) tilt(lean r3.Vec) {
	if r3.Norm(lean) < 1-crease {
		f.normal = r3.Unit(r3.Add(f.normal, lean))
	}
}

// normals returns those of a triangle's corners.
func (s *curved) normals(f int) (out [3]r3.Vec) {
	for k, i := range s.of[f] {
		out[k] = s.fans[i].normal
	}
	return out
}
