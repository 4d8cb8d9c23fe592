package cli

import (
	"fmt"
	"io"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/dutydraw"
	"laywright/internal/doc/onepage"
	"laywright/internal/doc/pdf"
	"laywright/internal/doc/plydraw"
	"laywright/internal/doc/strengthdraw"
	"laywright/internal/doc/svg"
	"laywright/internal/doc/traveller"
	"laywright/internal/job"
	"laywright/internal/stage/plies"
	"laywright/internal/store/folder"
	"laywright/internal/store/meshfile"
)

// outputs lists the files of a plan's folder.
func outputs(plan job.Plan, planJSON []byte, on paper) ([]folder.File, error) {
	sheet := on.documents
	parts := []func() ([]folder.File, error){
		func() ([]folder.File, error) {
			return []folder.File{document("documents/traveller.pdf", plan, traveller.Pages(plan, sheet))}, nil
		},
		func() ([]folder.File, error) {
			return []folder.File{document("documents/plan.pdf", plan, onepage.Page(plan, sheet))}, nil
		},
		func() ([]folder.File, error) { return dutyFiles(plan), nil },
		func() ([]folder.File, error) { return importedFiles(plan), nil },
		func() ([]folder.File, error) { return cutFiles(plan, on) },
		func() ([]folder.File, error) { return bendFiles(plan), nil },
		func() ([]folder.File, error) { return dressFiles(plan, on) },
		func() ([]folder.File, error) { return mouldFiles(plan, on) },
		func() ([]folder.File, error) { return faceFile(plan), nil },
		func() ([]folder.File, error) { return mapFiles(plan), nil },
		func() ([]folder.File, error) { return pictureFile(plan), nil },
		func() ([]folder.File, error) { return strengthFile(plan), nil },
		func() ([]folder.File, error) { return rollFiles(plan, on) },
		func() ([]folder.File, error) { return tableFiles(plan, on) },
		func() ([]folder.File, error) { return shelfFile(plan), nil },
	}
	made := make([][]folder.File, len(parts))
	var group errgroup.Group // each draws pictures of its own
	for i, part := range parts {
		group.Go(func() (err error) {
			made[i], err = part()
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	first := folder.File{Path: "plan.json", Write: func(w io.Writer) error { _, err := w.Write(planJSON); return err }}
	return slices.Concat([]folder.File{first}, slices.Concat(made...)), nil
}

// dutyFiles are the pictures of the heater, each with its numbers.
func dutyFiles(plan job.Plan) (files []folder.File) {
	for _, pic := range dutydraw.Pictures(plan) {
		files = append(files, folder.File{Path: "documents/" + pic.Name + ".svg", Write: func(w io.Writer) error { return svg.Write(w, pic.Page()) }})
	}
	return files
}

// faceFile is the laminated surface for those who carve by machine, in
// millimetres: set deeper where cloth lies double, if the part's free side is
// drawn.
func faceFile(plan job.Plan) []folder.File {
	if plan.Mould == nil || plan.Mould.Surface == nil {
		return nil
	}
	face, deeper := plan.CarvedFace()
	if !deeper {
		face = plan.Mould.Surface
	}
	return []folder.File{{Path: "meshes/mould.stl", Write: func(w io.Writer) error { return meshfile.WriteSTL(w, face, 1e-3) }}}
}

// pictureFile is the pictures of the plies and of the strength.
func pictureFile(plan job.Plan) []folder.File {
	pictures := append(plydraw.Pages(plan), strengthdraw.Pages(plan)...)
	if len(pictures) == 0 {
		return nil
	}
	return []folder.File{document("documents/pictures.pdf", plan, pictures)}
}

// mapFiles are each ply and the laid height on the mould's mesh.
func mapFiles(plan job.Plan) (files []folder.File) {
	if plan.Plies == nil || len(plan.Plies.Plies) == 0 {
		return nil
	}
	for _, p := range plan.Plies.Plies {
		files = append(files, plyMesh(plan, p))
	}
	stack := plan.Plies.Relaid.Stack
	fields := []meshfile.Field{{Name: "layers", Scalar: stack.Layers}, {Name: "thickness_m", Scalar: stack.Thickness}}
	return append(files, folder.File{Path: "meshes/stack.vtk", Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, plan.Mould.Surface, "laid cloth", fields)
	}})
}

func document(name string, plan job.Plan, pages []draw.Page) folder.File {
	meta := pdf.Meta{Title: plan.Job.Name, Subject: plan.Job.Part, Creator: "laywright " + version}
	return folder.File{Path: name, Write: func(w io.Writer) error { return pdf.Write(w, pages, meta) }}
}

// plyMesh is a ply's cloth on the mould's mesh.
func plyMesh(plan job.Plan, p plies.Ply) folder.File {
	fields := []meshfile.Field{
		{Name: "shear_deg", Scalar: inDegrees(p.Laid.Shear)}, {Name: "flat_m", Vector: flatVectors(p.Laid.Flat)},
		{Name: "warp", Vector: p.Laid.Warp}, {Name: "weft", Vector: p.Laid.Weft},
		{Name: "warp_off_deg", Scalar: inDegrees(p.Laid.Off.Warp)}, {Name: "weft_off_deg", Scalar: inDegrees(p.Laid.Off.Weft)}}
	title := fmt.Sprintf("ply %d %s", p.Number, p.Fabric)
	return folder.File{Path: fmt.Sprintf("meshes/ply-%02d.vtk", p.Number), Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, plan.Mould.Surface, title, fields)
	}}
}

func inDegrees(rad []float64) []float64 {
	out := make([]float64, len(rad))
	for i, g := range rad {
		out[i] = g * 180 / math.Pi
	}
	return out
}

func flatVectors(flat []r2.Vec) []r3.Vec {
	out := make([]r3.Vec, len(flat))
	for i, p := range flat {
		out[i] = r3.Vec{X: p.X, Y: p.Y}
	}
	return out
}

// shelfFile is what cloth is left in the shop, for the next job.
func shelfFile(plan job.Plan) []folder.File {
	text := plan.Shelf()
	if text == "" {
		return nil
	}
	return []folder.File{{Path: "shelf.yaml", Write: func(w io.Writer) error { _, err := io.WriteString(w, text); return err }}}
}
