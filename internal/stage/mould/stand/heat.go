package stand

import "laywright/internal/base/si"

// Layer is a sheet of the mould as heat crosses it.
type Layer struct {
	Thick   si.Length
	K       si.Conductivity
	Density si.Density
	Cp      si.SpecificHeat
}

// Soak returns how long heat takes to the middle of layers whose two faces are
// brought to a temperature at once: by then the middle has made nine tenths of
// the step.
//
//	t = R·C/4    R = Σ L/k, C = Σ L·ρ·c;  of one material (L/2)²/a, a = k/(ρ·c)
//
// The middle of one material then lacks (4/π)·e^(−π²/4) = 10.8 % of the step.
// Air takes longer to warm the faces. For layers that differ it is the same sum,
// not the same share.
//
// Source: [carslaw-jaeger1959].
func Soak(layers []Layer) si.Time {
	var resist, heat float64
	for _, l := range layers {
		resist += float64(l.Thick) / float64(l.K)
		heat += float64(l.Thick) * float64(l.Density) * float64(l.Cp)
	}
	return si.Time(resist * heat / 4)
}
