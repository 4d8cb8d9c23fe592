package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/skin"
)

// sound refuses a face that is not one piece with rims where they should be.
func (b *shape) sound(m skin.Made) error {
	t, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		return err
	}
	if _, n := t.Components(); n != 1 {
		return &fault.Input{Field: "mould.solids", What: fmt.Sprintf("the face falls into %d pieces", n), Do: "let the solids run into each other, or add a flange that joins them"}
	}
	for _, rim := range m.Rims {
		if at := m.Mesh.Vertices[rim.Vertices[0]]; rim.Cutter < 0 && b.ground && math.Abs(at.Z-b.base) < roomy {
			return b.overhang(at, "mould.flange")
		} else if rim.Cutter < 0 {
			return &unclean{at}
		}
	}
	return nil
}

// flatRims tells whether every rim lies in a plane, so that the body's volume is
// that of the face closed by flats. A rim that runs from one flange onto another
// does not.
func flatRims(m skin.Made) bool {
	for _, rim := range m.Rims {
		at := make([]r3.Vec, len(rim.Vertices))
		for i, v := range rim.Vertices {
			at[i] = m.Mesh.Vertices[v]
		}
		var n r3.Vec
		for i, p := range at {
			n = r3.Add(n, r3.Cross(r3.Sub(p, at[0]), r3.Sub(at[(i+1)%len(at)], at[0])))
		}
		n = r3.Unit(n)
		for _, p := range at {
			if math.Abs(r3.Dot(n, r3.Sub(p, at[0]))) > 1e-6 {
				return false
			}
		}
	}
	return true
}

// bodyVolume returns what the face holds above the base plane: each rim is
// closed by a fan of triangles, which is exact as rims of a face are plane.
func bodyVolume(m skin.Made) float64 {
	all := m.Mesh.Clone()
	for _, rim := range m.Rims {
		all.Fan(rim.Vertices)
	}
	return all.Volume()
}
