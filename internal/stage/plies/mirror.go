package plies

import (
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/stage/flat"
)

// AllPieces are a ply's pieces and, where the part is also made as its mirror
// image, those of the other hand.
func (p Ply) AllPieces() []flat.Piece { return slices.Concat(p.Pieces, p.Mirrored) }

// mirror adds the pieces of the other hand.
func (w *work) mirror(out *Result) {
	if w.in.Mirrored == "" {
		return
	}
	for i := range out.Plies {
		p := &out.Plies[i]
		for _, piece := range p.Pieces {
			p.Mirrored = append(p.Mirrored, flat.Mirrored(piece, w.in.Plies[i].label(), w.in.Mirrored))
		}
	}
	out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: "part-mirrored",
		What: "The roll and the patterns hold the mirrored part too; its pieces have an M after their names.",
		Why:  "a mirrored part has mirrored plies, and a piece of the wrong hand does not fit",
		Do:   "Lay them on a mirrored mould, marked face up; resin, bag and mass in this plan are for one part."})
}
