package cutting

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// Rolls are the plan's rolls with the pieces where they lie.
func Rolls(plan job.Plan) (out []pattern.Roll) {
	if plan.Roll == nil {
		return nil
	}
	pieces := all(plan)
	for _, r := range plan.Roll.Rolls {
		out = append(out, rollOf(plan, r, pieces))
	}
	return out
}

// rollOf is one roll as it is drawn.
func rollOf(plan job.Plan, r nest.Laid, pieces map[string]pattern.Piece) pattern.Roll {
	laid := pattern.Roll{Part: PartName(plan), Material: r.Material, Width: r.Width, Length: r.Length, Use: r.Use, Show: plan.Spec.Show}
	for _, x := range r.Placements {
		laid.Pieces = append(laid.Pieces, pattern.Placed{Piece: pieces[x.Piece], At: r2.Vec{X: float64(x.X), Y: float64(x.Y)}, Turn: x.Turn, Flipped: x.Flipped})
	}
	return laid
}

// all are the pieces of the plan by their names: those of the plies as they are
// drawn, any other with its outline alone.
func all(plan job.Plan) map[string]pattern.Piece {
	out := map[string]pattern.Piece{}
	for name, outline := range plan.Outlines() {
		out[name] = pattern.Piece{Part: PartName(plan), Name: name, Outline: outline, Warp: r2.Vec{X: 1}}
	}
	if plan.Plies == nil {
		return out
	}
	for _, p := range plan.Plies.Plies {
		for _, piece := range p.AllPieces() {
			out[piece.Name] = Piece(plan, p, piece)
		}
	}
	return out
}
