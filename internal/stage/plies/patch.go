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

// patch cuts a strip of the ply's cloth for each stretch of its seams where the
// lap is short or the cloth gapes, and tells whether there was any. Each is laid
// from its own middle, along the direction asked for there.
func (w *work) patch(ctx context.Context, ply *Ply, p PlyIn, short []relay.Stretch) (made bool, err error) {
	if w.lap() == 0 || w.in.Spec.Slits.None {
		return false, nil
	}
	regions, err := relay.Patches(w.top, short, w.lap())
	if err != nil {
		return false, err
	}
	for i, r := range regions {
		at := r.Top.Mesh.At(r.Seed)
		laid, err := drape.Solve(ctx, drape.Input{Surface: r.Top, Seed: r.Seed, Warp: w.askedAt(at, float64(p.Angle)), Locking: p.Fabric.Locking.Or(0)})
		if err != nil {
			return made, fmt.Errorf("ply %d, patch %d over a seam: %w", p.Number, i+1, err)
		}
		sheet := Sheet{Piece: fmt.Sprintf("P%02d-%d", p.Number, i+1), Sheet: flat.Sheet{Ground: cut.Uncut(r.Top), Flat: laid.Flat}, Shear: laid.Shear}
		c := w.cloth()
		c.Pencilled = flat.SeedPlanes(at, r.Top.Mesh.FaceNormal(r.Seed.Face))
		c.Label = p.label()
		var line [][3]float64
		for _, x := range r.Line {
			line = append(line, [3]float64{x.X, x.Y, x.Z})
		}
		ply.Pieces = append(ply.Pieces, flat.Patch(sheet.Piece, sheet.Sheet, c, line))
		ply.Sheets = append(ply.Sheets, sheet)
		made = true
	}
	return made, nil
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
