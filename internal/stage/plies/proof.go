package plies

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/drape"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/relay"
)

// wider is how much wider a patch is cut that did not reach far enough, against what
// it lacked; patchRounds is how often patches are cut at the most.
const (
	wider       = 1.5
	patchRounds = 3
)

// putBack lays the pieces back on the mould and measures what they cover. Where
// laps are short or the cloth gapes, patches are cut, and all is laid again; patches
// that do not reach far enough are cut wider.
func (w *work) putBack(ctx context.Context, out *Result, laid []*sheets) (err error) {
	if out.Relaid, err = relay.Lay(ctx, w.relaying(out.Plies)); err != nil || w.lap() == 0 || w.in.Spec.Slits.None {
		return err
	}
	short := map[*sheets][]relay.Stretch{}
	wide := map[*sheets]float64{} // of the patches, to each side of the seam
	for i, s := range laid {
		if list := out.Relaid.Plies[i].Short; len(list) > 0 {
			short[s], wide[s] = list, w.lap()
		}
	}
	if len(short) == 0 {
		return nil
	}
	w.find = mesh.NewLocator(w.in.Surface)
	again := true
	for round := 0; round < patchRounds && again; round++ {
		if again, err = w.patchAll(ctx, out, laid, short, wide); err != nil {
			return err
		}
	}
	return nil
}

// patchAll cuts the patches of all plies and lays all again; plies that lie alike
// share them. It tells whether some are to be cut wider.
func (w *work) patchAll(ctx context.Context, out *Result, laid []*sheets, short map[*sheets][]relay.Stretch, wide map[*sheets]float64) (again bool, err error) {
	found := make([][]strip, len(laid)) // by the first ply of those that lie alike
	errs := make([]error, len(laid))
	sideBySide(len(laid), func(i int) {
		if s := laid[i]; wide[s] > 0 && slices.Index(laid, s) == i {
			found[i], errs[i] = w.strips(ctx, w.in.Plies[i], short[s], wide[s])
		}
	})
	if err := errors.Join(errs...); err != nil {
		return false, err
	}
	sideBySide(len(laid), func(i int) {
		if s, p := laid[i], &out.Plies[i]; wide[s] > 0 {
			p.Pieces, p.Sheets = p.Pieces[:len(s.beds)], p.Sheets[:len(s.beds)]
			w.patch(p, w.in.Plies[i], found[slices.Index(laid, s)])
		}
	})
	if out.Relaid, err = relay.Lay(ctx, w.relaying(out.Plies)); err != nil {
		return false, err
	}
	grown := map[*sheets]bool{}
	for i, s := range laid {
		c := out.Relaid.Plies[i]
		if len(c.Short) > 0 && wide[s] > 0 && wide[s] < 2*w.lap() && !grown[s] {
			wide[s] = min(2*w.lap(), wide[s]+wider*(w.lap()-float64(*c.LapLeast)))
			again, grown[s] = true, true
		}
	}
	return again, nil
}

// relaying is what is put back.
func (w *work) relaying(plies []Ply) relay.Input {
	in := relay.Input{Surface: w.top, Lap: w.lap(), Allowance: w.cloth().Allowance, Within: w.within}
	if w.in.local != nil {
		in.Allowance = 0 // all that a doubler's edge has for certain
	}
	for i, p := range plies {
		r := relay.Ply{Number: p.Number, Thickness: float64(w.in.Plies[i].Thickness), ArealMass: float64(w.in.Plies[i].Fibre)}
		for j, s := range p.Sheets {
			piece := p.Pieces[j]
			r.Pieces = append(r.Pieces, relay.Piece{Ground: s.Ground, Flat: s.Flat, Outline: piece.Outline, Holes: piece.Holes, Knife: piece.Knife,
				Vertices: s.Vertices, Patch: piece.Patch, Warp: s.Warp, Weft: s.Weft, Shear: s.Shear})
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

// leastWhole is the share of a patch's cloth that its outline must hold: what lies
// over itself in the flat can't be cut in one. mostHalvings is how often such a
// patch is parted.
const (
	leastWhole   = 0.95
	mostHalvings = 3
)

// strips lays a strip of the ply's cloth over each stretch of its seams where the
// lap is short or the cloth gapes, from its own middle along the direction asked
// for there; over each half of a stretch where it can't be cut in one. Where there
// is no such strip the lap stays short, and the finding on laps says so.
func (w *work) strips(ctx context.Context, p PlyIn, short []relay.Stretch, wide float64) (out []strip, err error) {
	for halvings := 0; len(short) > 0 && halvings <= mostHalvings; halvings++ {
		regions, err := relay.Patches(w.top, w.find, short, wide)
		if err != nil {
			return nil, ctx.Err()
		}
		short = nil
		for _, r := range regions {
			warp := w.askedAt(r.Top.Mesh.At(r.Seed), float64(p.Angle))
			laid, err := drape.Solve(ctx, drape.Input{Surface: r.Top, Seed: r.Seed, Warp: warp, Locking: p.Fabric.Locking.Or(0)})
			if err != nil {
				continue
			}
			s := strip{r, cut.Uncut(r.Top), laid}
			piece := flat.Patch("", flat.Sheet{Ground: s.ground, Flat: laid.Flat}, w.cloth(), nil)
			if flat.Polygon(piece.Outline).Area() > leastWhole*float64(piece.Area) {
				out = append(out, s)
			} else {
				short = append(short, r.Halves()...)
			}
		}
	}
	return out, ctx.Err()
}

// patch cuts the strips.
func (w *work) patch(ply *Ply, p PlyIn, strips []strip) {
	for i, s := range strips {
		sheet := Sheet{Piece: fmt.Sprintf("P%02d-%d", p.Number, i+1), Sheet: flat.Sheet{Ground: s.ground, Flat: s.laid.Flat}, Shear: s.laid.Shear, Warp: s.laid.Warp, Weft: s.laid.Weft}
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
