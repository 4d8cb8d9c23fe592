package cure

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure/oven"
)

// boxed is a stack in an oven: both have one state, since the part takes its heat
// from the air and may warm it.
//
//	C·dT/dt = P − UA·(T − T_shop) − A·Σ U·(T − T_face)
//
// A is the part's area. The state is what the walls lost and the heater gave, the
// air, then the stack's cells from both ends in turn, so that the air stands beside
// both faces and the band stays narrow.
type boxed struct {
	oven.Box
	area  float64 // m²
	share float64 // of half the spread, at this place
	top   float64 // the hottest that the schedule asks for, K
	set   func(t float64) float64
	slope func() float64

	law             *resin.Law
	slab            *slab // nil: the laminate follows the air
	air, gave, went float64
	there           *float64 // when the air came to the hottest that is asked for, s
	behind          float64  // most below the schedule, K
	plain, rate     []float64
}

// Places of the box's own variables, and where the cells begin.
const (
	wentAt = iota
	gaveAt
	airAt
	cellsAt
)

// inBox returns what run needs of the oven; nil where there is none.
func inBox(in Input, ps []piece, set func(float64) float64, slope func() float64) *boxed {
	if in.box == nil {
		return nil
	}
	x := &boxed{Box: *in.box, law: &in.Law, area: float64(in.Area), share: in.place, set: set, slope: slope, air: float64(in.Shop)}
	for _, p := range ps {
		x.top = max(x.top, p.a, p.b)
	}
	return x
}

// here is the air at the part's place.
func (x *boxed) here(float64) float64 { return x.air + x.Lean(x.share, x.air, x.top) }

// place is where variable i of the stack stands in the state: the cells from both
// ends in turn, each with its temperature and its degree of cure.
func (x *boxed) place(i int) int {
	cell, n := i/2, len(x.plain)/2
	at := 2 * cell
	if back := n - 1 - cell; back < cell {
		at = 2*back + 1
	}
	return cellsAt + 2*at + i%2
}

// unfold reads the state into air and stack.
func (x *boxed) unfold(y []float64) []float64 {
	x.went, x.gave, x.air = y[wentAt], y[gaveAt], y[airAt]
	for i := range x.plain {
		x.plain[i] = y[x.place(i)]
	}
	return x.plain
}

// enter puts a stack whose state is y into the box as that is.
func (x *boxed) enter(b *slab, y []float64) ([]float64, *num.Solver) {
	x.slab, x.plain, x.rate = b, append([]float64{}, y...), make([]float64, len(y))
	state, scale := make([]float64, cellsAt+len(y)), make([]float64, cellsAt+len(y))
	state[wentAt], state[gaveAt], state[airAt] = x.went, x.gave, x.air
	for i := range state {
		scale[i] = 1
	}
	for i, v := range y {
		state[x.place(i)] = v
	}
	const warmed = 100 // K: energies are held to a share of what warms the box so far
	scale[wentAt], scale[gaveAt] = warmed*x.C, warmed*x.C
	const band = 4 // two cells either way
	return state, num.NewSolver(num.Problem{N: len(state), F: x.rates, Lower: band, Upper: band, Scale: scale}, slabTolerance)
}

// rates is the right side for box and stack.
func (x *boxed) rates(t float64, y, dy []float64) {
	x.unfold(y)
	here, taken := x.here(t), 0.0
	if b := x.slab; b != nil {
		b.rates(t, x.plain, x.rate)
		n := len(b.cells)
		taken = x.area * (b.joint[0]*(here-x.plain[0]) + b.joint[n]*(here-x.plain[2*n-2]))
	} else {
		x.rate[0], x.rate[1] = 0, x.law.Rate(kelvin(here), x.plain[1])
	}
	dy[airAt], dy[gaveAt], dy[wentAt] = x.Flow(oven.Now{Air: x.air, Set: x.set(t), Slope: x.slope(), Taken: taken})
	for i, v := range x.rate {
		dy[x.place(i)] = v
	}
}

// ovenHolds is the share of its heater with which an oven should hold its hottest:
// what is left brings it there and makes good an opened door (judgement).
const ovenHolds = 0.9

// ovenReaches returns the hottest hold that the box is good for.
func ovenReaches(b *oven.Box) si.Temperature {
	return kelvin(b.Shop + ovenHolds*(b.Ceiling()-b.Shop))
}

// boxUp makes the oven ready to be calculated with. A measured trace has the
// oven's doings in it.
func (in *Input) boxUp() error {
	if in.Spec.Oven == nil {
		return nil
	}
	if in.Spec.In != Oven {
		return &fault.Input{Field: "cure.oven", What: "is described, but the part hardens in: " + string(in.Spec.In),
			Do: "write in: box-oven, or take the oven out"}
	}
	b, err := oven.New(*in.Spec.Oven, in.Shop)
	if err != nil || len(in.Trace.X) > 0 || in.Log != nil {
		return err
	}
	in.box = &b
	in.Spec.Hottest = max(in.Shop, min(in.Spec.Hottest, ovenReaches(&b)))
	return nil
}
