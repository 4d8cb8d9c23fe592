package joint

import (
	"math"

	"laywright/internal/base/si"
)

// Hole is a fastener's place in a laminate.
type Hole struct {
	Diameter  si.Length
	Head      si.Length // diameter of head or washer
	Thickness si.Length // of the laminate that bears
	Edge      si.Length // from the hole's middle to the nearest edge
	Pitch     si.Length // to the nearest other hole; 0: it is alone
}

// Limits are the laminate's strengths at a hole; 0 is not known.
type Limits struct{ Bearing, Shear, Tension si.Pressure }

// Use is what a way to fail uses of its strength, 1 being all of it.
type Use struct {
	Mode  string
	Share float64
}

// Bearing is the stress that shear V puts on a hole's wall.
//
//	σ = V/(d·t)
//
// Source: identity.
func (h Hole) Bearing(shear si.Force) si.Pressure {
	return si.Pressure(float64(shear) / float64(h.Diameter*h.Thickness))
}

// Uses returns what pull F along the fastener and shear V across it use: bearing,
// shearing out to the edge, tearing of the net section, and pulling the head through.
//
//	V/(d·t)/F_b    V/(2t·(e − d/2))/S    V/((w − d)·t)/X_t    F/(π·D·t)/S
//
// w is the lesser of pitch and 2e, D the head's diameter. Stresses are means; the
// hole's stress raiser in the net section is left out, so that it counts only where
// holes stand close. Ways whose strength is not known are left out.
//
// Source: [mil-hdbk-17-3f] (the four ways to fail).
func (h Hole) Uses(pull, shear si.Force, l Limits) (out []Use) {
	d, t, e := float64(h.Diameter), float64(h.Thickness), float64(h.Edge)
	w := 2 * e
	if h.Pitch > 0 {
		w = math.Min(w, float64(h.Pitch))
	}
	add := func(mode string, force si.Force, area float64, strength si.Pressure) {
		if strength > 0 {
			share := math.Abs(float64(force)) / (math.Max(area, 0) * float64(strength))
			if force == 0 {
				share = 0
			}
			out = append(out, Use{mode, share})
		}
	}
	add("bearing", shear, d*t, l.Bearing)
	add("shear-out", shear, 2*t*(e-d/2), l.Shear)
	add("net section", shear, (w-d)*t, l.Tension)
	add("pull-through", pull, math.Pi*float64(h.Head)*t, l.Shear)
	return out
}

// Worst returns the greatest of the uses.
func Worst(uses []Use) (worst Use) {
	for _, u := range uses {
		if u.Share > worst.Share {
			worst = u
		}
	}
	return worst
}
