package duty

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/cabin"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

// plant is the heater with everything around it, ready to be run at a number of
// passes.
type plant struct {
	heater        exchanger.Heater // its Passes are set for each run
	box           box
	before, after ducting.Chain
	scooped       bool // the first duct begins at the ram inlet
	supply        supply
	gate          gate
	search        bool // the throttle is set to its best
	outside       AirState
	cabin         *si.Temperature // what heat is counted against
	most, least   *si.Temperature // limits that the job states: air's outlet, liquid's outlet
	limits        *exchanger.Limits
	beyond        []exchanger.Measure // measures of the core outside its correlation
	tested        *exchanger.Tested
	spread        float64 // of UA, either way
	lossKnown     bool
	flows         [2]float64 // least and greatest air flow the core is rated or tested at, kg/s; 0: by geometry
}

// working is the plant at one flow and number of passes.
type working struct {
	exchanger.Performance
	turn, duct float64 // Pa; the gate's among the duct's
	gate       float64 // Pa
	turnKnown  bool
	needed     float64          // depth of plenum, m
	useful     float64          // W
	outlets    []ducting.Outlet // behind a wye
}

func (w working) passes() int { return len(w.Passes) }

func (w working) boxLoss() float64 { return float64(w.CoreLoss) + w.turn }
func (w working) loss() float64    { return w.boxLoss() + w.duct }

// at works the plant at a flow.
func (p plant) at(n int, flow float64) (working, error) {
	h := p.heater
	h.Passes = n
	perf, err := h.At(si.MassFlow(flow))
	if err != nil {
		return working{}, err
	}
	w := working{Performance: perf, needed: p.box.needed(perf, h.Pressure)}
	w.turn, w.turnKnown = p.box.turns(perf, h.Pressure)
	rho := func(t si.Temperature) float64 { return float64(air.Density(h.Pressure, t)) }
	first, err := p.before.Loss(flow, rho(h.AirIn), h.AirIn)
	if err != nil {
		return working{}, err
	}
	second, err := p.after.Loss(flow, rho(perf.AirOut), perf.AirOut)
	if err != nil {
		return working{}, err
	}
	if p.gate.k > 0 {
		w.gate = p.gate.k * p.gate.head(flow, h.Pressure, h.AirIn, perf.AirOut)
	}
	w.duct, w.outlets = first.Pressure+second.Pressure+w.gate, second.Outlets
	if p.cabin != nil {
		w.useful = cabin.Useful(flow, perf.AirOut, *p.cabin)
	}
	return w, nil
}

// leastFlow is where the search for the operating point begins, kg/s.
const leastFlow = 1e-5

// bracket is the factor by which that search steps upwards.
const bracket = 6

// flowTolerance is the step at which that search stops, as a share of the flow,
// and pressureTolerance how well supply and demand must agree then, as a share
// of the supply with the valve shut.
const (
	flowTolerance     = 1e-9
	pressureTolerance = 1e-4
)

// open returns the plant at the flow where supply meets demand, or at the flow
// that the job gives.
func (p plant) open(n int) (working, error) {
	if p.supply.flow > 0 {
		return p.at(n, p.supply.flow)
	}
	if !p.lossKnown && p.before.Empty() && p.after.Empty() {
		return working{}, &fault.Input{Field: "duty.heater.core", What: "says no air-side loss, so no flow can be found for a pressure", Do: "give air_loss, or the flow"}
	}
	if p.supply.shutOff() <= 0 {
		return working{}, &fault.NoSolution{What: "the air flow", Residual: p.supply.shutOff(), Do: "the supply offers no pressure: check ram, exit and blower"}
	}
	var failed error // of the greatest flows tried: a liquid cooled out of its table bounds the search
	excess := func(flow float64) float64 {
		w, err := p.at(n, flow)
		if err != nil {
			failed = err
			return -1
		}
		return p.supply.at(flow) - w.loss()
	}
	low, high := leastFlow, leastFlow
	for excess(high) > 0 {
		if high >= p.supply.most() {
			return working{}, &fault.NoSolution{What: "the air flow where supply meets demand", Residual: excess(high),
				Do: "the supply still pushes at the end of its curve: give the blower's points down to no pressure, or add the ducts' losses"}
		}
		low, high = high, min(bracket*high, p.supply.most())
	}
	if high == leastFlow {
		return working{}, firstError(failed, &fault.NoSolution{What: "the air flow where supply meets demand", Residual: -excess(high),
			Do: "the supply is too weak to move any air: widen ducts or raise the pressure"})
	}
	flow, err := num.Root(excess, low, high, flowTolerance*high)
	if err != nil {
		return working{}, err
	}
	w, err := p.at(n, flow)
	if err != nil {
		return w, err
	}
	if miss := math.Abs(p.supply.at(flow) - w.loss()); miss > pressureTolerance*p.supply.shutOff() {
		return w, firstError(failed, &fault.NoSolution{What: "the air flow where supply meets demand", Residual: miss,
			Limit: pressureTolerance * p.supply.shutOff(), Do: "check the blower's curve and the ducts"})
	}
	return w, nil
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
