package cli

import (
	"fmt"
	"io"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dutydraw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/onepage"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/pdf"
	"laywright/internal/doc/plydraw"
	"laywright/internal/doc/svg"
	"laywright/internal/doc/traveller"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/plies"
	"laywright/internal/store/folder"
	"laywright/internal/store/meshfile"
)

// outputs lists the files of a plan's folder.
func outputs(plan job.Plan, planJSON []byte, paper string) ([]folder.File, error) {
	sheet := draw.A4()
	if paper == "letter" {
		sheet = draw.Letter()
	}
	parts := []func() ([]folder.File, error){
		func() ([]folder.File, error) {
			return []folder.File{document("documents/traveller.pdf", plan, traveller.Pages(plan, sheet))}, nil
		},
		func() ([]folder.File, error) {
			return []folder.File{document("documents/plan.pdf", plan, onepage.Page(plan, sheet))}, nil
		},
		func() ([]folder.File, error) { return dutyFiles(plan), nil },
		func() ([]folder.File, error) { return importedFiles(plan), nil },
		func() ([]folder.File, error) { return cutFiles(plan, sheet) },
		func() ([]folder.File, error) { return bendFiles(plan), nil },
		func() ([]folder.File, error) { return dressFiles(plan, sheet) },
		func() ([]folder.File, error) { return mouldFiles(plan, sheet) },
		func() ([]folder.File, error) { return faceFile(plan), nil },
		func() ([]folder.File, error) { return mapFiles(plan), nil },
		func() ([]folder.File, error) { return rollFiles(plan) },
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

// cutFiles are the patterns and the meshes of all plies.
func cutFiles(plan job.Plan, sheet draw.Sheet) (files []folder.File, err error) {
	if plan.Plies == nil {
		return nil, nil
	}
	for _, p := range plan.Plies.Plies {
		more, err := plyFiles(plan, p, sheet)
		if err != nil {
			return nil, err
		}
		files = append(files, more...)
	}
	return files, nil
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

// mapFiles are the pictures of the plies and the map of the laid
// height on the mould's mesh.
func mapFiles(plan job.Plan) (files []folder.File) {
	if plan.Plies == nil || len(plan.Plies.Plies) == 0 {
		return nil
	}
	if pictures := plydraw.Pages(plan); len(pictures) > 0 {
		files = append(files, document("documents/pictures.pdf", plan, pictures))
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

// plyFiles are a ply's patterns and its mesh.
func plyFiles(plan job.Plan, p plies.Ply, sheet draw.Sheet) (files []folder.File, err error) {
	for _, piece := range p.AllPieces() {
		drawn := patternOf(plan, p, piece)
		page, err := pattern.Sheet(drawn)
		if err != nil {
			return nil, err
		}
		tiles, err := pattern.Tiles(drawn, sheet)
		if err != nil {
			return nil, err
		}
		stem := "patterns/" + piece.Name
		files = append(files,
			folder.File{Path: stem + ".dxf", Write: func(w io.Writer) error { return dxf.Write(w, page) }},
			folder.File{Path: stem + ".svg", Write: func(w io.Writer) error { return svg.Write(w, page) }},
			document(stem+".pdf", plan, tiles))
	}
	fields := []meshfile.Field{
		{Name: "shear_deg", Scalar: inDegrees(p.Laid.Shear)}, {Name: "flat_m", Vector: flatVectors(p.Laid.Flat)},
		{Name: "warp", Vector: p.Laid.Warp}, {Name: "weft", Vector: p.Laid.Weft},
		{Name: "warp_off_deg", Scalar: inDegrees(p.Laid.Off.Warp)}, {Name: "weft_off_deg", Scalar: inDegrees(p.Laid.Off.Weft)}}
	title := fmt.Sprintf("ply %d %s", p.Number, p.Fabric)
	return append(files, folder.File{Path: fmt.Sprintf("meshes/ply-%02d.vtk", p.Number), Write: func(w io.Writer) error {
		return meshfile.WriteVTK(w, plan.Mould.Surface, title, fields)
	}}), nil
}

func patternOf(plan job.Plan, p plies.Ply, piece flat.Piece) pattern.Piece {
	out := pattern.Piece{Part: partName(plan), Name: piece.Name, Ply: p.Number, Fabric: p.Fabric, Angle: p.Angle,
		Count: plan.Job.Quantity, Outline: job.Polygon(piece.Outline), Holes: polygons(piece.Holes), Knife: lines(piece.Knife), Notches: lines(piece.Notches),
		Net: job.Polygon(piece.Net), Trim: lines(piece.Trim), Carrier: job.Polygon(piece.Carrier), Warp: r2.Vec{X: 1},
		Marks: marksOf(piece), Words: piece.Words}
	if piece.Patch { // its outline is no edge of the part
		out.Net, out.Trim = nil, nil
	}
	if out.Outline.Contains(r2.Vec{}) { // laying begins at the origin of the flat
		out.Seed = &r2.Vec{}
	}
	for _, s := range piece.Stops {
		out.Stops = append(out.Stops, pattern.Stop{At: r2.Vec{X: s.At[0], Y: s.At[1]}, Radius: float64(s.Radius)})
	}
	return out
}

func lines(of [][][2]float64) (out [][]r2.Vec) {
	for _, k := range of {
		out = append(out, job.Polygon(k))
	}
	return out
}

// drawnAs says how the marks of the plies are drawn.
func drawnAs(kind string) pattern.Kind {
	switch kind {
	case flat.LapLine:
		return pattern.LapLine
	case flat.LapTo:
		return pattern.LapTo
	case flat.SeamLine:
		return pattern.Seam
	}
	return pattern.Plain
}

// marksOf draws the marks of the plies, and the part's cut-outs, which are cut
// when the part is trimmed.
func marksOf(piece flat.Piece) (out []pattern.Line) {
	for _, m := range piece.Marks {
		out = append(out, pattern.Line{Points: job.Polygon(m.Line), Label: m.Label, Kind: drawnAs(m.Kind)})
	}
	for _, c := range piece.Cutouts {
		h := job.Polygon(c)
		out = append(out, pattern.Line{Points: append(h, h[0]), Label: "cut-out"})
	}
	return out
}

func polygons(rings [][][2]float64) (out []geom.Polygon) {
	for _, r := range rings {
		out = append(out, job.Polygon(r))
	}
	return out
}

func partName(plan job.Plan) string {
	switch {
	case plan.Job.Part == "":
		return plan.Job.Name
	case plan.Job.Name == "":
		return plan.Job.Part
	}
	return plan.Job.Part + " " + plan.Job.Name
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

// insideCuts are the knife lines inside each piece, by its name; a hole is closed.
func insideCuts(plan job.Plan) map[string][]geom.Polygon {
	out := map[string][]geom.Polygon{}
	if plan.Plies == nil {
		return out
	}
	for _, p := range plan.Plies.Plies {
		for _, piece := range p.AllPieces() {
			cuts := polygons(piece.Knife)
			for _, h := range polygons(piece.Holes) {
				cuts = append(cuts, append(h, h[0]))
			}
			out[piece.Name] = cuts
		}
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

// rollFiles draw each roll's layout at full size for a cutter.
func rollFiles(plan job.Plan) (files []folder.File, err error) {
	if plan.Roll == nil {
		return nil, nil
	}
	outlines, inside := plan.Outlines(), insideCuts(plan)
	for i, r := range plan.Roll.Rolls {
		laid := pattern.Roll{Part: partName(plan), Material: r.Material, Width: r.Width, Length: r.Length, Use: r.Use}
		for _, x := range r.Placements {
			at := r2.Vec{X: float64(x.X), Y: float64(x.Y)}
			placed := pattern.Placed{Name: x.Piece, Outline: pattern.Place(outlines[x.Piece], at, x.Turn, x.Flipped)}
			for _, k := range inside[x.Piece] {
				placed.Knife = append(placed.Knife, pattern.Place(k, at, x.Turn, x.Flipped))
			}
			laid.Pieces = append(laid.Pieces, placed)
		}
		page, err := pattern.RollSheet(laid)
		if err != nil {
			return nil, err
		}
		name := r.Material
		if name == "" {
			name = fmt.Sprint(i + 1)
		}
		files = append(files,
			folder.File{Path: "patterns/roll-" + name + ".dxf", Write: func(w io.Writer) error { return dxf.Write(w, page) }},
			folder.File{Path: "patterns/roll-" + name + ".svg", Write: func(w io.Writer) error { return svg.Write(w, page) }})
	}
	return files, nil
}
