package strength

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/shell"
)

// alike is the length against the longest rim from which a rim counts as an
// outer one too: both ends of a duct, but no cut-out.
const alike = 0.8

// holds returns what is held of each vertex, and how many rims are left free.
func (in *Input) holds(t *mesh.Topology) (held []shell.Hold, free int, err error) {
	held = make([]shell.Hold, len(in.Mesh.Vertices))
	if len(in.Fasteners) > 0 {
		return held, 0, in.fasten(held)
	}
	how := shell.Pinned
	switch in.Edge {
	case Clamped:
		how = shell.Clamped
	case Pinned, "":
	default:
		return nil, 0, &fault.Input{Field: "part.held.edge", What: fmt.Sprintf("%q is no way to hold an edge", in.Edge), Do: "write clamped or pinned"}
	}
	loops := t.RimLoops()
	if len(loops) == 0 {
		return nil, 0, &fault.Input{Field: "part.held", What: "the surface has no edge to hold", Do: "trim the part, or hold it on fasteners"}
	}
	lengths := make([]float64, len(loops))
	var longest float64
	for i, loop := range loops {
		v := t.LoopVertices(loop)
		for k := range v {
			lengths[i] += r3.Norm(r3.Sub(in.Mesh.Vertices[v[(k+1)%len(v)]], in.Mesh.Vertices[v[k]]))
		}
		longest = max(longest, lengths[i])
	}
	for i, loop := range loops {
		if lengths[i] < alike*longest {
			free++
			continue
		}
		for _, v := range t.LoopVertices(loop) {
			held[v] = how
		}
	}
	return held, free, nil
}

// fasten pins the vertices under each fastener, and at least the nearest.
func (in *Input) fasten(held []shell.Hold) error {
	used := in.Mesh.VertexAreas()
	for i, p := range in.Fasteners {
		nearest, best := -1, 0.0
		for v, at := range in.Mesh.Vertices {
			if used[v] == 0 {
				continue
			}
			d := r3.Norm(r3.Sub(at, p.At))
			if d <= float64(p.Diameter)/2 {
				held[v] = shell.Pinned
			}
			if nearest < 0 || d < best {
				nearest, best = v, d
			}
		}
		if limit := reach * in.Mesh.MeanEdge(); best > limit+float64(p.Diameter) {
			return &fault.Input{Field: fault.Numbered("part.held.fasteners.at", i), What: fmt.Sprintf("the fastener is %.1f mm off the surface", 1e3*best), Do: "put it on the surface"}
		}
		held[nearest] = shell.Pinned
	}
	return nil
}

// reach is how many sides of a triangle a point may lie off the surface and
// still be meant to lie on it.
const reach = 2

// hand is the radius of the patch that a hand pushes on. Common practice, no
// source: the heel of a hand.
const hand = 0.0125

// push adds a force of 1 N inward, spread over a hand's patch about a place.
func (in *Input) push(to *shell.Load, at r3.Vec) error {
	areas, normals := in.Mesh.VertexAreas(), in.Mesh.VertexNormals()
	nearest, best := -1, 0.0
	for v, p := range in.Mesh.Vertices {
		if d := r3.Norm(r3.Sub(p, at)); areas[v] > 0 && (nearest < 0 || d < best) {
			nearest, best = v, d
		}
	}
	if limit := reach * in.Mesh.MeanEdge(); best > limit {
		return &fault.Input{Field: "duty.loads.handling.at", What: fmt.Sprintf("the place is %.1f mm off the surface", 1e3*best), Do: "put it on the surface"}
	}
	inward := r3.Scale(-1, normals[nearest])
	middle := in.Mesh.Vertices[nearest]
	var whole float64
	under := func(v int) bool {
		// The far wall of a thin part lies near too, but faces the other way.
		return v == nearest || areas[v] > 0 && r3.Norm(r3.Sub(in.Mesh.Vertices[v], middle)) <= hand && r3.Dot(normals[v], inward) < 0
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
