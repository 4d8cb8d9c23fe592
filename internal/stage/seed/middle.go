package seed

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/slits"
)

// LeastShadow is the length of the warp's unit vector laid into the surface below
// which its direction there means nothing.
const LeastShadow = 0.05

// Aim lays the warp's direction into the surface at the part's seed. Where it
// stands straight up there, the axis x, y or z that lies flattest is taken, and
// true returned.
func Aim(p *slits.Part, warp r3.Vec) (lost bool) {
	p.Normal = p.Top.Mesh.FaceNormal(p.Seed.Face)
	d := level(warp, p.Normal)
	if lost = r3.Norm(d) < LeastShadow; lost {
		for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			if l := level(axis, p.Normal); r3.Norm(l) > r3.Norm(d)+1e-9 {
				d = l
			}
		}
	}
	p.Warp = r3.Unit(d)
	return lost
}

// level returns the part of a vector that lies square to a normal.
func level(v, normal r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, normal), normal)) }

// lookingShare is the share of its area that a surface's area vectors must come to
// for it to look anywhere.
const lookingShare = 0.1

// Middle returns the place where the line through the centre of area along the
// mean normal leaves the surface, or the place nearest to that centre: that nearest
// to it which lies clear of the rim and of cut-outs.
func Middle(p *slits.Part) mesh.Point {
	at, s := overCentre(p), newShore(p)
	if s.clear(at) {
		return at
	}
	m := p.Top.Mesh
	from, best := m.At(at), math.Inf(1)
	for f := range m.Triangles {
		q := mesh.Point{Face: f, Bary: [3]float64{1. / 3, 1. / 3, 1. / 3}}
		if d := r3.Norm2(r3.Sub(m.At(q), from)); d < best && s.clear(q) {
			best, at = d, q
		}
	}
	return at
}

// shore tells how far places lie from the part's rims.
type shore struct {
	m    *mesh.Mesh
	far  []float64 // of vertices, m
	room float64   // that a seed needs, m
}

// seedRoom is the room that a seed needs to the rim, in roots of the part's area: a
// hand's cross must lie on cloth.
const seedRoom = 0.03

func newShore(p *slits.Part) shore {
	var rim []int32
	for v, is := range p.Top.RimVertices() {
		if is {
			rim = append(rim, int32(v))
		}
	}
	s := shore{m: p.Top.Mesh, far: cut.RoadsOn(p.Top, rim, cut.Terms{}).Far}
	most := 0.0
	for f := range s.m.Triangles {
		most = max(most, s.off(mesh.Point{Face: f, Bary: [3]float64{1. / 3, 1. / 3, 1. / 3}}))
	}
	s.room = min(seedRoom*math.Sqrt(p.Area), most/2)
	return s
}

// off is how far a place lies from the rim.
func (s shore) off(at mesh.Point) (sum float64) {
	for k, v := range s.m.Triangles[at.Face] {
		sum += at.Bary[k] * s.far[v]
	}
	return sum
}

func (s shore) clear(at mesh.Point) bool { return s.off(at) >= s.room }

// overCentre is where the line through the centre of area along the mean normal leaves.
func overCentre(p *slits.Part) mesh.Point {
	m := p.Top.Mesh
	var centre r3.Vec
	for f := range m.Triangles {
		centre = r3.Add(centre, r3.Scale(m.FaceArea(f)/p.Area, m.Centroid(f)))
	}
	if up := meanNormal(m); up != (r3.Vec{}) {
		hits := p.Locator.RayAll(centre, up, -m.Diagonal())
		if len(hits) > 0 {
			return hits[len(hits)-1].Point
		}
	}
	hit, _ := p.Locator.Closest(centre)
	return hit.Point
}

// meanNormal returns the direction in which a surface looks on the whole, zero
// where it looks all round.
func meanNormal(m *mesh.Mesh) (sum r3.Vec) {
	var area float64
	for f := range m.Triangles {
		a := m.AreaVector(f)
		sum, area = r3.Add(sum, a), area+r3.Norm(a)
	}
	if r3.Norm(sum) <= lookingShare*area {
		return r3.Vec{}
	}
	return r3.Unit(sum)
}
