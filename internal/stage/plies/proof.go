package plies

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/stage/drape"
	"laywright/internal/stage/flat"
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

// strip is a patch as it lies: what of the surface it covers, and its cloth there.
type strip struct {
	relay.Region
	ground *cut.Ground
	laid   *drape.Result
}

// strips lays a strip of the ply's cloth over each stretch of its seams where the
// lap is short or the cloth gapes, from its own middle along the direction asked
// for there. Where there is no such strip the lap stays short, and the finding on
// laps says so.
func (w *work) strips(ctx context.Context, p PlyIn, short []relay.Stretch) (out []strip, err error) {
	regions, err := relay.Patches(w.top, short, w.lap())
	if err != nil {
		return nil, ctx.Err()
	}
	for _, r := range regions {
		warp := w.askedAt(r.Top.Mesh.At(r.Seed), float64(p.Angle))
		laid, err := drape.Solve(ctx, drape.Input{Surface: r.Top, Seed: r.Seed, Warp: warp, Locking: p.Fabric.Locking.Or(0)})
		if err == nil {
			out = append(out, strip{r, cut.Uncut(r.Top), laid})
		}
	}
	return out, ctx.Err()
}

// patch cuts the strips.
func (w *work) patch(ply *Ply, p PlyIn, strips []strip) {
	for i, s := range strips {
		sheet := Sheet{Piece: fmt.Sprintf("P%02d-%d", p.Number, i+1), Sheet: flat.Sheet{Ground: s.ground, Flat: s.laid.Flat}, Shear: s.laid.Shear}
		c := w.cloth()
		c.Pencilled = flat.SeedPlanes(s.Top.Mesh.At(s.Seed), s.Top.Mesh.FaceNormal(s.Seed.Face))
		c.Label = p.label()
		line := make([][3]float64, len(s.Line))
		for k, x := range s.Line {
			line[k] = triple(x)
		}
		ply.Pieces = append(ply.Pieces, flat.Patch(sheet.Piece, sheet.Sheet, c, line))
		ply.Sheets = append(ply.Sheets, sheet)
	}
}

// askedAt returns the direction asked for of a ply's warp at a place, rad.
func (w *work) askedAt(at r3.Vec, angle float64) r3.Vec {
	v := w.in.Surface.NearestVertex(at, func(v int) bool { return w.toward[v] != (r3.Vec{}) })
	if v < 0 {
		return w.parts[0].Turned(angle)
	}
	sin, cos := math.Sincos(angle)
	d := w.toward[v]
	return r3.Add(r3.Scale(cos, d), r3.Scale(sin, r3.Cross(w.normals[v], d)))
}
