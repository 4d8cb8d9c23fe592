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
	RunsAt  *si.Time // it has heated itself by runaway: it runs off
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
	pot, _, err := l.watch(c, nil)
	return pot, err
}

// watch follows a cup. The function see, if given, is told every quarter step,
// and ends the watch by returning false.
func (l *Law) watch(c Cup, see func(*cupWatch, Moment) bool) (Pot, *cupWatch, error) {
	if err := fault.Check("cup mass", float64(c.Mass)*1e3, 0.1, 50e3, " g", "a cup or a bucket"); err != nil {
		return Pot{}, nil, err
	}
	if c.Start == 0 {
		c.Start = c.Air
	}
	if c.Loss == 0 {
		c.Loss = CupLoss(c.Mass)
	}
	w := cupWatch{law: l, told: see, off: float64(max(c.Air, c.Start)) + runaway, pot: Pot{Peak: c.Start}}
	cool := float64(c.Loss) / (float64(c.Mass) * float64(l.Cp))
	rise := float64(l.Heat) / float64(l.Cp)
	s := num.NewSolver(num.Problem{N: 2, Lower: 1, Upper: 1, Scale: []float64{1, 1}, F: func(_ float64, y, dy []float64) {
		dy[1] = l.rate(y[0], y[1])
		dy[0] = rise*dy[1] - cool*(y[0]-float64(c.Air))
	}}, cupTolerance)
	state := []float64{float64(c.Start), 0}
	if err := s.Run(0, cupDays, state, w.see); err != nil {
		return Pot{}, nil, err
	}
	w.pot.RunsOff = w.pot.RunsAt != nil
	return w.pot, &w, nil
}

// cupDays is how long a cup is watched, s.
const cupDays = 30 * 86400

// Moment is a cup at one time.
type Moment struct {
	Time        si.Time
	Temperature si.Temperature
	Degree      float64
}

// cupWatch notes the marks as a cup passes them.
type cupWatch struct {
	law  *Law
	told func(*cupWatch, Moment) bool
	off  float64 // K: past it the cup runs off
	pot  Pot
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
	passes := func(done **si.Time, temperature float64) {
		mark(done, func(_ float64, y []float64) float64 { return y[0] - temperature })
	}
	mark(&w.pot.Gel, func(_ float64, y []float64) float64 { return y[1] - w.law.Gel })
	passes(&w.pot.To40, float64(si.Celsius(40)))
	passes(&w.pot.To50, float64(si.Celsius(50)))
	passes(&w.pot.RunsAt, w.off)
	var y [2]float64
	for i := 1; i <= 4; i++ {
		t := s.T0 + s.H*float64(i)/4
		s.At(t, y[:])
		if si.Temperature(y[0]) > w.pot.Peak {
			w.pot.Peak, w.pot.PeakAt = si.Temperature(y[0]), si.Time(t)
		}
		if w.told != nil && !w.told(w, Moment{si.Time(t), si.Temperature(y[0]), y[1]}) {
			return false
		}
	}
	const past = 0.5 // K below the peak, and falling
	return w.pot.Gel == nil || y[0] > float64(w.pot.Peak)-past
}

// mark is a mark of a cup.
type mark int

// The marks.
const (
	gelled mark = iota
	pastForty
	pastFifty
	ranOff
)

func (p Pot) at(m mark) *si.Time {
	switch m {
	case pastForty:
		return p.To40
	case pastFifty:
		return p.To50
	case ranOff:
		return p.RunsAt
	}
	return p.Gel
}

// reaches returns when a cup passes a mark, and follows it no further.
func (l *Law) reaches(c Cup, m mark) (t si.Time, ok bool, err error) {
	pot, _, err := l.watch(c, func(w *cupWatch, _ Moment) bool { return w.pot.at(m) == nil })
	if err != nil || pot.at(m) == nil {
		return 0, false, err
	}
	return *pot.at(m), true, nil
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
