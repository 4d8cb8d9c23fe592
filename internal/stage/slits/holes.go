package slits

import (
	"math"
	"slices"

	"laywright/internal/base/mesh"
)

// hole is a rim within the surface, and the curvature of what would fill it.
type hole struct {
	loop      []int32
	curvature float64 // ∫ K dA, rad
}

// holesOf returns the rims but for the longest, the outer one. Cloth round a hole
// is sheared as if the hole were filled; by Gauss and Bonnet the curvature of any
// filling follows from the rim alone:
//
//	∫ K dA = 2π − ∮ κ ds = 2π + Σ (π − θ)
//
// κ is the rim's geodesic curvature seen from the filling, θ the angle of the
// surface at each rim vertex. A hole in a plane has 0, the end of a tube 2π.
func holesOf(top *mesh.Topology) []hole {
	loops := top.RimLoops()
	if len(loops) < 2 {
		return nil
	}
	outer, most := 0, 0.0
	for i, loop := range loops {
		var long float64
		for _, h := range loop {
			long += top.EdgeLength(int(top.EdgeOf[h]))
		}
		if long > most*(1+1e-9) {
			outer, most = i, long
		}
	}
	var out []hole
	for i, loop := range loops {
		if i != outer {
			h := hole{top.LoopVertices(loop), 2 * math.Pi}
			for _, half := range loop {
				h.curvature += math.Pi - cornerAngle(top, int(half))
			}
			out = append(out, h)
		}
	}
	return out
}

// IsTube tells whether cloth must be opened round a hole, such as the end of a tube,
// with the line free to choose.
func (p *Part) IsTube(limit float64) bool {
	return !p.Fixed && slices.ContainsFunc(holesOf(p.Top), func(h hole) bool { return math.Abs(h.curvature) >= limit })
}

// cornerAngle is the angle of the surface at the start of a rim half-edge: that of
// the fan of triangles there.
func cornerAngle(top *mesh.Topology, h int) float64 {
	sum := 0.0
	for range top.VertexFaces(int(top.From(h))) {
		sum += top.Mesh.Angles(h / 3)[h%3]
		if h = int(top.Twin[mesh.Prev(h)]); h < 0 {
			break
		}
	}
	return sum
}
