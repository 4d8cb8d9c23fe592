package job

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/carrier"
	"laywright/internal/stage/dress"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/nest"
)

// Dress is what is cut beside the cloth: the sheets that lie over the wet laminate, each
// laid out on its own roll, and the films that the cloth is wetted out between.
type Dress struct {
	Sheets   []dress.Laid    `json:"sheets,omitempty"`
	Rolls    []nest.Laid     `json:"rolls,omitempty"`
	Carrier  *carrier.Result `json:"carrier,omitempty"`
	Findings []fault.Finding `json:"-"`
}

// sheetLap is how far sheets lie over each other at seams, and bagLap strips of a bag
// that is wider than its roll, with tape between: common practice, no source.
const (
	sheetLap si.Length = 0.015
	bagLap   si.Length = 0.050
)

// usualDressSearch is what the layout of one of these rolls is given: they hold a few
// pieces of what costs little.
const usualDressSearch si.Time = 0.1

// dress cuts the sheets and groups the pieces on their films. Where that fails the plan
// stands all the same, and a finding says so.
func (l link) dress(ctx context.Context) (*Dress, error) {
	var d Dress
	for _, step := range []struct {
		what, code string
		do         func(context.Context, *Dress) error
	}{{"peel ply, film and bleeder are", "sheets-not-drawn", l.overlay}, {"films that the cloth is wetted out between are", "carrier-not-drawn", l.films}} {
		err := step.do(ctx, &d)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			d.Findings = append(d.Findings, fault.Finding{Stage: "bag", Severity: fault.Note, Code: step.code,
				What: "The " + step.what + " not drawn.", Why: err.Error(), Do: "Cut them by hand, over the mould"})
		}
	}
	if d.Sheets == nil && d.Carrier == nil && d.Findings == nil {
		return nil, nil
	}
	return &d, nil
}

// overlay cuts peel ply, release film, bleeder and bag for a part that has plies and whose
// job writes a bag, and lays them on their rolls. A bag that is only assumed has amounts.
func (l link) overlay(ctx context.Context, d *Dress) error {
	b, p := l.plan.Bag, l.plan.Plies
	if l.spec.Bag == nil || b == nil || p == nil || b.PeelPlyArea == 0 || l.surface() == nil {
		return nil
	}
	sheets, err := l.sheets()
	if err != nil {
		return err
	}
	in := dress.Input{Surface: l.surface(), Seed: flat.Vec(p.Seed), Warp: r3.Vec{X: 1}, Sheets: sheets}
	if s := l.spec.Plies; s != nil && s.Warp.V != (r3.Vec{}) {
		in.Warp = s.Warp.V
	}
	r, err := dress.Lay(ctx, in)
	if err != nil {
		return err
	}
	cover, err := l.cover()
	if err != nil {
		return err
	}
	d.Sheets, d.Findings = append(r.Sheets, cover.Rectangle(b.FilmLong, b.FilmWide)), append(d.Findings, r.Findings...)
	rolls, err := nest.Lay(ctx, l.dressRolls(d.Sheets, append(sheets, cover)))
	if err != nil {
		return err
	}
	d.Rolls = rolls.Rolls
	return nil
}

// sheets lists what follows the part's shape, from the laminate upwards.
func (l link) sheets() (out []dress.Sheet, err error) {
	b := l.plan.Bag
	plies := max(1, b.BleederPlies)
	for _, s := range []struct {
		use      material.Use
		letters  string
		layers   int
		margin   si.Length
		lap      si.Length
		expected si.Area
	}{
		{material.PeelPly, "PP", 1, bag.PeelMargin, sheetLap, b.PeelPlyArea},
		{material.ReleaseFilm, "RF", 1, bag.FilmMargin, sheetLap, b.FilmSheet},
		{material.Bleeder, "BL", plies, bag.BleederMargin, 0, b.BleederArea / si.Area(plies)},
	} {
		c, name, err := l.named(s.use)
		if err != nil {
			return nil, err
		}
		out = append(out, dress.Sheet{Use: string(s.use), Material: name, Letters: s.letters, Layers: s.layers, Woven: s.use == material.PeelPly,
			Locking: float64(c.Locking.Or(0)), Strain: float64(c.Stretch.Or(0)), Width: l.usable(c), Margin: s.margin, Lap: s.lap, Expected: s.expected})
	}
	return out, nil
}

