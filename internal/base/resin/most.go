package resin

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// Most returns the mass that left standing in one cup, in air of this
// temperature, peaks at a given temperature: more of it gets hotter. It is 0
// where even a gram does, and ok is false where 50 kg do not.
//
//	Tpeak(m) = peak, by the balance of [Law.Watch]
//
// It is good within a factor of two, for the cup's loss is (± 35 %, see
// [CupLoss]). Source: [semenov1928], that the mass decides.
func (l *Law) Most(air, peak si.Temperature) (most si.Mass, ok bool, err error) {
	over := func(logMass float64) float64 {
		pot, failed := l.Watch(Cup{Mass: si.Mass(math.Exp(logMass)), Air: air})
		if failed != nil {
			err = failed
		}
		return float64(pot.Peak - peak)
	}
	low, high := math.Log(0.001), math.Log(50)
	atLow, atHigh := over(low), over(high)
	switch {
	case err != nil || atHigh <= 0:
		return 0, false, err
	case atLow >= 0:
		return 0, true, nil
	}
	const share = 0.01 // of the mass: finer than the cup's loss is known
	x, failed := num.Root(over, low, high, share)
	if err == nil {
		err = failed
	}
	return si.Mass(math.Exp(x)), err == nil, err
}

// Tray returns how deep resin may lie in a flat tray to stay as cool as mass m
// in a cup: the temperature follows the ratio of mass to loss alone, and the
// tray loses heat through its free face,
//
//	ρ·d/h = m/UA(m)    h = 9 W/(m²K), UA as [CupLoss]
//
// as on wood or foam. On stone or metal it stays cooler.
func (l *Law) Tray(m si.Mass) (deep si.Length) {
	return si.Length(float64(m) / float64(CupLoss(m)) * cupFilm / float64(l.Density))
}

// cupFilm is convection and radiation from a cup or a tray in still air, W/(m²K).
const cupFilm = 9
