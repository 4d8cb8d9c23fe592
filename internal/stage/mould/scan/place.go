package scan

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Place is how a mesh is put where the job wants it: scaled about the origin,
// mirrored across a plane through it, turned about axes through it one after the
// other, then moved.
type Place struct {
	Scale  float64 // 0 stands for 1
	Mirror string  // x, y or z: across the plane that stands on this axis; empty: not
	Turns  []Turn
	Move   r3.Vec
}

// Turn is a turn about an axis through the origin, right-handed.
type Turn struct {
	Axis r3.Vec
	By   float64 // rad
}

// apply returns where a place goes.
func (p Place) apply(v r3.Vec) r3.Vec {
	if p.Scale != 0 {
		v = r3.Scale(p.Scale, v)
	}
	switch p.Mirror {
	case "x":
		v.X = -v.X + 0
	case "y":
		v.Y = -v.Y + 0
	case "z":
		v.Z = -v.Z + 0
	}
	for _, t := range p.Turns {
		v = r3.Rotate(v, t.By, t.Axis)
	}
	return r3.Add(v, p.Move)
}

// place puts the mesh in its place. A mirror image has its triangles turned
// round, as else it would be inside out.
func (w *work) place(m *mesh.Mesh) *mesh.Mesh {
	out := m.Clone()
	for v, p := range out.Vertices {
		out.Vertices[v] = w.o.Place.apply(p)
	}
	if w.o.Place.Mirror == "" {
		return out
	}
	w.out.Mirrored = true
	return out.Flipped()
}
