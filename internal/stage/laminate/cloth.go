package laminate

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// cloth turns a line with a fabric into a layer. Thickness and mass need
// densities; stiffness, expansion and strength are nil where a record lacks
// what they need.
func (d *designer) cloth(line Line, at string) (Layer, error) {
	f, err := material.Pick(d.in.Fabrics, "fabric", at+".fabric", line.Fabric)
	if err != nil {
		return Layer{}, err
	}
	if d.in.Resin == nil {
		return Layer{}, &fault.Input{Field: "laminate.resin", What: "the stack holds cloth but no resin is named", Do: "name one, like resin: laminating-epoxy-slow"}
	}
	resin := d.in.Resin
	fibre, density, err := d.fibreOf(f, at)
	if err != nil {
		return Layer{}, err
	}
	if err := needed("resin "+d.in.Spec.Resin, "density", "laminate.resin", resin.Density.Known && resin.Density.Value > 0); err != nil {
		return Layer{}, err
	}
	if err := needed("fabric "+line.Fabric, "areal_mass", at+".fabric", f.ArealMass.Known && f.ArealMass.Value > 0); err != nil {
		return Layer{}, err
	}
	if err := checkCloth(line.Fabric, f); err != nil {
		return Layer{}, err
	}
	v, err := d.fraction(line, f, density, at)
	if err != nil {
		return Layer{}, err
	}
	l := Layer{
		Ply:           wall.Ply{Name: line.Fabric, Angle: line.Angle, Thickness: plyThickness(f.ArealMass.Value, density, v), Woven: f.Weave != material.Unidirectional},
		Kind:          Cloth,
		MassKnown:     true,
		FibreFraction: v,
		Fibre:         f.ArealMass.Value,
		WarpShare:     warpShare(f),
	}
	l.Resin = si.ArealMass(float64(resin.Density.Value) * float64(1-v) * float64(l.Thickness))
	d.stiffen(&l, f, fibre)
	l.Strength = strengthAt(f, v)
	return l, nil
}

// checkCloth refuses shares that are none.
func checkCloth(name string, f material.Fabric) error {
	record := "materials.fabrics." + name
	for _, x := range []struct {
		key   string
		value material.Datum[si.Fraction]
		low   float64
	}{{"second_share", f.SecondShare, 0}, {"warp_share", f.WarpShare, 0}, {"crimp", f.Crimp, 0.2}, {"strength_at_fraction", f.StrengthAt, minFraction}} {
		if !x.value.Known {
			continue
		}
		if err := fault.Check(record+"."+x.key, float64(x.value.Value), x.low, 1, "", "a share of one"); err != nil {
			return err
		}
	}
	return nil
}

func needed(record, key, field string, known bool) error {
	if known {
		return nil
	}
	return &fault.Input{Field: field, What: fmt.Sprintf("%s has no usable %s", record, key), Do: "add it to the record"}
}

// fibreOf returns the constants and the density of a cloth's fibre or fibres.
func (d *designer) fibreOf(f material.Fabric, at string) (strand, si.Density, error) {
	one, err := material.Pick(d.in.Fibres, "fibre", at+".fabric", f.Fibre)
	if err != nil {
		return strand{}, 0, err
	}
	if err := needed("fibre "+f.Fibre, "density", at+".fabric", one.Density.Known && one.Density.Value > 0); err != nil {
		return strand{}, 0, err
	}
	if f.Second == "" {
		return strandOf(one), one.Density.Value, nil
	}
	two, err := material.Pick(d.in.Fibres, "fibre", at+".fabric", f.Second)
	if err != nil {
		return strand{}, 0, err
	}
	if err := needed("fibre "+f.Second, "density", at+".fabric", two.Density.Known && two.Density.Value > 0); err != nil {
		return strand{}, 0, err
	}
	m := float64(f.SecondShare.Or(0.5)) // a hybrid cloth that does not say is half and half
	r1, r2 := float64(one.Density.Value), float64(two.Density.Value)
	density := 1 / ((1-m)/r1 + m/r2)
	return mixed(strandOf(one), strandOf(two), m*density/r2), si.Density(density), nil
}

