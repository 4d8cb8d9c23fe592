package cure

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// longest bounds a cure: past it nothing changes that a shop could wait for.
const longest = 120 * 86400

func checkCurve(field string, c Curve) error {
	if len(c.X) < 2 || len(c.X) != len(c.Y) {
		return &fault.Input{Field: field, What: "needs two points or more, each a time and a temperature",
			Do: "write the end of a hold as a point of its own, like [[0, 20], [60, 60], [300, 60]]"}
	}
	for i := range c.X {
		at := fault.Numbered(field+".points", i)
		if err := fault.Check(at, float64(c.X[i])/60, 0, longest/60, " min", "from the start to 120 days"); err != nil {
			return err
		}
		if i > 0 && !(c.X[i] >= c.X[i-1]) {
			return &fault.Input{Field: at, What: fmt.Sprintf("goes back in time, from %.4g to %.4g min", c.X[i-1]/60, c.X[i]/60),
				Do: "put the points in order"}
		}
		if err := fault.Check(at, c.Y[i].Celsius(), -40, 350, " degC", "-40 to 662 degF: a frozen shop to where epoxy chars"); err != nil {
			return err
		}
	}
	if c.X[len(c.X)-1] == 0 {
		return &fault.Input{Field: field, What: "takes no time", Do: "give the end of the last hold as a point"}
	}
	return nil
}

// piece is a straight part of the temperature over time.
type piece struct {
	t0, t1 float64 // s from the first mixing
	a, b   float64 // K
}

func (p piece) at(t float64) float64 { return p.a + (p.b-p.a)*(t-p.t0)/(p.t1-p.t0) }

// slope is in K/s.
func (p piece) slope() float64 { return (p.b - p.a) / (p.t1 - p.t0) }

// pieces returns the whole history from the first mixing: the shop's temperature
// until the schedule begins, then the schedule. Two points at one time are a jump.
func pieces(c Curve, before si.Time, shop si.Temperature) []piece {
	var out []piece
	if before > 0 {
		out = append(out, piece{0, float64(before), float64(shop), float64(shop)})
	}
	if c.X[0] > 0 {
		out = append(out, piece{float64(before), float64(before + c.X[0]), float64(c.Y[0]), float64(c.Y[0])})
	}
	for i := 1; i < len(c.X); i++ {
		if c.X[i] > c.X[i-1] {
			out = append(out, piece{float64(before + c.X[i-1]), float64(before + c.X[i]), float64(c.Y[i-1]), float64(c.Y[i])})
		}
	}
	return out
}

// splitAt cuts the piece in which t lies, so that a piece begins there.
func splitAt(ps []piece, t float64) []piece {
	for i, p := range ps {
		if p.t0 < t && t < p.t1 {
			middle := p.at(t)
			tail := append([]piece{{p.t0, t, p.a, middle}, {t, p.t1, middle, p.b}}, ps[i+1:]...)
			return append(ps[:i:i], tail...)
		}
	}
	return ps
}

// reading returns the curve's temperature at t; before and after it, that of its ends.
// Of two points at one time the later counts.
func reading(c Curve, t si.Time) si.Temperature {
	last := len(c.X) - 1
	if t >= c.X[last] {
		return c.Y[last]
	}
	for i := last; i > 0; i-- {
		if t >= c.X[i-1] {
			share := si.Temperature((t - c.X[i-1]) / (c.X[i] - c.X[i-1]))
			return c.Y[i-1] + share*(c.Y[i]-c.Y[i-1])
		}
	}
	return c.Y[0]
}

// onwards returns the trace, then what of the schedule lies beyond its end. Where
// the two differ there, the temperature jumps to the schedule's.
func onwards(trace, schedule Curve) Curve {
	out := Curve{X: append([]si.Time{}, trace.X...), Y: append([]si.Temperature{}, trace.Y...)}
	end := trace.X[len(trace.X)-1]
	if schedule.X[len(schedule.X)-1] <= end {
		return out
	}
	out.X, out.Y = append(out.X, end), append(out.Y, reading(schedule, end))
	for i, t := range schedule.X {
		if t > end {
			out.X, out.Y = append(out.X, t), append(out.Y, schedule.Y[i])
		}
	}
	return out
}
