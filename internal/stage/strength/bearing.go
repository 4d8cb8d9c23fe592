package strength

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/stage/shell"
)

// FastenerLoad is the most that one fastener bears: along its own axis, square to
// the surface, and across it, in the case where the two together are largest.
type FastenerLoad struct {
	At    [3]float64 `json:"at_m"`
	Pull  si.Force   `json:"pull_N"` // either way along the surface's normal
	Shear si.Force   `json:"shear_N"`
	Case  string     `json:"case"`
}

// insertReach is how far past a screw, in wall thicknesses, an insert or solid
// laminate stands for the core. Common practice, no source.
const insertReach = 2

// atInsert says whether a place lies where a screw's insert must stand. The core
// is not judged there: it is not there, and a point's force would press it
// without bound.
func (in *Input) atInsert(at r3.Vec, thickness float64) bool {
	for _, f := range in.Fasteners {
		if r3.Norm(r3.Sub(at, f.At)) < float64(f.Diameter)/2+insertReach*thickness {
			return true
		}
	}
	return false
}

// bear reports what each fastener bears, heat included.
func (r *Result) bear(j *judging) {
	if len(j.in.Fasteners) == 0 {
		return
	}
	var unit [units][]r3.Vec
	for u, l := range j.unit {
		if l != nil {
			unit[u], _ = j.solver.Reactions(l.Motion, l.load)
		}
	}
	normals := j.in.Mesh.VertexNormals()
	for i, own := range j.in.under(j.held) {
		var normal r3.Vec
		for _, v := range own {
			normal = r3.Add(normal, normals[v])
		}
		normal = r3.Unit(normal)
		load, most := FastenerLoad{At: place(j.in.Fasteners[i].At)}, -1.0
		for _, b := range j.blends {
			force := b.on(own, &unit)
			if size := r3.Norm(force); size > most {
				most = size
				pull := r3.Dot(force, normal)
				load.Pull = si.Force(max(pull, -pull))
				load.Shear = si.Force(r3.Norm(r3.Sub(force, r3.Scale(pull, normal))))
				load.Case = j.in.Cases[b.of].Name
			}
		}
		r.Fasteners = append(r.Fasteners, load)
	}
}

// on adds up what the unit loads bring on some vertices.
func (b *blend) on(vertices []int, unit *[units][]r3.Vec) r3.Vec {
	var force r3.Vec
	for u, f := range unit {
		if f == nil {
			continue
		}
		for _, v := range vertices {
			force = r3.Add(force, r3.Scale(b.share[u], f[v]))
		}
	}
	return force
}

// under lists the held vertices of each fastener: a vertex belongs to the nearest.
func (in *Input) under(held []shell.Hold) [][]int {
	out := make([][]int, len(in.Fasteners))
	for v, h := range held {
		if h == 0 {
			continue
		}
		best, at := 0, r3.Norm(r3.Sub(in.Fasteners[0].At, in.Mesh.Vertices[v]))
		for i, p := range in.Fasteners {
			if d := r3.Norm(r3.Sub(p.At, in.Mesh.Vertices[v])); d < at {
				best, at = i, d
			}
		}
		out[best] = append(out[best], v)
	}
	return out
}
