package strength

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Matrix is what heat and moisture do to the resin that holds the yarns.
type Matrix struct {
	Glass   si.Temperature           // glass transition, dry, of the resin as it is cured; 0: not known
	WetDrop si.TemperatureDifference // by which moisture lowers it
}

// warmth is the temperature at which strengths in records were measured. Source:
// [chamis1983].
const warmth = si.Temperature(273.15 + 21)

// leastKept is kept of a strength where the resin has gone soft: next to nothing, so
// that the index still says how far beyond its limit the wall is.
const leastKept = 0.05

// kept is the share that moist resin keeps of its strength at a temperature:
//
//	√((Tgw − T)/(Tgd − T₀)),  Tgw = Tgd − wet drop, T₀ = 21 °C; at most 1
//
// Tgd is the dry glass transition. It holds for what the resin carries: compression
// (it keeps yarns from folding), shear, and tension across fibres.
// Source: [chamis1983].
func (m Matrix) kept(t si.Temperature) float64 {
	wet := float64(m.Glass) - float64(m.WetDrop)
	if m.Glass == 0 || float64(m.Glass) <= float64(warmth) {
		return 1
	}
	left := (wet - float64(t)) / float64(m.Glass-warmth)
	return max(leastKept, min(1, math.Sqrt(max(0, left))))
}

// retention is the share of matrix strength that counts in a case: the job's own number,
// or where it asks for that what the resin keeps; else all.
func (in *Input) retention(c Case) float64 {
	switch {
	case in.Spec.Retention != nil:
		return float64(*in.Spec.Retention)
	case in.Spec.HotWet:
		return in.keeps(c)
	}
	return 1
}

// keeps is what the resin keeps in a case that says how warm the wall is.
func (in *Input) keeps(c Case) float64 {
	if c.Wall == 0 {
		return 1
	}
	return in.Matrix.kept(c.Wall)
}

// softened is a ply's strengths with that share of what the resin carries. Cloth is
// held by yarns in tension both ways.
func softened(p wall.Ply, share float64) wall.Ply {
	if share == 1 || p.Strength == nil {
		return p
	}
	s := *p.Strength
	by := func(x *si.Pressure) { *x *= si.Pressure(share) }
	by(&s.Xc)
	by(&s.Yc)
	by(&s.S)
	if !p.Woven {
		by(&s.Yt)
	}
	p.Strength = &s
	return p
}

// muchLost is the share of matrix strength below which leaving heat out is a caution.
const muchLost = 0.8

// noteHotWet says on what strengths the margin rests.
func (r *Result) noteHotWet(in *Input) {
	least, at := in.weakest(in.retention)
	lost, warm := in.weakest(in.keeps)
	basis := fmt.Sprintf("Assumed: the resin fully cured (glass transition %.0f degC dry, %.0f K less when moist), the wall at %.0f degC; the share by Chamis' rule, no test.",
		in.Matrix.Glass.Celsius(), float64(in.Matrix.WetDrop), warm.Wall.Celsius())
	switch {
	case least < 1:
		r.Retention = &least
		if in.Spec.Retention != nil {
			basis = "The share is the job's own."
		}
		f := r.find(fault.Note, "hot-wet-strength", fmt.Sprintf("In %q compression and shear count with %.0f percent of their strength at room temperature.", at.Name, 100*least),
			basis, "Test coupons hot and moist, and write strength.retention, where the margin is small.")
		*f = f.Against(least, 1, "")
	case lost < muchLost && in.Spec.Retention == nil:
		f := r.find(fault.Caution, "hot-wet-not-counted", fmt.Sprintf("The margin counts strengths at room temperature; hot and moist, in %q, the resin keeps about %.0f percent of its own.", warm.Name, 100*lost),
			basis, "Write strength: {hot_wet: true} to count it, or retention with what your own hot and moist coupons kept.")
		*f = f.Against(lost, muchLost, "")
	}
}

// weakest is the case of the least share.
func (in *Input) weakest(share func(Case) float64) (least float64, at Case) {
	least = 1
	for _, c := range in.Cases {
		if k := share(c); k < least {
			least, at = k, c
		}
	}
	return least, at
}
