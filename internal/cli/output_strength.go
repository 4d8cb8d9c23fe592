package cli

import (
	"io"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/wall"
	"laywright/internal/job"
	"laywright/internal/stage/strength"
	"laywright/internal/store/folder"
	"laywright/internal/store/meshfile"
)

// beyondAll stands in a file for an infinite failure index, where heat alone breaks a
// ply: readers refuse what is no number.
const beyondAll = 1e6

// strengthFile is what the strength stage found, on the mesh that it worked with.
func strengthFile(plan job.Plan) []folder.File {
	s := plan.Strength
	if s == nil || s.Mesh == nil {
		return nil
	}
	return []folder.File{{Path: "meshes/strength.vtk", Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, s.Mesh, strengthTitle(s), strengthFields(s))
	}}}
}

// strengthTitle is the file's one line of remarks: what its whole numbers mean.
func strengthTitle(s *strength.Result) string {
	words := []string{"strength"}
	if s.Share != nil {
		names := make([]string, len(wall.Criteria))
		for i, c := range wall.Criteria {
			names[i] = string(c)
		}
		words = append(words, "failure_index 1e6: heat alone", "ply 0 at the mould face, -1 none", "criterion 0 to 4: "+strings.Join(names, " "))
	}
	return strings.Join(words, "; ")
}

func strengthFields(s *strength.Result) (out []meshfile.Field) {
	vector := func(name string, cells bool, v []r3.Vec) {
		if v != nil {
			out = append(out, meshfile.Field{Name: name, Cells: cells, Vector: v})
		}
	}
	vector("move_m", false, s.Move)
	vector("buckling_shape", false, ofOne(s.Buckled))
	vector("swing_shape", false, ofOne(s.Swing))
	vector("reference", true, s.Direction)
	out = append(out, meshfile.Field{Name: "thickness_m", Cells: true, Scalar: s.Wall})
	if s.Share == nil {
		return out
	}
	index, ply, criterion := make([]float64, len(s.Share)), make([]int32, len(s.Share)), make([]int32, len(s.Share))
	for f, share := range s.Share {
		index[f], ply[f], criterion[f] = math.Min(share, beyondAll), s.Lead[f].Ply, s.Lead[f].Criterion
		if share == 0 {
			ply[f], criterion[f] = -1, -1
		}
	}
	return append(out, meshfile.Field{Name: "failure_index", Cells: true, Scalar: index},
		meshfile.Field{Name: "ply", Cells: true, Whole: ply}, meshfile.Field{Name: "criterion", Cells: true, Whole: criterion})
}

// ofOne is a shape that has no size of its own, with 1 as its largest motion.
func ofOne(shape []r3.Vec) []r3.Vec {
	var most float64
	for _, v := range shape {
		most = math.Max(most, r3.Norm(v))
	}
	if most == 0 {
		return nil
	}
	out := make([]r3.Vec, len(shape))
	for i, v := range shape {
		out[i] = r3.Scale(1/most, v)
	}
	return out
}
