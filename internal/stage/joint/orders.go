package joint

import (
	"math"

	"laywright/internal/base/si"
)

// Engine is what shakes the part.
type Engine struct {
	Low, High si.Rate // revolutions of the crankshaft, 1/s
	Cylinders int     // 0: not told
	TwoStroke bool
	Blades    int     // of the propeller; 0: not told
	Gear      float64 // turns of the crankshaft to one of the propeller; 0: 1
}

// Order is one way in which an engine shakes: so many times a turn of its shaft.
type Order struct {
	Name    string
	PerTurn float64
}

// Orders lists them: once a turn, each firing, each blade that passes, and twice
// each of the last two.
//
//	firings a turn: cylinders (two-stroke), half of them (four-stroke)    blades: B/gear
//
// Source: identity (counting).
func (e Engine) Orders() []Order {
	out := []Order{{"each turn of the engine", 1}}
	if e.Cylinders > 0 {
		firing := float64(e.Cylinders) / 2
		if e.TwoStroke {
			firing *= 2
		}
		out = append(out, Order{"each firing", firing}, Order{"twice each firing", 2 * firing})
	}
	if e.Blades > 0 {
		passing := float64(e.Blades)
		if e.Gear > 0 {
			passing /= e.Gear
		}
		out = append(out, Order{"each blade of the propeller", passing}, Order{"twice each blade of the propeller", 2 * passing})
	}
	return out
}

// Apart returns how far a frequency stands off the range that an order sweeps as
// the engine runs from low to high, as a share of the nearer end; 0 within it.
func (e Engine) Apart(f si.Rate, o Order) float64 {
	low, high := o.PerTurn*float64(e.Low), o.PerTurn*float64(e.High)
	return math.Max(0, math.Max(1-float64(f)/low, float64(f)/high-1))
}
