package job

import (
	"fmt"
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/bench"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"

	"gonum.org/v1/gonum/spatial/r3"
)

func (l link) cureLacks() (missing []string) {
	name, _ := l.spec.resinName()
	missing = append(missing, lacking(name != "", "laminate.resin or cure.resin")...)
	missing = append(missing, lacking(l.spec.Cure != nil || l.plan.Bag != nil && l.surface() != nil, "cure")...)
	if r, ok := l.records.Resins[name]; ok {
		missing = append(missing, lacking(r.Kinetics != nil || r.Sheet != nil, "materials.resins."+name+".kinetics")...)
	}
	return missing
}

func (l link) cure() (in cure.Input, err error) {
	if l.spec.Cure != nil {
		in.Spec = *l.spec.Cure
	}
	record, law, ends, err := l.law()
	if err != nil {
		return in, err
	}
	in.Law, in.Spread, in.Log = *law, ends, l.inputs.Trace
	in.Shop = l.spec.Shop.temperature()
	in.WetDrop, in.Ramp, in.MinShop = record.WetDrop.Or(0), record.RampLimit.Or(0), record.MinShop.Or(0)
	in.Matters, in.TgMeasured = l.spec.Job.Consequence != "", record.Tg.Full.Origin == material.Measured
	if d := l.plan.Duty; d != nil && d.Loads != nil {
		in.Service = d.Loads.Wall
	}
	if l.plan.Bag == nil || l.surface() == nil || l.plan.Wetout == nil {
		return in, nil
	}
	in.Before, in.Area = l.untilVacuum(), l.plan.Mould.Area
	in.Mould = l.mouldLayers()
	in.Layers = l.warmed()
	in.Bag, err = l.covers()
	return in, err
}

// mouldLayers are the mould's materials from the back as the mould stage found
// them: its body as thick as it is in the mean, then the skins over it.
func (l link) mouldLayers() (out []cure.Layer) {
	if l.plan.Mould == nil || l.plan.Mould.Stand == nil {
		return nil
	}
	for _, x := range l.plan.Mould.Stand.Layers {
		density, cp, k := x.Heated()
		out = append(out, cure.Layer{Name: x.Name, Thickness: x.Thickness, Fraction: 1, Density: density, Cp: cp, K: k, Limit: x.Record.Limit.Or(0)})
	}
	return out
}

// warmed is the laminate as heat meets it, between its doublers. Fibre values are those of the record,
// else of standard carbon.
func (l link) warmed() (out []cure.Layer) {
	for _, layer := range l.plan.Laminate.Layers {
		if layer.Doubler() {
			continue
		}
		c := cure.Layer{Name: layer.Name, Thickness: layer.Thickness}
		switch layer.Kind {
		case laminate.Cloth:
			fibre := l.records.Fibres[l.records.Fabrics[layer.Name].Fibre]
			c.Fraction, c.Density = float64(layer.FibreFraction), fibre.Density.Or(1780)
			c.Cp, c.K = fibre.Cp.Or(750), fibre.K2.Or(4)
		case laminate.CoreLay:
			core := l.records.Cores[layer.Name]
			c.Fraction, c.Density = 1, core.Density.Or(80)
			c.Cp, c.K, c.Limit = core.Cp.Or(1300), core.K.Or(0.03), core.Limit.Or(0)
		default: // a cured ply: cp and k of carbon and epoxy (handbook typical)
			c.Fraction, c.Density, c.Cp, c.K = 1, l.records.Plies[layer.Name].Density.Or(1550), 1000, 0.6
		}
		out = append(out, c)
	}
	return out
}

func (l link) covers() (out []cure.Cover, err error) {
	for _, use := range []material.Use{material.PeelPly, material.ReleaseFilm, material.Bleeder, material.BagFilm, material.SealantTape} {
		c, err := l.consumable(use)
		if err != nil {
			return nil, err
		}
		layers := 1
		if use == material.Bleeder {
			layers = l.plan.Bag.BleederPlies
		}
		out = append(out, cure.Cover{Name: string(use), Limit: c.Limit.Or(0),
			Resistance: c.Resistance.Or(0) * si.ThermalResistance(layers)})
	}
	c, name, err := l.breather()
	if name != "" {
		out = append(out, cure.Cover{Name: "breather", Limit: c.Limit.Or(0), Resistance: c.Resistance.Or(0)})
	}
	return out, err
}

func (l link) benchLacks() (missing []string) {
	missing = append(missing, lacking(l.spec.Bench != nil || l.plan.Bag != nil && l.surface() != nil, "bench")...)
	return append(missing, lacking(l.plan.Wetout != nil && l.plan.Laminate != nil && l.plan.Mould != nil, "wet-out")...)
}

func (l link) bench() (in bench.Input, err error) {
	in.Spec = l.hands()
	w := l.plan.Wetout
	in.Area, in.Bagged = l.plan.Mould.Area, l.plan.Bag != nil
	for _, c := range l.plan.Mould.Coats {
		for i := range c.Coats {
			dry := c.Dry
			if i == c.Coats-1 {
				dry = max(c.Dry, c.Last)
			}
			in.Release = append(in.Release, bench.Wait{Name: coatName(c.What, i+1, c.Coats), For: dry})
		}
	}
	if w.FilmGel != nil {
		in.FilmGel = *w.FilmGel
	}
	in.Plies = l.benchPlies()
	for _, p := range w.Pots {
		pot := bench.Pot{Mass: p.Mass}
		if p.Life != nil {
			pot.UseBefore = *p.Life
		}
		in.Pots = append(in.Pots, pot)
	}
	if b := l.plan.Bag; b != nil {
		in.LeakTest = max(300, b.LeakTime)
	}
	in.Trim, _, _, _ = l.sizes()
	in.Cure, in.Free = l.plan.cureWaits(l.untilVacuum())
	return in, nil
}

