package slits

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Part is a piece of the surface that hangs together, with the place where each
// ply on it is laid down first.
type Part struct {
	Top      *mesh.Topology
	Vertices []int32 // its own vertices' numbers in the whole surface
	Locator  *mesh.Locator
	Area     float64 // m²
	Seed     mesh.Point
	Warp     r3.Vec // for angle 0, in the surface at the seed
	Normal   r3.Vec // there

	favour, outer []float64             // of rim vertices; see findRims
	spots         map[float64][]hotspot // by limit
}

// Parts splits a surface into what hangs together.
func Parts(m *mesh.Mesh) ([]Part, error) {
	top, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	of, count := top.Components()
	parts := make([]Part, count)
	for c := range parts {
		if parts[c], err = partOf(m, of, int32(c)); err != nil {
			return nil, err
		}
	}
	return parts, nil
}

func partOf(m *mesh.Mesh, of []int32, c int32) (Part, error) {
	number := make([]int32, len(m.Vertices))
	sub := &mesh.Mesh{}
	p := Part{spots: map[float64][]hotspot{}}
	for f, t := range m.Triangles {
		if of[f] != c {
			continue
		}
		var u [3]int32
		for k, v := range t {
			if number[v] == 0 {
				sub.Vertices = append(sub.Vertices, m.Vertices[v])
				p.Vertices = append(p.Vertices, v)
				number[v] = int32(len(sub.Vertices))
			}
			u[k] = number[v] - 1
		}
		sub.Triangles = append(sub.Triangles, u)
	}
	top, err := mesh.NewTopology(sub)
	if err != nil {
		return p, err
	}
	if len(top.RimEdges()) == 0 {
		return p, &fault.Input{Field: "part.trim", What: "the surface is closed, and no cloth lies flat on it uncut", Do: "give a trim line or a flange"}
	}
	p.Top, p.Locator, p.Area = top, mesh.NewLocator(sub), sub.Area()
	p.findRims()
	return p, nil
}

// Turned returns the direction at the seed of the warp of a ply at an angle, rad.
func (p *Part) Turned(angle float64) r3.Vec {
	sin, cos := math.Sincos(angle)
	return r3.Add(r3.Scale(cos, p.Warp), r3.Scale(sin, r3.Cross(p.Normal, p.Warp)))
}

// Prepare finds the hot spots for a limit of shear, rad. It comes before [Part.Cut]
// and [Part.SureToLock], which only read them.
func (p *Part) Prepare(limit float64) {
	if p.spots[limit] == nil {
		p.spots[limit] = p.hotspots(limit)
	}
}

// SureToLock tells whether cloth can't lie on the part whole.
func (p *Part) SureToLock(limit float64) bool {
	for _, h := range p.spots[limit] {
		if h.curvature > 0 {
			return true
		}
	}
	return false
}
