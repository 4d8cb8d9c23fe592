package plies

import (
	"fmt"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/stage/flat"
)

// cutWider is what laps are cut wider, m, so that what is measured on the mould is
// at least what was asked.
const cutWider = 5e-4

// cloth says how the pieces are cut.
func (w *work) cloth() flat.Cloth {
	return flat.Cloth{Lap: float64(or(w.in.Spec.Lap, usualLap)), Butted: w.in.Spec.Mode == "butted",
		Allowance: float64(or(w.in.Spec.TrimAllowance, usualAllowance)), Spare: cutWider, Margin: float64(or(w.in.Spec.Carrier, usualCarrier))}
}

// lap returns the width of the lap, 0 where slits are butted.
func (w *work) lap() float64 {
	if w.in.Spec.Mode == "butted" {
		return 0
	}
	return float64(or(w.in.Spec.Lap, usualLap))
}

// cut makes the pieces of a ply: P01, or P01A, P01B where there are several.
func (w *work) cut(p PlyIn, s *sheets) Ply {
	ply := Ply{Number: p.Number, Fabric: p.Name, Angle: p.Angle, Seams: []flat.Seam{}, Pieces: []flat.Piece{}, Laid: s.laid}
	for i, b := range s.beds {
		name := fmt.Sprintf("P%02d", p.Number)
		if len(s.beds) > 1 {
			name += flat.Letters(i)
		}
		ends, atTrim := w.ends(b)
		sheet := Sheet{Piece: name, Sheet: flat.Sheet{Ground: b.Ground, Flat: b.Flat, Ends: ends}, Vertices: b.onSurface(), Shear: b.Shear, Warp: b.Warp, Weft: b.Weft}
		ply.Sheets = append(ply.Sheets, sheet)
		c := w.cloth()
		c.Allowance = min(c.Allowance, atTrim/2)
		c.Pencilled = flat.SeedPlanes(b.SeedAt, b.Top.Mesh.FaceNormal(b.Seed.Face))
		c.Label = p.label()
		c.Label.Where = w.whatOf(b.part)
		c.Label.Nth, c.Label.Of = i+1, len(s.beds)
		ply.Pieces = append(ply.Pieces, flat.Cut(name, sheet.Sheet, c))
		ply.Seams = append(ply.Seams, sheet.Seams(w.lap())...)
	}
	return ply
}

// label is what is written on the pieces of a ply.
func (p PlyIn) label() flat.Label {
	return flat.Label{Ply: p.Number, Fabric: p.Name, Angle: p.Angle, FacesAlike: p.Fabric.Weave == material.Plain}
}

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
	if w.in.local != nil {
		return
	}
	out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: "part-mirrored",
		What: "The roll and the patterns hold the mirrored part too; its pieces have an M after their names.",
		Why:  "a mirrored part has mirrored plies, and a piece of the wrong hand does not fit",
		Do:   "Lay them on a mirrored mould, marked face up; resin, bag and mass in this plan are for one part."})
}