// benchPlies shares the pots out: a ply is wet out from the pot that its share
// of the resin begins in.
func (l link) benchPlies() []bench.Ply {
	pots := len(l.plan.Wetout.Pots)
	total, used := 0.0, 0.0
	layers := l.plan.clothLayers()
	takes := make([]float64, len(layers))
	for i, layer := range layers {
		takes[i] = float64(layer.Resin)
		if layer.Doubler() {
			takes[i] *= float64(l.clothArea(i) / l.plan.Mould.Area)
		}
		total += takes[i]
	}
	out := l.work()
	for i := range layers {
		if total > 0 {
			out[i].Pot = min(pots-1, int(used/total*float64(pots)+1e-9))
		}
		used += takes[i]
	}
	return out
}

// work is what there is of each ply of cloth to wet out and to place.
func (l link) work() (out []bench.Ply) {
	for i, layer := range l.plan.clothLayers() {
		p := bench.Ply{Name: fmt.Sprintf("ply %d, %s", i+1, layer.Name), Area: l.clothArea(i)}
		if layer.Doubler() {
			p.Name += ", doubler"
		}
		if l.plan.Plies != nil && i < len(l.plan.Plies.Plies) {
			laid := l.plan.Plies.Plies[i]
			p.Shear, p.Slits = laid.ShearP99, len(laid.Seams)
		}
		out = append(out, p)
	}
	return out
}

// hands is the bench as the job describes it. A time for a ply that stands under
// wet-out holds there too, where the bench gives no pace of its own.
func (l link) hands() (spec bench.Spec) {
	if l.spec.Bench != nil {
		spec = *l.spec.Bench
	}
	if w := l.spec.Wetout; w != nil && w.Pace > 0 && !spec.Pace.Given {
		spec.Pace = bench.Whole(w.Pace, spec.Hands)
	}
	return spec
}

// clothArea is the flat area of a ply of cloth, counted from 0; the part's where it was
// not laid.
func (l link) clothArea(i int) si.Area {
	if l.plan.Plies != nil && i < len(l.plan.Plies.Plies) {
		return PlyArea(l.plan.Plies.Plies[i])
	}
	return l.plan.Mould.Area
}

func coatName(what string, i, of int) string {
	if of == 1 {
		return what
	}
	return fmt.Sprintf("%s, coat %d of %d", what, i, of)
}

// untilVacuum is from the first mixing to the vacuum, at the bench's own pace.
func (l link) untilVacuum() si.Time {
	return l.hands().UntilVacuum(l.benchPlies(), len(l.plan.Wetout.Pots), l.plan.Mould.Area)
}

// sizes are the length of the part's outer edge and the size of the mould, as
// far as they are known; without a mould the part is taken to be square.
func (l link) sizes() (rim, x, y, z si.Length) {
	m := l.plan.Mould
	if m.Surface == nil {
		return si.Length(4 * math.Sqrt(float64(m.Area))), 0, 0, 0
	}
	for _, r := range m.Rims {
		if r.Kind == mould.Outer {
			rim += si.Length(loopLength(m.Surface, r.Vertices))
		}
	}
	box := m.Face.Bounds()
	size := r3.Sub(box.Max, box.Min)
	return rim, si.Length(size.X), si.Length(size.Y), si.Length(size.Z)
}

func loopLength(m *mesh.Mesh, loop []int32) (sum float64) {
	for i, v := range loop {
		next := loop[(i+1)%len(loop)]
		sum += r3.Norm(r3.Sub(m.Vertices[next], m.Vertices[v]))
	}
	return sum
}

// cureWaits names the pieces of the cure schedule for the bench: from the vacuum
// on, first those on the mould, then those off it. Equal holds are one.
func (p *Plan) cureWaits(from si.Time) (on, off []bench.Wait) {
	if p.Cure == nil {
		return nil, nil
	}
	line := p.Cure.Schedule
	for i := 1; i < len(line.Time); i++ {
		start, end := max(si.Time(line.Time[i-1]), from), si.Time(line.Time[i])
		if end <= start {
			continue
		}
		w := bench.Wait{Name: p.waitName(line.Temperature[i-1], line.Temperature[i]), For: end - start}
		into := &on
		if p.Cure.OffMould != nil && start >= *p.Cure.OffMould {
			w.Name += ", off the mould and held to its shape"
			into = &off
		}
		if n := len(*into); n > 0 && (*into)[n-1].Name == w.Name {
			(*into)[n-1].For += w.For
			continue
		}
		*into = append(*into, w)
	}
	return on, off
}

// level is the slope over a piece, in K, below which it counts as a hold.
const level = 0.5

func (p *Plan) waitName(from, to si.Temperature) string {
	switch {
	case math.Abs(float64(to-from)) < level:
		return "Hold at " + p.show(to)
	case to > from:
		return "Warm slowly to " + p.show(to)
	}
	return "Let cool to " + p.show(to)
}

func (p *Plan) show(t si.Temperature) string { return si.Show(t, p.Spec.system(), 3) }
