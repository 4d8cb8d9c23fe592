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

// resinName is the laminate's resin, or the one that the cure section names.
func (s Spec) resinName() (name, field string) {
	if s.Laminate != nil && s.Laminate.Resin != "" {
		return s.Laminate.Resin, "laminate.resin"
	}
	if s.Cure != nil {
		return s.Cure.Resin, "cure.resin"
	}
	return "", ""
}

// law returns the resin's record and its law of cure. A record that says
// nothing of its cure gives a nil law without an error: weighing needs none.
func (l link) law() (record material.Resin, law *resin.Law, err error) {
	name, field := l.spec.resinName()
	record, err = material.Pick(l.records.Resins, "resin", field, name)
	if err != nil || record.Kinetics == nil && record.Sheet == nil {
		return record, nil, err
	}
	made, err := resin.New(name, record)
	return record, &made, err
}

func (l link) wetoutLacks() (missing []string) {
	missing = append(missing, lacking(len(l.plan.clothLayers()) > 0, "laminate.stack with cloth")...)
	missing = append(missing, lacking(l.spec.Laminate != nil && l.spec.Laminate.Resin != "", "laminate.resin")...)
	return append(missing, lacking(l.plan.Mould != nil, "mould or part.area")...)
}

// wetout gives each cloth the area of its flat pieces, which is more than the
// surface's where the cloth shears.
func (l link) wetout() (wetout.Input, error) {
	record, law, err := l.law()
	in := wetout.Input{Area: l.plan.Mould.Area, Resin: l.spec.Laminate.Resin, Mix: record.Mix,
		ResinDensity: record.ResinDensity.Or(0), HardenerDensity: record.HardenerDensity.Or(0), Law: law,
		Shop: l.spec.Shop.temperature(), Humidity: float64(l.spec.Shop.Humidity), MinShop: record.MinShop.Or(0)}
	if l.spec.Wetout != nil {
		in.Spec = *l.spec.Wetout
	}
	if b := l.spec.Bench; in.Spec.Pace == 0 && b != nil && b.Pace.Given {
		in.Spec.Pace = b.Pace.PlyTime(in.Area, b.Hands)
	}
	cloth := 0
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
			if l.plan.Plies != nil && cloth < len(l.plan.Plies.Plies) {
				w.Area = PlyArea(l.plan.Plies.Plies[cloth])
			}
			cloth++
		}
		in.Layers = append(in.Layers, w)
	}
	peel, errPeel := l.consumable(material.PeelPly)
	if l.bagged() && errPeel == nil {
		in.Absorbers = []wetout.Absorber{{Name: "peel ply", Uptake: peel.Uptake.Or(0)}}
	}
	_, errFilm := l.consumable(material.Carrier)
	return in, errors.Join(err, errPeel, errFilm)
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

func (l link) bagLacks() []string {
	return lacking(l.spec.Bag != nil || l.bagged() && l.plan.Wetout != nil, "bag")
}

func (l link) bag() (in bag.Input, err error) {
	m, shop := l.plan.Mould, l.spec.Shop
	if l.spec.Bag != nil {
		in.Spec = *l.spec.Bag
	}
	in.Barometer, in.Elevation, in.Shop = shop.Barometer, shop.Elevation, shop.temperature()
	in.Humidity, in.Warmest = float64(shop.Humidity), shop.temperature()
	if l.plan.Wetout == nil {
		return in, nil // the vacuum alone
	}
	record, law, err := l.law()
	in.Area, in.ResinRho = m.Area, record.Density.Or(usualResinDensity)
	in.Rim, in.PlanX, in.PlanY, in.Height = l.sizes()
	for i, layer := range l.plan.Laminate.Layers {
		switch {
		case layer.Doubler():
		case layer.Kind == laminate.Cloth:
			in.Stack = append(in.Stack, l.pressed(i, layer))
		default:
			in.CoreThick += layer.Thickness
		}
	}
	if law != nil {
		in.Viscosity, err = thickening(law, in.Shop, l.untilVacuum())
	}
	for _, c := range []struct {
		use  material.Use
		into *material.Consumable
	}{{material.PeelPly, &in.PeelPly}, {material.ReleaseFilm, &in.ReleaseFilm}, {material.Bleeder, &in.Bleeder}, {material.BagFilm, &in.BagFilm}} {
		var e error
		*c.into, e = l.consumable(c.use)
		err = errors.Join(err, e)
	}
	return in, err
}

const usualResinDensity si.Density = 1150 // cured epoxy, typical

// pressed is a cloth as the bag finds it. Where the record does not say how it
// compacts, plain-woven carbon's constants are taken (common practice, no source).
func (l link) pressed(i int, layer laminate.Layer) bag.Cloth {
	f := l.records.Fabrics[layer.Name]
	fibre := l.records.Fibres[f.Fibre]
	return bag.Cloth{Areal: layer.Fibre, FibreRho: fibre.Density.Or(1780), Radius: fibre.Radius.Or(3.5e-6),
		Fraction: float64(layer.FibreFraction), CompactedAt: float64(f.Vf1.Or(0.52)), Exponent: float64(f.CompactB.Or(0.08))}
}

// thickening follows the viscosity at shop temperature from the moment the
// vacuum comes on until the resin gels.
func thickening(law *resin.Law, shop si.Temperature, from si.Time) (out []bag.Moment, err error) {
	gel, ok, err := law.GelTime(shop)
	if err != nil || !ok {
		return nil, err
	}
	const steps = 60
	course := law.Start(0)
	var now si.Time
	for i := range steps {
		// 0.99: at gel itself the viscosity has no bound
		at := from + (0.99*gel-from)*si.Time(i)/(steps-1)
		if at < now || at <= 0 {
			continue
		}
		if err := course.Follow(now, at, shop, shop, nil); err != nil {
			return nil, err
		}
		now = at
		mu, known := law.Viscosity(shop, course.Degree())
		if !known {
			break
		}
		out = append(out, bag.Moment{At: at - from, Viscosity: mu})
	}
	return out, nil
}
