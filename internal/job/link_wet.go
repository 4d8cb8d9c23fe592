package job

import (
	"errors"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/wetout"
)

// clothLayers lists the layers that are laid wet.
func (p *Plan) clothLayers() (out []laminate.Layer) {
	if p.Laminate == nil {
		return nil
	}
	for _, l := range p.Laminate.Layers {
		if l.Kind == laminate.Cloth {
			out = append(out, l)
		}
	}
	return out
}

// resinName is the laminate's resin, or the one that the section wetout or cure names.
func (s Spec) resinName() (name, field string) {
	switch {
	case s.Laminate != nil && s.Laminate.Resin != "":
		return s.Laminate.Resin, "laminate.resin"
	case s.Wetout != nil && s.Wetout.Resin != "":
		return s.Wetout.Resin, "wetout.resin"
	case s.Cure != nil:
		return s.Cure.Resin, "cure.resin"
	}
	return "", ""
}

// hardening is a resin's law as far as it is worked out already: calibrating takes
// a while, and three stages ask.
type hardening struct {
	name string
	law  *resin.Law
	ends []resin.Law
}

// law returns the resin's record, its law of cure and the laws at the ends of what
// is not known of it. A record that says nothing of its cure gives a nil law without
// an error: weighing needs none.
func (l link) law() (record material.Resin, law *resin.Law, ends []resin.Law, err error) {
	name, field := l.spec.resinName()
	record, err = material.Pick(l.records.Resins, "resin", field, name)
	if err != nil || record.Kinetics == nil && record.Sheet == nil {
		return record, nil, nil, err
	}
	if h := l.hardens; h.law == nil || h.name != name {
		cups, err := l.gelCups(name)
		if err != nil {
			return record, nil, nil, err
		}
		made, err := once(l.inputs.Kept, "resin", []any{name, record, cups}, func() (*hardening, error) {
			law, ends, err := resin.Bracket(name, record, cups...)
			return &hardening{name, &law, ends}, err
		})
		if err != nil {
			return record, nil, nil, err
		}
		*h = *made
	}
	return record, l.hardens.law, l.hardens.ends, nil
}

func (l link) wetoutLacks() (missing []string) {
	if w := l.spec.Wetout; w != nil && w.Mixed > 0 {
		name, _ := l.spec.resinName()
		return lacking(name != "", "laminate.resin or wetout.resin")
	}
	missing = append(missing, lacking(len(l.plan.clothLayers()) > 0, "laminate.stack with cloth")...)
	missing = append(missing, lacking(l.spec.Laminate != nil && l.spec.Laminate.Resin != "", "laminate.resin")...)
	return append(missing, lacking(l.plan.Mould != nil, "mould or part.area")...)
}

// wetout gives each cloth the area of its flat pieces, which is more than the
// surface's where the cloth shears.
func (l link) wetout() (wetout.Input, error) {
	record, law, ends, err := l.law()
	name, _ := l.spec.resinName()
	in := wetout.Input{Resin: name, Mix: record.Mix, ResinDensity: record.ResinDensity.Or(0), HardenerDensity: record.HardenerDensity.Or(0), Law: law, Ends: ends,
		Shop: l.spec.Shop.temperature(), Mould: l.spec.Shop.Mould, Humidity: float64(l.spec.Shop.Humidity), MinShop: record.MinShop.Or(0),
		Amine: record.Class != material.Anhydride}
	if l.spec.Wetout != nil {
		in.Spec = *l.spec.Wetout
	}
	bench := l.hands()
	in.Mixing = bench.Pace.Mixing()
	if l.plan.Laminate == nil || l.plan.Mould == nil {
		return in, err // the mix alone
	}
	in.Area = l.plan.Mould.Area
	cloth, work := 0, l.work()
	for _, layer := range l.plan.Laminate.Layers {
		w := wetout.Layer{Name: layer.Name, Areal: layer.Fibre, Solid: layer.Solid}
		if layer.Fibre > 0 {
			w.Ratio = float64(layer.Resin / layer.Fibre)
		} else {
			w.Soaked = layer.Resin
		}
		if f, ok := l.records.Fabrics[layer.Name]; ok && f.ArealMass.Spread > 0 {
			w.Spread = float64(f.ArealMass.Spread / f.ArealMass.Value)
		}
		if layer.Kind == laminate.Cloth {
			w.Area, w.Work = work[cloth].Area, bench.Pace.PlyTime(work[cloth], bench.Hands)
			cloth++
		}
		in.Layers = append(in.Layers, w)
	}
	peel, errPeel := l.consumable(material.PeelPly)
	if l.bagged() && errPeel == nil {
		in.Absorbers = []wetout.Absorber{{Name: "peel ply", Uptake: peel.Uptake.Or(0)}}
	}
	film, errFilm := l.consumable(material.Carrier)
	in.FilmUptake, in.FilmFaces = film.Uptake.Or(0), l.filmFaces()
	return in, errors.Join(err, errPeel, errFilm)
}

// filmFaces is the area of carrier film that lies on cloth: two faces of each ply's
// pieces.
func (l link) filmFaces() (sum si.Area) {
	for _, p := range l.work() {
		sum += 2 * p.Area
	}
	return sum
}

// bagged says whether the part goes under a bag: the job says how, or it is a
// whole part on a mould.
func (l link) bagged() bool {
	return l.spec.Bag != nil || l.plan.Mould != nil && l.plan.Mould.Surface != nil
}

// consumable returns the record that the job names for a use, or the usual one.
func (l link) consumable(use material.Use) (material.Consumable, error) {
	c, _, err := l.named(use)
	return c, err
}

// named is [link.consumable] with what the library calls it.
func (l link) named(use material.Use) (c material.Consumable, name string, err error) {
	var spec bag.Spec
	if l.spec.Bag != nil {
		spec = *l.spec.Bag
	}
	film := ""
	if l.spec.Wetout != nil {
		film = l.spec.Wetout.Film
	}
	choice := map[material.Use]struct{ named, usual, key string }{
		material.PeelPly:     {spec.PeelPly, "peel-ply-80", "bag.peel_ply"},
		material.ReleaseFilm: {spec.Film, "release-film-perforated", "bag.film"},
		material.Bleeder:     {spec.Bleeder, "bleeder-150", "bag.bleeder"},
		material.BagFilm:     {spec.BagFilm, "bag-film-nylon-50", "bag.bag_film"},
		material.SealantTape: {spec.Tape, "sealant-tape-12", "bag.tape"},
		material.Carrier:     {film, "carrier-film-50", "wetout.carrier_film"},
	}[use]
	if name = choice.named; name == "" {
		name = choice.usual
	}
	c, err = material.Pick(l.records.Consumables, string(use), choice.key, name)
	if err == nil && c.Use != use {
		err = &fault.Input{Field: choice.key, What: name + " is a " + string(c.Use), Do: "name a " + string(use)}
	}
	return c, name, err
}
