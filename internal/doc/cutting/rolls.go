package cutting

import (
	"cmp"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/si"
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
	laid := pattern.Roll{Part: PartName(plan), Material: cmp.Or(r.Material, "cloth"), From: from(r), Width: r.Width, Length: r.Length, Use: r.Use,
		Show: plan.Spec.Show, Edge: r.Edge, Defects: r.Defects, Outline: job.Polygon(r.Outline)}
	if len(r.Outline) > 0 { // a remnant is drawn whole
		laid.Length = si.Length(laid.Outline.Bounds().Max.X)
	}
	for _, x := range r.Placements {
		laid.Pieces = append(laid.Pieces, pattern.Placed{Piece: pieces[x.Piece], At: r2.Vec{X: float64(x.X), Y: float64(x.Y)}, Turn: x.Turn, Flipped: x.Flipped})
	}
	if r.Table > 0 {
		for x := r.Table; x < r.Length; x += r.Table {
			laid.Sections = append(laid.Sections, x)
		}
	}
	done := 0
	for _, b := range r.Blanks {
		blank := pattern.Blank{From: b.From, To: b.To}
		for _, x := range r.Placements[done : done+b.Pieces] {
			blank.Pieces = append(blank.Pieces, x.Piece)
		}
		done += b.Pieces
		laid.Blanks = append(laid.Blanks, blank)
	}
	for _, k := range r.Left {
		at := r2.Vec{X: float64(k.X), Y: float64(k.Y)}
		laid.Kept = append(laid.Kept, pattern.Kept{Name: k.Name, Outline: job.Polygon(k.Outline).Shift(at)})
	}
	return laid
}

// from names the roll or the remnant in the shop, with its lot.
func from(r nest.Laid) string {
	switch {
	case r.Lot == "":
		return r.Stock
	case r.Stock == "":
		return "lot " + r.Lot
	}
	return r.Stock + ", lot " + r.Lot
}

// all are the pieces of the plan by their names: those of the plies as they are
// drawn, any other with its outline alone.
func all(plan job.Plan) map[string]pattern.Piece {
	out := map[string]pattern.Piece{}
	holes := plan.Holes()
	for name, outline := range plan.Outlines() {
		out[name] = pattern.Piece{Part: PartName(plan), Name: name, Outline: outline, Holes: holes[name], Warp: r2.Vec{X: 1}}
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
