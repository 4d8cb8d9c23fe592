package probes

import "math"

// ThinBy leaves points out so that the broken line through the rest stays within
// an error (K) of each one left out. From a point kept it goes on as long as one
// straight line passes all points since within the error: the cone of slopes that
// they leave narrows with each.
func ThinBy(x, y []float64, within float64) (outX, outY []float64) {
	if len(x) == 0 {
		return nil, nil
	}
	outX, outY = []float64{x[0]}, []float64{y[0]}
	from := 0
	low, high := math.Inf(-1), math.Inf(1)
	for i := 1; i < len(x); i++ {
		dt := x[i] - x[from]
		if slope := (y[i] - y[from]) / dt; i > from+1 && !(slope >= low && slope <= high) {
			from = i - 1
			outX, outY = append(outX, x[from]), append(outY, y[from])
			low, high = math.Inf(-1), math.Inf(1)
			dt = x[i] - x[from]
		}
		low = max(low, (y[i]-within-y[from])/dt)
		high = min(high, (y[i]+within-y[from])/dt)
	}
	if n := len(x) - 1; n > 0 {
		outX, outY = append(outX, x[n]), append(outY, y[n])
	}
	return outX, outY
}

// leastRate is the least rate at which a part may have gone elsewhere in a gap,
// K/s: 2 K a minute (judgement).
const leastRate = 2.0 / 60

// fastest returns the steepest of the line over five minutes or more, K/s, and no
// less than leastRate.
func (p Probe) fastest() float64 {
	const span = 300
	rate, j := leastRate, 0
	for i := range p.X {
		for j < len(p.X) && p.X[j] < p.X[i]+span {
			j++
		}
		if j < len(p.X) {
			rate = max(rate, math.Abs(p.Y[j]-p.Y[i])/(p.X[j]-p.X[i]))
		}
	}
	return rate
}

// Coldest returns the line with the least that may have been in its gaps: down
// and up again no faster than anywhere else in it or 2 K a minute, and no lower
// than floor (K).
func (p Probe) Coldest(floor float64) (x, y []float64) { return p.through(floor, -1) }

// Warmest is the same with the most, no higher than ceiling (K).
func (p Probe) Warmest(ceiling float64) (x, y []float64) { return p.through(ceiling, 1) }

func (p Probe) through(bound, sign float64) (x, y []float64) {
	rate := p.fastest()
	for i := range p.X {
		if i > 0 && p.gapEnds(p.X[i]) {
			bx, by := detour(p.X[i-1], p.X[i], sign*p.Y[i-1], sign*p.Y[i], sign*bound, rate)
			for k := range bx {
				x, y = append(x, bx[k]), append(y, sign*by[k])
			}
		}
		x, y = append(x, p.X[i]), append(y, p.Y[i])
	}
	return x, y
}

func (p *Probe) gapEnds(t float64) bool {
	for _, g := range p.Gaps {
		if g.To == t {
			return true
		}
	}
	return false
}

// detour goes from (a, ya) up at rate, along the bound, and down to (b, yb).
//
//	   ____      bound
//	  /    \
//	 /      . b
//	. a
func detour(a, b, ya, yb, bound, rate float64) (x, y []float64) {
	top := (ya + yb + rate*(b-a)) / 2
	bound = max(bound, ya, yb)
	switch {
	case math.Abs(ya-yb) >= rate*(b-a):
		return nil, nil
	case top <= bound:
		return []float64{a + (top-ya)/rate}, []float64{top}
	}
	return []float64{a + (bound-ya)/rate, b - (bound-yb)/rate}, []float64{bound, bound}
}
