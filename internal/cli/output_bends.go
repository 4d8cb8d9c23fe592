package cli

import (
	"io"

	"laywright/internal/job"
	"laywright/internal/store/folder"
	"laywright/internal/store/meshfile"
)

// bendFiles is the map of how the mould's face bends, on the part's mesh.
func bendFiles(plan job.Plan) []folder.File {
	if plan.Mould == nil || plan.Mould.Surface == nil {
		return nil
	}
	c := plan.Mould.Curved
	fields := []meshfile.Field{{Name: "bend_least_per_m", Scalar: c.Low}, {Name: "bend_most_per_m", Scalar: c.High}}
	return []folder.File{{Path: "meshes/bends.vtk", Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, plan.Mould.Surface, "how the mould bends, hollow negative", fields)
	}}}
}
