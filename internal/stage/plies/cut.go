package plies

import (
	"fmt"

	"laywright/internal/stage/flat"
)

// cloth says how the pieces are cut.
func (w *work) cloth() flat.Cloth {
	return flat.Cloth{Lap: float64(or(w.in.Spec.Lap, usualLap)), Butted: w.in.Spec.Mode == "butted",
		Allowance: float64(or(w.in.Spec.TrimAllowance, usualAllowance))}
}

// lap returns the width of the lap, 0 where slits are butted.
func (w *work) lap() float64 {
	if w.in.Spec.Mode == "butted" {
		return 0
	}
	return float64(or(w.in.Spec.Lap, usualLap))
}

// cut makes the pieces of a ply, one a part of the surface, largest number of
// letters last: P01, or P01A, P01B where there are several.
func (w *work) cut(p PlyIn, s *sheets) Ply {
	ply := Ply{Number: p.Number, Fabric: p.Name, Angle: p.Angle, Seams: []flat.Seam{}, Pieces: []flat.Piece{}, Laid: s.laid}
	for i := range w.parts {
		name := fmt.Sprintf("P%02d", p.Number)
		if len(w.parts) > 1 {
			name += flat.Letters(i)
		}
		sheet := flat.Sheet{Ground: s.beds[i].Ground, Flat: s.beds[i].Flat}
		ply.Pieces = append(ply.Pieces, flat.Cut(name, sheet, w.cloth()))
		ply.Seams = append(ply.Seams, sheet.Seams(w.lap(), 1)...)
	}
	return ply
}
