package resin

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// Cup is mixed resin left standing in a cup.
type Cup struct {
	Mass  si.Mass
	Air   si.Temperature
	Start si.Temperature // of the mix; 0: as the air
	Loss  si.Conductance // to the air; 0: an ordinary plastic cup, see CupLoss
}

// Pot is what becomes of a cup. A mark that is not reached is absent.
type Pot struct {
	Gel     *si.Time // the resin gels
	To40    *si.Time // it passes 40 degC
	To50    *si.Time // it passes 50 degC
	Peak    si.Temperature
	PeakAt  si.Time
	RunsOff bool // it heats itself by more than runaway above the air
}

// CupLoss returns the conductance from a plastic cup of mass m to the air.
//
//	UA = 0.11 W/K · (m/100 g)^⅔
//
// It is about 9 W/(m²K) by convection and radiation over the 0.012 m² of a
// 100 g cup, and grows as the surface of a body of one shape. ± 35 %.
func CupLoss(m si.Mass) si.Conductance {
	return si.Conductance(0.11 * math.Pow(float64(m)/0.1, 2.0/3))
}

// runaway is the rise in K past which a cup is taken to run off by itself. Cups
// that stay tame rise by some 10 to 30 K; between there and 100 K and more
// there is little.
const runaway = 40

// cupTolerance is the error a step may make: 3e-4 K and 1e-6 in the degree of cure.
const cupTolerance = 1e-6

// Watch computes the heat balance of a cup as one lump:
//
//	m·c·dT/dt = m·H·dα/dt − UA·(T − Tair)
//
// The middle of a real cup gels 2 to 5 % earlier than the lump. The peak of a
// cup that runs off is too high, for boiling, charring and a softening cup are
// left out: it is good for a warning, not as a number. Constant c.
//
// Source: [semenov1928], for the balance; loss and c as told in [Law] and [CupLoss].
func (l *Law) Watch(c Cup) (Pot, error) {
	if err := fault.Check("cup mass", float64(c.Mass)*1e3, 0.1, 50e3, " g", "a cup or a bucket"); err != nil {
		return Pot{}, err
	}
	if c.Start == 0 {
		c.Start = c.Air
	}
	if c.Loss == 0 {
		c.Loss = CupLoss(c.Mass)
	}
	w := cupWatch{law: l, pot: Pot{Peak: c.Start}}
	cool := float64(c.Loss) / (float64(c.Mass) * float64(l.Cp))
	rise := float64(l.Heat) / float64(l.Cp)
	s := num.NewSolver(num.Problem{N: 2, Lower: 1, Upper: 1, Scale: []float64{1, 1}, F: func(_ float64, y, dy []float64) {
		dy[1] = l.rate(y[0], y[1])
		dy[0] = rise*dy[1] - cool*(y[0]-float64(c.Air))
	}}, cupTolerance)
	const thirtyDays = 30 * 86400
	state := []float64{float64(c.Start), 0}
	if err := s.Run(0, thirtyDays, state, w.see); err != nil {
		return Pot{}, err
	}
	w.pot.RunsOff = w.pot.Peak > c.Air+runaway
	return w.pot, nil
}

// cupWatch notes the marks as a cup passes them.
type cupWatch struct {
	law *Law
	pot Pot
}

func (w *cupWatch) see(s *num.Step) bool {
	mark := func(done **si.Time, g func(t float64, y []float64) float64) {
		if *done != nil {
			return
		}
		if t, ok := s.Crossing(g); ok {
			at := si.Time(t)
			*done = &at
		}
	}
	forty, fifty := float64(si.Celsius(40)), float64(si.Celsius(50))
	mark(&w.pot.Gel, func(_ float64, y []float64) float64 { return y[1] - w.law.Gel })
	mark(&w.pot.To40, func(_ float64, y []float64) float64 { return y[0] - forty })
	mark(&w.pot.To50, func(_ float64, y []float64) float64 { return y[0] - fifty })
	var y [2]float64
	for i := 1; i <= 4; i++ {
		t := s.T0 + s.H*float64(i)/4
		s.At(t, y[:])
		if si.Temperature(y[0]) > w.pot.Peak {
			w.pot.Peak, w.pot.PeakAt = si.Temperature(y[0]), si.Time(t)
		}
	}
	const past = 0.5 // K below the peak, and falling
	return w.pot.Gel == nil || y[0] > float64(w.pot.Peak)-past
}

// Life returns when a pot is of no more use: at gel or when it passes 40 degC,
// whichever comes first. From 40 degC on an ordinary cup is minutes from smoke.
// ok is false where neither happens within 30 days.
func (p Pot) Life() (t si.Time, ok bool) {
	switch {
	case p.Gel == nil && p.To40 == nil:
		return 0, false
	case p.Gel == nil || p.To40 != nil && *p.To40 < *p.Gel:
		return *p.To40, true
	}
	return *p.Gel, true
}
