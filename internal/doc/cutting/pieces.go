package cutting

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/plies"
)

// Piece is a piece of a ply as it is drawn.
func Piece(plan job.Plan, p plies.Ply, piece flat.Piece) pattern.Piece {
	out := pattern.Piece{Part: PartName(plan), Name: piece.Name, Ply: p.Number, Fabric: p.Fabric, Angle: p.Angle,
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

// PartName names what the plan makes.
func PartName(plan job.Plan) string {
	switch {
	case plan.Job.Part == "":
		return plan.Job.Name
	case plan.Job.Name == "":
		return plan.Job.Part
	}
	return plan.Job.Part + " " + plan.Job.Name
}
