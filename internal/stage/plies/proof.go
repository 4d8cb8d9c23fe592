package plies

import (
	"context"

	"laywright/internal/stage/relay"
)

// putBack lays the pieces back on the mould and measures what they cover. Where
// laps are short or the cloth gapes, patches are cut, and all is laid again.
func (w *work) putBack(ctx context.Context, out *Result, laid []*sheets) (err error) {
	if out.Relaid, err = relay.Lay(ctx, w.relaying(out.Plies)); err != nil || w.lap() == 0 || w.in.Spec.Slits.None {
		return err
	}
	found := map[*sheets][]strip{} // plies that lie alike share their patches
	patched := false
	for i := range out.Plies {
		strips, known := found[laid[i]]
		if !known {
			if strips, err = w.strips(ctx, w.in.Plies[i], out.Relaid.Plies[i].Short); err != nil {
				return err
			}
			found[laid[i]] = strips
		}
		w.patch(&out.Plies[i], w.in.Plies[i], strips)
		patched = patched || len(strips) > 0
	}
	if patched {
		out.Relaid, err = relay.Lay(ctx, w.relaying(out.Plies))
	}
	return err
}

// relaying is what is put back.
func (w *work) relaying(plies []Ply) relay.Input {
	in := relay.Input{Surface: w.top, Lap: w.lap(), Allowance: w.cloth().Allowance}
	for i, p := range plies {
		r := relay.Ply{Number: p.Number, Thickness: float64(w.in.Plies[i].Thickness), ArealMass: float64(w.in.Plies[i].Fibre)}
		for j, s := range p.Sheets {
			piece := p.Pieces[j]
			r.Pieces = append(r.Pieces, relay.Piece{Ground: s.Ground, Flat: s.Flat, Outline: piece.Outline, Holes: piece.Holes, Knife: piece.Knife,
				Vertices: s.Vertices, Patch: piece.Patch})
		}
		in.Plies = append(in.Plies, r)
	}
	return in
}
