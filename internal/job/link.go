package job

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/duty"
	"laywright/internal/stage/joint"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/strength"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// link holds the arrows: one method a stage that maps the job and the results
// so far to the stage's input, and one that lists what the stage would lack.
type link struct {
	spec    Spec
	records material.Set
	inputs  Inputs
	plan    *Plan
	hardens *hardening // of the laminate's resin, once it was asked for
}

func lacking(there bool, what string) []string {
	if there {
		return nil
	}
	return []string{what}
}

func (l link) dutyLacks() []string { return lacking(l.spec.Duty != nil, "duty") }

func (l link) duty() (in duty.Input, err error) {
	in.Spec = *l.spec.Duty
	if name := in.Spec.FluidName(); name != "" {
		f, err := material.Pick(l.records.Fluids, "fluid", "duty.heater.liquid.fluid", name)
		if err != nil {
			return in, err
		}
		in.Fluid = &f
	}
	if name := in.Spec.FinsName(); name != "" {
		f, err := material.Pick(l.records.Fins, "fin", "duty.heater.core.geometry.fins", name)
		if err != nil {
			return in, err
		}
		in.Fins = &f
	}
	if f, known := l.records.Fluids[in.Spec.RivalName()]; known {
		in.Rival = &f
	}
	return in, nil
}

func (l link) mouldLacks() []string {
	part := l.spec.Part
	return lacking(l.spec.Mould != nil || part != nil && part.Area > 0, "mould or part.area")
}

func (l link) mould() (in mould.Input, err error) {
	in.Mould, in.Imported = l.spec.Mould, l.inputs.Mesh
	in.Air = mould.Air{Temperature: l.spec.Shop.temperature(), Humidity: float64(l.spec.Shop.Humidity)}
	if l.spec.Part != nil {
		in.Part = *l.spec.Part
	}
	if l.spec.Laminate != nil {
		seen := map[string]bool{}
		for _, line := range l.spec.Laminate.Lines() {
			if f, ok := l.records.Fabrics[line.Fabric]; ok && !seen[line.Fabric] {
				seen[line.Fabric] = true
				in.Fabrics = append(in.Fabrics, mould.Fabric{Name: line.Fabric, MinRadius: f.MinRadius.Or(0), MinOuter: f.MinOuter.Or(0)})
			}
		}
	}
	if in.Mould != nil {
		in.Materials, err = l.mouldMaterials()
		stack, wall := l.wall()
		in.Laminate, in.Warmth = l.moulded(wall), l.warmth(stack, wall)
	}
	return in, err
}

func (l link) mouldMaterials() (out []mould.Material, err error) {
	for i, name := range l.spec.Mould.Materials {
		m, err := material.Pick(l.records.Moulds, "mould material", fault.Numbered("mould.materials", i), name)
		if err != nil {
			return nil, err
		}
		out = append(out, mould.Material{Name: name, Record: m})
	}
	return out, nil
}

func (l link) laminateLacks() []string { return lacking(l.spec.Laminate != nil, "laminate") }

func (l link) laminate() (laminate.Input, error) {
	for i, line := range l.spec.Laminate.Stack.Value {
		if len(line.Within) > 0 && l.spec.Mould == nil {
			return laminate.Input{}, &fault.Input{Field: fault.Numbered("laminate.stack", i) + ".within", What: "there is no mould that it could lie on", Do: "describe the mould, or take within out"}
		}
	}
	in := laminate.Input{Spec: *l.spec.Laminate, Fibres: l.records.Fibres, Fabrics: l.records.Fabrics,
		Plies: l.records.Plies, Cores: l.records.Cores}
	if in.Spec.Resin != "" {
		r, err := material.Pick(l.records.Resins, "resin", "laminate.resin", in.Spec.Resin)
		if err != nil {
			return in, err
		}
		in.Resin = &r
	}
	return in, nil
}

func (l link) pliesLacks() (missing []string) {
	missing = append(missing, lacking(l.surface() != nil, "mould")...)
	return append(missing, lacking(len(l.plan.clothLayers()) > 0, "laminate.stack with cloth")...)
}

// surface is the laminated surface, nil where there is no mould.
func (l link) surface() *mesh.Mesh {
	if l.plan.Mould == nil {
		return nil
	}
	return l.plan.Mould.Surface
}