// fraction settles the fibre fraction: the line's own word before the section's
// before the cloth's usual ratio.
func (d *designer) fraction(line Line, f material.Fabric, density si.Density, at string) (si.Fraction, error) {
	spec := d.in.Spec
	for _, s := range []struct {
		at              string
		fraction, ratio *si.Fraction
	}{{at, line.FibreFraction, line.ResinRatio}, {"laminate", spec.FibreFraction, spec.ResinRatio}} {
		switch {
		case s.fraction != nil && s.ratio != nil:
			return 0, &fault.Input{Field: s.at + ".resin_ratio", What: "fibre_fraction and resin_ratio both say how much resin", Do: "keep one"}
		case s.fraction != nil:
			return *s.fraction, checkFraction(s.at+".fibre_fraction", *s.fraction)
		case s.ratio != nil:
			return fibreFraction(*s.ratio, density, d.in.Resin.Density.Value), checkRatio(s.at+".resin_ratio", *s.ratio)
		}
	}
	if !f.ResinRatio.Known {
		return 0, &fault.Input{Field: at, What: "nothing says how much resin goes with " + line.Fabric, Do: "write fibre_fraction: 0.45 or resin_ratio: 0.85"}
	}
	return fibreFraction(f.ResinRatio.Value, density, d.in.Resin.Density.Value), checkRatio("materials.fabrics."+line.Fabric+".resin_ratio", f.ResinRatio.Value)
}

func checkFraction(field string, v si.Fraction) error {
	return fault.Check(field, float64(v), minFraction, maxPacking, "", "at the upper end round fibres touch; write 0.55 for 55 percent")
}

// Limits on the mass of resin to the mass of cloth. Beyond them the entry is a
// slip: a dry bundle, or cloth afloat.
const minRatio, maxRatio = 0.1, 8

func checkRatio(field string, r si.Fraction) error {
	return fault.Check(field, float64(r), minRatio, maxRatio, "", "mass of resin to mass of cloth; write 0.85 for 85 g to 100 g")
}

// warpShare returns the share of a cloth's fibre that runs along the warp.
func warpShare(f material.Fabric) float64 {
	if f.Weave == material.Unidirectional {
		return float64(f.WarpShare.Or(1))
	}
	return float64(f.WarpShare.Or(0.5))
}

// stiffen sets what the ply's moduli and expansion follow from: two families
// of crimped yarns at a right angle, or one straight family.
func (d *designer) stiffen(l *Layer, f material.Fabric, fibre strand) {
	m := matrixOf(*d.in.Resin)
	if !fibre.elastic || !m.elastic {
		return
	}
	v := float64(l.FibreFraction)
	along := straight(fibre, m, v, d.in.Spec.Method)
	along.E1 *= si.Pressure(f.Crimp.Or(1))
	yarns := wall.Yarns{Along: along, WarpShare: l.WarpShare}
	if fibre.heat && m.heat {
		x := expansion(fibre, m, v, along)
		yarns.Expansion = &x
	}
	e, x := yarns.Weave()
	l.Elastic, l.Expansion = &e, x
	if l.Woven {
		l.Yarns = &yarns
	}
}

// gainAbove is how much of a gain in fibre fraction above the tested one comes
// back as strength. Bagging a wet lay-up raised its fibre fraction by 37.5
// percent and its strength by 17.4. Source: [jove2023].
const gainAbove = 0.174 / 0.375

// strengthAt returns the ply's strengths at fibre fraction v from those of the
// record. Strength along yarns is the yarns' own: below the tested fraction it
// falls in proportion, so that force per width stays; above, it gains less.
// Strength that the resin sets (shear, and across a cloth of one direction)
// stays.
func strengthAt(f material.Fabric, v si.Fraction) *wall.Strength {
	yt, yc := f.Yt, f.Yc
	woven := f.Weave != material.Unidirectional
	if woven && warpShare(f) == 0.5 { // a balanced weave is as strong one way as the other
		if !yt.Known {
			yt = f.Xt
		}
		if !yc.Known {
			yc = f.Xc
		}
	}
	for _, s := range []material.Datum[si.Pressure]{f.Xt, f.Xc, yt, yc, f.S} {
		if !s.Known || !(s.Value > 0) {
			return nil
		}
	}
	r := float64(v / f.StrengthAt.Or(v))
	if r > 1 {
		r = 1 + gainAbove*(r-1)
	}
	scale := si.Pressure(r)
	s := wall.Strength{Xt: scale * f.Xt.Value, Xc: scale * f.Xc.Value, Yt: yt.Value, Yc: yc.Value, S: f.S.Value}
	if woven {
		s.Yt, s.Yc = scale*s.Yt, scale*s.Yc
	}
	return &s
}
