package cli

import (
	"io"

	"laywright/internal/job"
	"laywright/internal/store/folder"
	"laywright/internal/store/meshfile"
)

// importedFiles are an imported mould's surface, where what fills a hole is 1 and
// what was measured 0, and the solid it was thickened to, in millimetres.
func importedFiles(plan job.Plan) (files []folder.File) {
	m := plan.Mould
	if m == nil || m.Filled == nil || m.Surface == nil {
		return nil
	}
	filled := make([]float64, len(m.Surface.Vertices))
	for f, is := range m.Filled {
		if is {
			for _, v := range m.Surface.Triangles[f] {
				filled[v] = 1
			}
		}
	}
	fields := []meshfile.Field{{Name: "filled", Scalar: filled}}
	files = append(files, folder.File{Path: "meshes/mould.vtk", Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, m.Surface, "mould", fields)
	}})
	if m.Body == nil {
		return files
	}
	return append(files, folder.File{Path: "meshes/mould-body.stl", Write: func(w io.Writer) error {
		return meshfile.WriteSTL(w, m.Body.Mesh, 1e-3)
	}})
}