func (l link) plies() (in plies.Input, err error) {
	if l.spec.Plies != nil {
		in.Spec = *l.spec.Plies
	}
	in.Surface = l.surface()
	if l.spec.Part != nil {
		in.Mirrored = l.spec.Part.Mirrored
	}
	for i, layer := range l.plan.Laminate.Layers {
		if layer.Kind != laminate.Cloth {
			continue
		}
		f, err := material.Pick(l.records.Fabrics, "fabric", "laminate.stack", layer.Name)
		if err != nil {
			return in, err
		}
		within, err := l.within(i, layer.Within)
		if err != nil {
			return in, err
		}
		in.Plies = append(in.Plies, plies.PlyIn{Number: len(in.Plies) + 1, Name: layer.Name, Angle: layer.Angle, Fabric: f,
			Thickness: layer.Thickness, Fibre: layer.Fibre, Within: within})
	}
	return in, nil
}

func (l link) strengthLacks() (missing []string) {
	d, w := l.plan.Duty, l.plan.Laminate
	missing = append(missing, lacking(d != nil && d.Loads != nil && len(d.Loads.Cases) > 0, "duty.loads")...)
	missing = append(missing, lacking(l.surface() != nil, "mould")...)
	return append(missing, lacking(w != nil && w.Stiff != nil, "laminate with known stiffness")...)
}

// strength takes the wall as free of stress at the shop's temperature, where
// its resin gels.
func (l link) strength() (in strength.Input, err error) {
	if l.spec.Strength != nil {
		in.Spec = *l.spec.Strength
	}
	loads := l.plan.Duty.Loads
	in.Mesh, in.Factor, in.Limit, in.At, in.Patch = l.surface(), loads.Factor, loads.Deflection, loads.At, loads.Patch
	if e := loads.Engine; e != nil {
		in.Engine = &joint.Engine{Low: e.From, High: e.To, Cylinders: e.Cylinders, TwoStroke: e.TwoStroke, Blades: e.Blades, Gear: e.Gear}
	}
	in.Warp, in.MassKnown = r3.Vec{X: 1}, true
	if l.spec.Plies != nil && l.spec.Plies.Warp.V != (r3.Vec{}) {
		in.Warp = l.spec.Plies.Warp.V
	}
	for _, layer := range l.plan.Laminate.Layers {
		in.MassKnown = in.MassKnown && layer.MassKnown
		in.Layers = append(in.Layers, strength.Layer{Ply: layer.Ply, Mass: layer.ArealMass(), Core: layer.Kind == laminate.CoreLay, CoreShear: layer.CoreShear, Doubler: layer.Doubler()})
	}
	if l.plan.Plies != nil {
		l.walls(&in)
	}
	for _, c := range loads.Cases {
		x := strength.Case{Name: c.Name, Pressure: c.Pressure, Inertia: c.Inertia, Handling: c.Handling, Across: -c.Through}
		if c.Wall != nil {
			x.DT = si.TemperatureDifference(*c.Wall - l.spec.Shop.temperature())
			x.Wall, x.Under = *c.Wall, x.DT
		}
		in.Cases = append(in.Cases, x)
	}
	if r, known := l.records.Resins[l.spec.Laminate.Resin]; known {
		in.Matrix = strength.Matrix{Glass: r.Tg.Full.Or(0), WetDrop: r.WetDrop.Or(0)}
	}
	return in, l.held(&in)
}

// Polygon turns a plan's list of points into an outline.
func Polygon(points [][2]float64) geom.Polygon {
	out := make(geom.Polygon, len(points))
	for i, p := range points {
		out[i] = r2.Vec{X: p[0], Y: p[1]}
	}
	return out
}

// shopNote says what was taken where the job does not describe the shop.
func (s Shop) notes() (out []fault.Finding) {
	if s.Temperature == 0 {
		t := usualShop.Celsius()
		out = append(out, fault.Finding{Stage: "job", Severity: fault.Note, Code: "shop-temperature-taken",
			What: "The shop's temperature is not in the job; 20 degC is taken.", Why: "pot life halves for every ten degrees more",
			Value: &t, Unit: "degC", Do: "write shop: {temperature: ...}"})
	}
	return out
}
