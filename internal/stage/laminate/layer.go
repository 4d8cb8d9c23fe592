package laminate

import (
	"fmt"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Kind is what a layer is.
type Kind string

// The kinds of layer.
const (
	Cloth   Kind = "cloth"
	Cured   Kind = "ply" // measured, not laid wet
	CoreLay Kind = "core"
)

// Layer is one layer of the wall with what later stages need of it.
type Layer struct {
	wall.Ply                   // name, angle, thickness and what is known of its mechanics
	Kind          Kind         // cloth, ply or core
	FibreFraction si.Fraction  // of cloth
	Fibre         si.ArealMass // dry cloth
	Resin         si.ArealMass // wet lay-up resin: in cloth, or taken up by a core's two faces
	Solid         si.ArealMass // of a measured ply or a core, dry
	WarpShare     float64      // of cloth: share of the fibre along axis 1
	CoreShear     si.Pressure  // of a core: shear strength, 0 where it is not known
	MassKnown     bool
	Within        []Area // where a doubler lies; nil: the layer lies everywhere
}

// Doubler tells whether the layer lies in given places alone.
func (l Layer) Doubler() bool { return len(l.Within) > 0 }

// ArealMass returns the layer's whole mass per area, cured.
func (l Layer) ArealMass() si.ArealMass { return l.Fibre + l.Resin + l.Solid }

type designer struct{ in Input }

// layers turns each line of the stack into a layer.
func (d *designer) layers() ([]Layer, error) {
	lines := d.in.Spec.Lines()
	if len(lines) == 0 {
		return nil, &fault.Input{Field: "laminate.stack", What: "the stack is empty", Do: "list its plies from the mould face, or write auto"}
	}
	out := make([]Layer, len(lines))
	everywhere := false
	for i, line := range lines {
		at := fault.Numbered("laminate.stack", i)
		if err := checkWithin(line, at); err != nil {
			return nil, err
		}
		l, err := d.layer(line, at)
		if err != nil {
			return nil, err
		}
		l.Within = line.Within
		out[i] = l
		everywhere = everywhere || l.Kind != CoreLay && !l.Doubler()
	}
	if !everywhere && slices.ContainsFunc(out, Layer.Doubler) {
		return nil, &fault.Input{Field: "laminate.stack", What: "no ply lies everywhere: each has within", Do: "take within out of the plies that the wall is made of"}
	}
	return out, nil
}

// checkWithin refuses places that no doubler lies in. Whether they lie on the part is
// for what knows the part.
func checkWithin(line Line, at string) error {
	if line.Within != nil && line.Fabric == "" {
		return &fault.Input{Field: at + ".within", What: "only cloth lies in places alone", Do: "take within out; draw a core's or a measured ply's place into the mould"}
	}
	if line.Within != nil && len(line.Within) == 0 {
		return &fault.Input{Field: at + ".within", What: "no place is named", Do: "name one, like {around_fasteners: \"15 mm\"}, or take within out"}
	}
	for i, a := range line.Within {
		field := fault.Numbered(at+".within", i)
		named := 0
		for _, is := range []bool{a.Circle != nil, a.Polygon != nil, a.Fasteners != nil, a.Cutouts != nil} {
			if is {
				named++
			}
		}
		if named != 1 {
			return &fault.Input{Field: field, What: fmt.Sprintf("the place names %d of circle, polygon, around_fasteners and around_cutouts", named), Do: "name one"}
		}
		if a.Circle == nil {
			continue
		}
		const least, most = 2, 5000 // mm: a dot, a part
		if err := fault.Check(field+".circle.diameter", 1e3*float64(a.Circle.Diameter), least, most, " mm", "no cloth is cut so"); err != nil {
			return err
		}
	}
	return nil
}

// maxTurn bounds an angle: more than a whole turn is a slip.
const maxTurn = 360.0

func (d *designer) layer(line Line, at string) (Layer, error) {
	if err := fault.Check(at+".angle", line.Angle.Degrees(), -maxTurn, maxTurn, " deg", "a whole turn"); err != nil {
		return Layer{}, err
	}
	if line.Core == "" && line.Thickness != nil {
		return Layer{}, &fault.Input{Field: at + ".thickness", What: "only a core's thickness is given here", Do: "take it out; a cloth's follows from its mass, a ply's stands in its record"}
	}
	if line.Fabric == "" && (line.ResinRatio != nil || line.FibreFraction != nil) {
		return Layer{}, &fault.Input{Field: at, What: "only cloth is wet out", Do: "take resin_ratio or fibre_fraction out"}
	}
	named := 0
	for _, name := range []string{line.Fabric, line.Ply, line.Core} {
		if name != "" {
			named++
		}
	}
	switch {
	case named != 1:
		return Layer{}, &fault.Input{Field: at, What: fmt.Sprintf("the line names %d of fabric, ply and core", named), Do: "name one"}
	case line.Fabric != "":
		return d.cloth(line, at)
	case line.Ply != "":
		return d.cured(line, at)
	}
	return d.core(line, at)
}

// cured takes a measured ply from its record.
func (d *designer) cured(line Line, at string) (Layer, error) {
	r, err := material.Pick(d.in.Plies, "ply", at+".ply", line.Ply)
	if err != nil {
		return Layer{}, err
	}
	if err := needed("ply "+line.Ply, "thickness", at+".ply", r.Thickness.Known && r.Thickness.Value > 0); err != nil {
		return Layer{}, err
	}
	l := Layer{
		Ply:       wall.Ply{Name: line.Ply, Angle: line.Angle, Thickness: r.Thickness.Value},
		Kind:      Cured,
		MassKnown: r.Density.Known,
		Solid:     si.ArealMass(float64(r.Density.Value) * float64(r.Thickness.Value)),
	}
	if r.E1.Known && r.E2.Known && r.G12.Known && r.Nu12.Known {
		l.Elastic = &wall.Elastic{E1: r.E1.Value, E2: r.E2.Value, G12: r.G12.Value, Nu12: float64(r.Nu12.Value)}
		if !l.Elastic.Valid() {
			return Layer{}, &fault.Input{Field: at + ".ply", What: "the moduli of " + line.Ply + " belong to no stable material", Do: "give positive E1, E2, G12 and nu12 with nu12^2 below E1/E2"}
		}
	}
	if r.Alpha1.Known && r.Alpha2.Known {
		l.Expansion = &wall.Expansion{Alpha1: r.Alpha1.Value, Alpha2: r.Alpha2.Value}
	}
	if r.Xt.Known && r.Xc.Known && r.Yt.Known && r.Yc.Known && r.S.Known {
		s := wall.Strength{Xt: r.Xt.Value, Xc: r.Xc.Value, Yt: r.Yt.Value, Yc: r.Yc.Value, S: r.S.Value}
		if !(min(s.Xt, s.Xc, s.Yt, s.Yc, s.S) > 0) {
			return Layer{}, &fault.Input{Field: at + ".ply", What: "a strength of " + line.Ply + " is not positive", Do: "write compression as a positive number too"}
		}
		l.Strength = &s
	}
	return l, nil
}

// core takes a core of the line's thickness. Its wet faces take up resin.
func (d *designer) core(line Line, at string) (Layer, error) {
	r, err := material.Pick(d.in.Cores, "core", at+".core", line.Core)
	if err != nil {
		return Layer{}, err
	}
	if line.Thickness == nil {
		return Layer{}, &fault.Input{Field: at, What: "the core has no thickness", Do: `add one, like thickness: "5 mm"`}
	}
	const thin, thick = 0.1, 200 // mm: a veil, a block
	if err := fault.Check(at+".thickness", 1e3*float64(*line.Thickness), thin, thick, " mm", "what is sold as core"); err != nil {
		return Layer{}, err
	}
	l := Layer{
		Ply:       wall.Ply{Name: line.Core, Angle: line.Angle, Thickness: *line.Thickness},
		Kind:      CoreLay,
		Solid:     si.ArealMass(float64(r.Density.Value) * float64(*line.Thickness)),
		Resin:     2 * r.Uptake.Or(0),
		MassKnown: r.Density.Known,
	}
	if r.E.Known {
		e := foam(r)
		if !e.Valid() {
			return Layer{}, &fault.Input{Field: at + ".core", What: "the moduli of " + line.Core + " belong to no stable material", Do: "give a positive E, and nu between -1 and 0.5"}
		}
		l.Elastic = &e
		l.G13, l.G23, l.CoreShear = r.G.Or(0), r.G.Or(0), r.Shear.Or(0)
	}
	if r.Alpha.Known {
		l.Expansion = &wall.Expansion{Alpha1: r.Alpha.Value, Alpha2: r.Alpha.Value}
	}
	return l, nil
}

// usualNu is Poisson's ratio of a core whose record has none. Assumed; in a
// sandwich the core's share of the stiffness in its plane is slight.
const usualNu = 0.3

// foam returns a core's moduli in its plane, alike both ways.
func foam(r material.Core) wall.Elastic {
	nu := float64(r.Nu.Or(usualNu))
	return wall.Elastic{E1: r.E.Value, E2: r.E.Value, G12: r.E.Value / si.Pressure(2*(1+nu)), Nu12: nu}
}
