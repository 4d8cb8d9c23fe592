package job

import (
	"errors"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/bag"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
)

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
	if l.plan.Wetout == nil || l.plan.Laminate == nil || m == nil {
		return in, nil // the vacuum alone
	}
	record, law, _, err := l.law()
	in.Area, in.ResinRho = m.Area, record.Density.Or(usualResinDensity)
	in.LightParts = lightParts(record)
	in.Rim, in.PlanX, in.PlanY, in.Height = l.sizes()
	in.Face, in.Surface = m.Face, m.Surface
	in.Cavity = l.spec.Mould != nil && l.spec.Mould.Kind == mould.Cavity
	for _, r := range m.Rims {
		if r.Kind == mould.Outer {
			in.Edge = append(in.Edge, r.Vertices...)
		}
	}
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
		in.Viscosity, err = l.thickening(law)
	}
	for _, v := range in.Viscosity {
		in.Warmest = max(in.Warmest, v.Temperature)
	}
	return in, errors.Join(err, l.covering(&in))
}

// covering looks up what lies over the laminate.
func (l link) covering(in *bag.Input) (err error) {
	for _, c := range []struct {
		use  material.Use
		into *material.Consumable
	}{{material.PeelPly, &in.PeelPly}, {material.ReleaseFilm, &in.ReleaseFilm}, {material.Bleeder, &in.Bleeder}, {material.BagFilm, &in.BagFilm}} {
		var e error
		*c.into, e = l.consumable(c.use)
		err = errors.Join(err, e)
	}
	breather, _, e := l.breather()
	in.Breather = breather
	return errors.Join(err, e)
}

// breather is the felt over the bleeder, between it and the bag: a bleeder's record,
// and the bleeder's own where the job names none. Its use is empty where it is left out.
func (l link) breather() (c material.Consumable, name string, err error) {
	if l.spec.Bag != nil {
		name = l.spec.Bag.Breather
	}
	switch name {
	case "none":
		return c, "", nil
	case "":
		c, name, _ = l.named(material.Bleeder) // what is wrong with it is told of the bleeder
		return c, name, nil
	}
	c, err = material.Pick(l.records.Consumables, "breather", "bag.breather", name)
	if err == nil && c.Use != material.Bleeder {
		err = &fault.Input{Field: "bag.breather", What: name + " is a " + string(c.Use), Do: "name a bleeder, or none"}
	}
	return c, name, err
}

// barrierFilm keeps the breather dry over the bleeder.
const barrierFilm = "release-film-solid"

// lightParts is what the resin's record says of its vapour; none where it does not.
func lightParts(r material.Resin) (v bag.Vapour) {
	if !r.Vapour.Known {
		return v
	}
	v = bag.Vapour{Pressure: r.Vapour.Value, At: r.Vapour.At, Energy: r.VapourE.Or(usualVapourE)}
	if v.At == 0 {
		v.At = si.Celsius(25)
	}
	return v
}

const (
	usualResinDensity si.Density     = 1150 // cured epoxy, typical
	usualVapourE      si.MolarEnergy = 50e3 // of common solvents, handbook typical
)

// pressed is a cloth as the bag finds it. Where the record does not say how it
// compacts, plain-woven carbon's constants are taken (common practice, no source).
func (l link) pressed(i int, layer laminate.Layer) bag.Cloth {
	f := l.records.Fabrics[layer.Name]
	fibre := l.records.Fibres[f.Fibre]
	return bag.Cloth{Areal: layer.Fibre, FibreRho: fibre.Density.Or(1780), Radius: fibre.Radius.Or(3.5e-6),
		Fraction: float64(layer.FibreFraction), CompactedAt: float64(f.Vf1.Or(0.52)), Exponent: float64(f.CompactB.Or(0.08))}
}

// leg is a piece of the time from the first mixing, along which the laminate's
// temperature runs straight.
type leg struct {
	t0, t1 si.Time
	a, b   si.Temperature
}

func (p leg) at(t si.Time) si.Temperature {
	if !(p.t1 > p.t0) {
		return p.b
	}
	return p.a + si.Temperature((t-p.t0)/(p.t1-p.t0))*(p.b-p.a)
}

// At gel itself the viscosity has no bound: it is followed to nearGel of that time, and
// resin that gelled before the vacuum came on is as good as solid.
const (
	nearGel              = 0.99
	gelled  si.Viscosity = 1e5
)

// untilGelled is as long as a gel is waited for: past it a laminate is not one.
const untilGelled si.Time = 60 * 86400

// legs is the temperature that wet resin has, as far as the job gives it: the shop's,
// then a schedule that is written down. One that the cure searches for is not known
// yet, and the shop's stays.
func (l link) legs() []leg {
	shop := l.spec.Shop.temperature()
	if l.spec.Cure == nil || !l.spec.Cure.Schedule.Given || len(l.spec.Cure.Schedule.Value.X) == 0 {
		return []leg{{0, untilGelled, shop, shop}}
	}
	c, from := l.spec.Cure.Schedule.Value, l.untilVacuum()
	if l.spec.Cure.Start.Given {
		from = l.spec.Cure.Start.Value
	}
	out := []leg{{0, from, shop, shop}, {from, from + c.X[0], c.Y[0], c.Y[0]}}
	for i := 1; i < len(c.X); i++ {
		out = append(out, leg{from + c.X[i-1], from + c.X[i], c.Y[i-1], c.Y[i]})
	}
	last := out[len(out)-1]
	return append(out, leg{last.t1, max(last.t1, untilGelled), shop, shop})
}

// thickening follows temperature and viscosity from the moment the vacuum comes on
// until the resin gels; nothing where it never does.
func (l link) thickening(law *resin.Law) (out []bag.Moment, err error) {
	legs, from := l.legs(), l.untilVacuum()
	gel, ok, err := gelsAt(law, legs)
	if err != nil || !ok {
		return nil, err
	}
	if from >= nearGel*gel {
		return []bag.Moment{{At: 0, Viscosity: gelled}, {At: 1, Viscosity: gelled}}, nil
	}
	const steps = 80
	course, k := law.Start(0), 0
	var now si.Time
	for i := range steps {
		at := from + (nearGel*gel-from)*si.Time(i)/(steps-1)
		if at <= 0 {
			continue
		}
		for now < at {
			for k+1 < len(legs) && legs[k].t1 <= now {
				k++
			}
			to := min(at, legs[k].t1)
			if err := course.Follow(now, to, legs[k].at(now), legs[k].at(to), nil); err != nil {
				return nil, err
			}
			now = to
		}
		mu, known := law.Viscosity(legs[k].at(now), course.Degree())
		if !known {
			break
		}
		out = append(out, bag.Moment{At: at - from, Viscosity: mu, Temperature: legs[k].at(now)})
	}
	return out, nil
}

// gelsAt is when resin gels that has the temperature of the legs.
func gelsAt(law *resin.Law, legs []leg) (at si.Time, ok bool, err error) {
	course := law.Start(0)
	for _, p := range legs {
		at, ok, err = course.Until(func(g resin.Glimpse) float64 { return g.Degree - law.Gel }, p.t0, p.t1, p.a, p.b)
		if ok || err != nil {
			return at, ok, err
		}
	}
	return 0, false, nil
}
