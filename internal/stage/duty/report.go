package duty

import (
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

// HeaterResult is what the heater does. Values that could not be had are absent.
type HeaterResult struct {
	Arrangement   exchanger.Arrangement     `json:"arrangement"`
	Passes        int                       `json:"passes"`
	Reason        string                    `json:"reason"`
	AirFlow       si.MassFlow               `json:"air_flow_kg_per_s"`
	AirIn         si.Temperature            `json:"air_in_degC"`
	AirOut        si.Temperature            `json:"air_out_degC"`
	LiquidOut     si.Temperature            `json:"liquid_out_degC"`
	Heat          si.Power                  `json:"heat_W"`
	HeatLow       si.Power                  `json:"heat_low_W"` // from the doubt of the core's conductance
	HeatHigh      si.Power                  `json:"heat_high_W"`
	Useful        *si.Power                 `json:"useful_heat_W,omitempty"`
	CoreLoss      *si.Pressure              `json:"core_loss_Pa,omitempty"`
	TurnLoss      *si.Pressure              `json:"turn_loss_Pa,omitempty"`
	DuctLoss      si.Pressure               `json:"duct_loss_Pa"`             // of ducts and the box's ports
	Loss          *si.Pressure              `json:"loss_Pa,omitempty"`        // of core, turns and ducts together
	LiquidLoss    *si.Pressure              `json:"liquid_loss_Pa,omitempty"` // in the tubes alone
	Effectiveness float64                   `json:"effectiveness"`
	Best          float64                   `json:"effectiveness_counterflow"` // what no arrangement betters
	NTU           float64                   `json:"NTU"`
	UA            si.Conductance            `json:"UA_W_per_K"`
	BoxDepth      *si.Length                `json:"box_depth_m,omitempty"`
	PassTable     []PassRow                 `json:"pass_table"`
	DuctTable     []DuctSize                `json:"duct_table,omitempty"` // sizes that hose is sold in
	Path          []exchanger.Pass          `json:"path"`                 // pass by pass, from the air's inlet
	Residuals     []exchanger.Residual      `json:"residuals,omitempty"`
	Gate          *si.Fraction              `json:"gate_open,omitempty"`           // free share of the first duct's bore
	Settles       *si.Temperature           `json:"liquid_settles_degC,omitempty"` // inlet at which engine, box and case balance
	WrongWay      *si.TemperatureDifference `json:"wrong_way_costs_K,omitempty"`   // of the air's outlet, the liquid's hoses the other way round
	Outlets       []ducting.Outlet          `json:"outlets,omitempty"`             // where a wye parts the air
}

// PassRow is the heater at one number of passes, with the air let through
// freely and, where a pressure drives it, at the throttle of most useful heat.
type PassRow struct {
	Passes    int            `json:"passes"`
	AirFlow   si.MassFlow    `json:"air_flow_kg_per_s"`
	Heat      si.Power       `json:"heat_W"`
	Useful    *si.Power      `json:"useful_heat_W,omitempty"`
	AirOut    si.Temperature `json:"air_out_degC"`
	LiquidOut si.Temperature `json:"liquid_out_degC"`
	Loss      *si.Pressure   `json:"loss_Pa,omitempty"` // of the box: core and turns
	DuctLoss  si.Pressure    `json:"duct_loss_Pa"`
	BoxDepth  *si.Length     `json:"box_depth_m,omitempty"`
	BestFlow  *si.MassFlow   `json:"throttled_flow_kg_per_s,omitempty"`
	BestHeat  *si.Power      `json:"throttled_useful_heat_W,omitempty"`
	Gate      *si.Fraction   `json:"throttled_gate_open,omitempty"` // free share of the first duct's bore
	Holds     bool           `json:"holds_limits"`                  // those that the job states, as the box would run
	Time      si.Time        `json:"time_in_core_s,omitempty"`      // of the air, in all passes together; by geometry only
}

// report writes the chosen working and the table down.
func (p plant) report(w working, all []option, reason string) (*HeaterResult, error) {
	h := &HeaterResult{Arrangement: p.heater.Arrangement, Passes: w.passes(), Reason: reason, AirFlow: w.AirFlow, AirIn: p.heater.AirIn, AirOut: w.AirOut,
		LiquidOut: w.LiquidOut, Heat: w.Heat, Useful: p.usefulOf(w), DuctLoss: si.Pressure(w.duct), Loss: p.known(w.loss()),
		Effectiveness: w.Effectiveness, Best: w.Best, NTU: w.NTU, UA: w.UA, CoreLoss: p.known(float64(w.CoreLoss)), BoxDepth: p.depthOf(w), Path: w.Performance.Passes}
	if w.turnKnown {
		turn := si.Pressure(w.turn)
		h.TurnLoss = &turn
	}
	if w.LiquidLoss > 0 {
		loss := w.LiquidLoss
		h.LiquidLoss = &loss
	}
	if o := p.opening(w); o != nil && *o < 1 {
		h.Gate = o
	}
	if less, ok := p.wrongWay(w); ok {
		d := si.TemperatureDifference(less)
		h.WrongWay = &d
	}
	h.Outlets = w.outlets
	if p.tested != nil {
		h.Residuals = p.tested.Residuals
	}
	for _, o := range all {
		h.PassTable = append(h.PassTable, p.row(o))
	}
	var err error
	if h.HeatLow, err = p.heatWith(1-p.spread, w); err != nil {
		return nil, err
	}
	h.HeatHigh, err = p.heatWith(1+p.spread, w)
	return h, err
}

// heatWith returns the heat at the same flow were the core's conductance off by a factor.
func (p plant) heatWith(factor float64, w working) (si.Power, error) {
	h := p.heater
	h.Passes, h.Core = w.passes(), scaled{p.heater.Core, factor}
	perf, err := h.At(w.AirFlow)
	return perf.Heat, err
}

func (p plant) row(o option) PassRow {
	w := o.open
	r := PassRow{Passes: w.passes(), Holds: o.holds, Time: w.Residence, AirFlow: w.AirFlow, Heat: w.Heat, Useful: p.usefulOf(w), AirOut: w.AirOut,
		LiquidOut: w.LiquidOut, Loss: p.known(w.boxLoss()), DuctLoss: si.Pressure(w.duct), BoxDepth: p.depthOf(w)}
	if p.supply.flow == 0 && p.cabin != nil {
		flow, heat := o.best.AirFlow, si.Power(o.best.useful)
		r.BestFlow, r.BestHeat, r.Gate = &flow, &heat, p.opening(o.best)
	}
	return r
}

// known returns a pressure loss, or nothing where the core's is not known.
func (p plant) known(loss float64) *si.Pressure {
	if !p.lossKnown {
		return nil
	}
	x := si.Pressure(loss)
	return &x
}

func (p plant) usefulOf(w working) *si.Power {
	if p.cabin == nil {
		return nil
	}
	useful := si.Power(w.useful)
	return &useful
}

// depthOf returns the depth inside the box: the core and a plenum on either side
// as deep as an even flow needs.
func (p plant) depthOf(w working) *si.Length {
	if w.needed == 0 || p.box.depth == 0 {
		return nil
	}
	d := si.Length(p.box.depth + 2*w.needed)
	return &d
}

// Curve is the supply and the demand over the flow at the chosen number of
// passes, for a picture of the operating point.
type Curve struct {
	Flow   []float64 `json:"air_flow_kg_per_s"`
	Supply []float64 `json:"supply_Pa,omitempty"`
	Demand []float64 `json:"demand_Pa"`
	Heat   []float64 `json:"heat_W"`
	Useful []float64 `json:"useful_heat_W,omitempty"`
	AirOut []float64 `json:"air_out_degC"`
}

// curvePoints is enough for a smooth line.
const curvePoints = 24

// curve works the plant from a twelfth of the open flow to one and a half times it.
func (p plant) curve(n int, open working) (*Curve, error) {
	c := &Curve{}
	for i := range curvePoints {
		flow := float64(open.AirFlow) * (1.0/12 + (1.5-1.0/12)*float64(i)/(curvePoints-1))
		if flow > p.supply.most() {
			break
		}
		w, err := p.at(n, flow)
		if err != nil && flow > float64(open.AirFlow) {
			break // beyond the operating point a liquid may leave its table: the line ends there
		}
		if err != nil {
			return nil, err
		}
		c.Flow, c.Demand, c.Heat = append(c.Flow, flow), append(c.Demand, w.loss()), append(c.Heat, float64(w.Heat))
		c.AirOut = append(c.AirOut, w.AirOut.Celsius())
		if p.supply.flow == 0 {
			c.Supply = append(c.Supply, p.supply.at(flow))
		}
		if p.cabin != nil {
			c.Useful = append(c.Useful, w.useful)
		}
	}
	return c, nil
}
