package strength

import (
	"cmp"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/joint"
	"laywright/internal/stage/shell"
)

// alike is the length against the longest rim from which a rim counts as an
// outer one too: both ends of a duct, but no cut-out.
const alike = 0.8

// holding is what ties the part to its ground.
type holding struct {
	held    []shell.Hold
	springs []shell.Spring
	owner   []int      // of each spring: its fastener
	rims    [][]r3.Vec // all of them: closed lines
	land    *land      // the bonded flange
	free    int        // rims that nothing holds
}

// holds finds what is held of each vertex.
func (in *Input) holds(t *mesh.Topology, s *stacks) (*holding, error) {
	h := &holding{held: make([]shell.Hold, len(in.Mesh.Vertices))}
	loops := t.RimLoops()
	for _, loop := range loops {
		h.rims = append(h.rims, in.points(t.LoopVertices(loop)))
	}
	if len(in.Fasteners) > 0 {
		return h, in.fasten(t, s, h)
	}
	how := shell.Pinned
	switch in.Edge {
	case Clamped:
		how = shell.Clamped
	case Pinned, "":
	default:
		return nil, &fault.Input{Field: "part.held.edge", What: fmt.Sprintf("%q is no way to hold an edge", in.Edge), Do: "write clamped or pinned"}
	}
	if len(loops) == 0 {
		return nil, &fault.Input{Field: "part.held", What: "the surface has no edge to hold", Do: "trim the part, or hold it on fasteners"}
	}
	var longest float64
	for _, line := range h.rims {
		longest = max(longest, around(line))
	}
	var outer [][]int32
	for i, loop := range loops {
		if around(h.rims[i]) < alike*longest {
			h.free++
			continue
		}
		outer = append(outer, t.LoopVertices(loop))
	}
	if in.Flange != nil {
		return h, in.lay(t, h, outer)
	}
	for _, rim := range outer {
		for _, v := range rim {
			h.held[v] = how
		}
	}
	return h, nil
}

// around is the length of a closed line.
func around(line []r3.Vec) (sum float64) {
	for k, p := range line {
		sum += r3.Norm(r3.Sub(line[(k+1)%len(line)], p))
	}
	return sum
}

// fasten puts springs on the vertices under each fastener, and at least on the
// nearest.
func (in *Input) fasten(t *mesh.Topology, s *stacks, h *holding) error {
	normals := in.Mesh.VertexNormals()
	for i, p := range in.Fasteners {
		nearest := in.Mesh.NearestVertex(p.At, func(v int) bool { return len(t.VertexFaces(v)) > 0 })
		if off := r3.Norm(r3.Sub(in.Mesh.Vertices[nearest], p.At)); off > reach*in.Mesh.MeanEdge()+float64(p.Diameter) {
			return &fault.Input{Field: fault.Numbered("part.held.fasteners.at", i), What: fmt.Sprintf("the fastener is %.1f mm off the surface", 1e3*off), Do: "put it on the surface"}
		}
		under := []int32{nearest}
		for v, at := range in.Mesh.Vertices {
			if int32(v) != nearest && r3.Norm(r3.Sub(at, p.At)) <= float64(p.Diameter)/2 && len(t.VertexFaces(v)) > 0 {
				under = append(under, int32(v))
			}
		}
		spring := in.spring(p, s.at(t, nearest))
		spring.Axis = normals[nearest]
		spring.Along /= si.Stiffness(len(under))
		spring.Across /= si.Stiffness(len(under))
		for _, v := range under {
			spring.Vertex = v
			h.springs, h.owner = append(h.springs, spring), append(h.owner, i)
		}
	}
	return nil
}

// spring is how stiff a fastener is: as given, or by formula with what holds the
// part as stiff and thick as the wall where that is not told.
func (in *Input) spring(p Fastener, w *wall.Stiffness) shell.Spring {
	one := joint.Sheet{E: si.Pressure((w.A[0][0] + w.A[1][1]) / 2 / w.Thickness), Thickness: si.Length(w.Thickness)}
	two := one
	if in.Ground.E > 0 {
		two.E = in.Ground.E
	}
	if in.Ground.Thickness > 0 {
		two.Thickness = in.Ground.Thickness
	}
	f := joint.Fastener{Diameter: p.Diameter, E: cmp.Or(in.Screwed.E, steel)}
	return shell.Spring{Along: f.Along(one, two), Across: cmp.Or(in.Screwed.Stiffness, f.Shear(one, two))}
}

// steel is Young's modulus of a fastener whose metal is not told. Source: [mil-hdbk-5].
const steel = si.Pressure(205e9)

// at is the wall beside a vertex.
func (s *stacks) at(t *mesh.Topology, v int32) *wall.Stiffness {
	return &s.section(int(t.VertexFaces(int(v))[0])).Wall
}

// reach is how many sides of a triangle a point may lie off the surface and
// still be meant to lie on it.
const reach = 2

// hand is the radius of the patch that a hand pushes on. Common practice, no
// source: the heel of a hand.
const hand = 0.0125

// push adds a force of 1 N inward, spread over a patch about a place.
func (in *Input) push(to *shell.Load, at r3.Vec) error {
	areas, normals := in.Mesh.VertexAreas(), in.Mesh.VertexNormals()
	nearest := in.Mesh.NearestVertex(at, func(v int) bool { return areas[v] > 0 })
	if off := r3.Norm(r3.Sub(in.Mesh.Vertices[nearest], at)); off > reach*in.Mesh.MeanEdge() {
		return &fault.Input{Field: "duty.loads.handling.at", What: fmt.Sprintf("the place is %.1f mm off the surface", 1e3*off), Do: "put it on the surface"}
	}
	radius := hand
	if in.Patch > 0 {
		radius = float64(in.Patch) / 2
	}
	inward := r3.Scale(-1, normals[nearest])
	middle := in.Mesh.Vertices[nearest]
	var whole float64
	under := func(v int) bool {
		// The far wall of a thin part lies near too, but faces the other way.
		return int32(v) == nearest || areas[v] > 0 && r3.Norm(r3.Sub(in.Mesh.Vertices[v], middle)) <= radius && r3.Dot(normals[v], inward) < 0
	}
	for v := range areas {
		if under(v) {
			whole += areas[v]
		}
	}
	for v := range areas {
		if under(v) {
			to.Force[v] = r3.Add(to.Force[v], r3.Scale(areas[v]/whole, inward))
		}
	}
	return nil
}
