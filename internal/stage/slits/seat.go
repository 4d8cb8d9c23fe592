package slits

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
)

// seats returns for each piece where it is laid down first: the part's own seed
// where the part is in one piece that no cut from rim to rim has opened, or where
// the person gave it; else the piece's middle, or that of the given places on it
// which is nearest to its middle. own is the piece that holds the part's seed.
func (p *Part) seats(pieces []*cut.Ground, middles []r3.Vec) (out []seat, own int) {
	if len(pieces) == 1 && (p.Fixed || !opened(pieces[0])) {
		return []seat{p.ownSeat(pieces[0])}, 0
	}
	at := p.Top.Mesh.At(p.Seed)
	best := math.Inf(1)
	locators := make([]*mesh.Locator, len(pieces))
	for i, g := range pieces {
		locators[i] = mesh.NewLocator(g.Top.Mesh)
		if hit, ok := locators[i].Closest(at); ok && hit.Distance < best-1e-9 {
			best, own = hit.Distance, i
		}
	}
	for i, g := range pieces {
		if p.Fixed && i == own {
			out = append(out, p.ownSeat(g))
			continue
		}
		m := middleOf(g.Top, locators[i])
		s := seat{seed: nearestOn(locators[i], middles, g.Top.Mesh.At(m), m)}
		s.normal = g.Top.Mesh.FaceNormal(s.seed.Face)
		s.warp = laidInto(p.asked(), s.normal)
		out = append(out, s)
	}
	return out, own
}

// nearestOn returns the place on a piece nearest to its middle of those given that
// lie on it; the middle where there is none.
func nearestOn(l *mesh.Locator, places []r3.Vec, at r3.Vec, middle mesh.Point) mesh.Point {
	out, least := middle, math.Inf(1)
	for _, x := range places {
		hit, ok := l.Closest(x)
		if d := r3.Norm(r3.Sub(x, at)); ok && hit.Distance < drawn && d < least {
			least, out = d, hit.Point
		}
	}
	return out
}

// opened tells whether a cut runs from rim to rim.
func opened(g *cut.Ground) bool {
	for _, s := range g.Slits {
		if !s.Tip() {
			return true
		}
	}
	return false
}

// facing is the share of the area that the mean normal must have for a middle to
// be looked for along it.
const facing = 0.5

// middleOf returns the place where the line through the centre of area along the
// mean normal leaves the surface; where it is bent too much for that, or has a
// hole there, the vertex from which the way to the farthest place is shortest.
func middleOf(top *mesh.Topology, l *mesh.Locator) mesh.Point {
	m := top.Mesh
	var centre, normal r3.Vec
	area := m.Area()
	for f := range m.Triangles {
		a := m.AreaVector(f)
		centre = r3.Add(centre, r3.Scale(r3.Norm(a)/area, m.Centroid(f)))
		normal = r3.Add(normal, a)
	}
	if r3.Norm(normal) > facing*area {
		if hits := l.RayAll(centre, r3.Unit(normal), -m.Diagonal()); len(hits) == 1 {
			return hits[0].Point
		}
	}
	v := farthestFromRims(top)
	f := int(top.VertexFaces(int(v))[0])
	p := mesh.Point{Face: f, Bary: [3]float64{0.05, 0.05, 0.05}}
	for k, u := range m.Triangles[f] {
		if u == v {
			p.Bary[k] = 0.9
		}
	}
	return p
}

// extremes is from how many far places the middle of a bent piece is sought.
const extremes = 8

// farthestFromRims returns the vertex whose farthest place, of some that lie as
// far apart as can be, is nearest.
func farthestFromRims(top *mesh.Topology) int32 {
	n := len(top.Mesh.Vertices)
	most := make([]float64, n)  // distance to the farthest of the places so far
	least := make([]float64, n) // and to the nearest
	for v := range least {
		least[v] = math.Inf(1)
	}
	at := top.Mesh.Triangles[0][0]
	for i := range extremes + 1 {
		r := cut.RoadsFrom(top, at)
		next := at
		for v, d := range r.Far {
			if math.IsInf(d, 1) {
				continue
			}
			if i > 0 { // the first place is just any
				most[v] = max(most[v], d)
				least[v] = min(least[v], d)
			} else {
				least[v] = d
			}
			if least[v] > least[next]+1e-12 {
				next = int32(v)
			}
		}
		if i == 0 {
			for v := range least {
				least[v] = math.Inf(1)
			}
		}
		at = next
	}
	best := top.Mesh.Triangles[0][0]
	for v := range most {
		if len(top.VertexFaces(v)) > 0 && most[v] < most[best]-1e-12 {
			best = int32(v)
		}
	}
	return best
}