// cover is the bag itself.
func (l link) cover() (dress.Sheet, error) {
	c, name, err := l.named(material.BagFilm)
	return dress.Sheet{Use: string(material.BagFilm), Material: name, Letters: "BF", Layers: 1, Width: l.usable(c), Lap: bagLap, Expected: l.plan.Bag.FilmArea}, err
}

// usable is the width of a consumable's roll between the edges that are kept free.
func (l link) usable(c material.Consumable) si.Length {
	w := c.Width.Or(usualRollWidth)
	if l.spec.Roll != nil {
		w -= 2 * l.spec.Roll.Edge
	}
	return w
}

// dressRolls lays each material on a roll of its own, as many pieces as all parts need. A
// mirrored part has the same pieces, turned over.
func (l link) dressRolls(laid []dress.Laid, sheets []dress.Sheet) (in nest.Input) {
	spec := nest.Spec{}
	if l.spec.Roll != nil {
		spec = *l.spec.Roll
	}
	for i, s := range sheets {
		for _, p := range laid[i].Pieces {
			if !s.FromRoll(p) {
				continue
			}
			r := dressRoll(&in, s, spec, l.spec.Job.Seed)
			r.Pieces = append(r.Pieces, nest.Piece{Name: p.Name, Outline: Polygon(p.Outline), Count: l.spec.Copies() * s.Layers, Turns: quarters, Flip: p.MayTurnOver})
		}
	}
	return in
}

// Copies is how many parts are made, those of the other hand with them.
func (s Spec) Copies() int {
	n := max(1, s.Job.Quantity)
	if s.Part != nil && s.Part.Mirrored != "" {
		n *= 2
	}
	return n
}

// quarters are the turns of a sheet that is alike along and across its roll.
var quarters = []si.Angle{0, math.Pi / 2, math.Pi, 3 * math.Pi / 2}

// dressRoll returns the roll of a sheet's material, a new one if there is none yet.
func dressRoll(in *nest.Input, s dress.Sheet, spec nest.Spec, seed uint64) *nest.Roll {
	for i := range in.Rolls {
		if in.Rolls[i].Material == s.Material {
			return &in.Rolls[i]
		}
	}
	search := usualDressSearch
	if spec.Search > 0 {
		search = min(search, spec.Search)
	}
	in.Rolls = append(in.Rolls, nest.Roll{Material: s.Material, Width: s.Width + 2*spec.Edge, Gap: spec.Gap, Edge: spec.Edge, Search: search, Seed: seed})
	return &in.Rolls[len(in.Rolls)-1]
}

// films groups the pieces of cloth by the cup that wets them.
func (l link) films(_ context.Context, d *Dress) error {
	w, p := l.plan.Wetout, l.plan.Plies
	if w == nil || p == nil {
		return nil
	}
	c, name, err := l.named(material.Carrier)
	if err != nil {
		return err
	}
	in := carrier.Input{Film: name, Width: c.Width.Or(usualRollWidth), Areal: c.ArealMass.Or(0), Keeps: c.Uptake.Or(0)}
	for _, pot := range w.Pots {
		in.Pots = append(in.Pots, pot.Mass)
	}
	cloth := 0
	for _, layer := range l.plan.Laminate.Layers {
		if layer.Kind != laminate.Cloth {
			in.Takes = append(in.Takes, carrier.Take{Resin: si.Mass(float64(layer.Resin) * float64(l.plan.Mould.Area))})
			continue
		}
		for _, piece := range p.Plies[cloth].Pieces {
			area := piece.Area + piece.LapArea
			in.Takes = append(in.Takes, carrier.Take{Piece: piece.Name, Ply: p.Plies[cloth].Number, Rectangle: Polygon(piece.Carrier), Area: area,
				Dry: si.Mass(float64(layer.Fibre) * float64(area)), Resin: si.Mass(float64(layer.Resin) * float64(area))})
		}
		cloth++
	}
	in.Takes = append(in.Takes, carrier.Take{Resin: w.Absorbed})
	r, err := carrier.Group(in)
	if err != nil {
		return err
	}
	d.Carrier, d.Findings = &r, append(d.Findings, r.Findings...)
	return nil
}

// DressOutlines returns the outline of each piece of the sheets that lie over the cloth,
// by its name, in metres about the piece's own origin.
func (p Plan) DressOutlines() map[string]geom.Polygon {
	out := map[string]geom.Polygon{}
	if p.Dress != nil {
		for _, s := range p.Dress.Sheets {
			for _, piece := range s.Pieces {
				out[piece.Name] = Polygon(piece.Outline)
			}
		}
	}
	return out
}
