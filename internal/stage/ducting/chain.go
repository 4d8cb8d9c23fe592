package ducting

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Chain is a row of ducts, checked, with the branches it ends in.
type Chain struct {
	inside  []section
	ahead   bool // of the box
	wye     *wye
	scooped bool // its first end is the ram inlet, whose loss is in the recovery
	parted  bool // it begins at a wye, which has the loss of its entrance
}

type wye struct {
	angle    si.Angle
	branches []branch
}

type branch struct {
	name string
	Chain
}

// Split lays the ducts before and after the heater, and the wye behind the last; nil:
// none. ram: the air is scooped. field is the path of what holds ducts and wye.
func Split(ducts []Duct, w *Wye, ram bool, field string) (before, after Chain, err error) {
	before.scooped, before.ahead = ram, true
	at := &after
	for i, d := range ducts {
		path := fault.Numbered(field+".ducts", i)
		s, err := lay(d, path)
		if err != nil {
			return before, after, err
		}
		if d.Beside {
			if err := at.join(s, d, path); err != nil {
				return before, after, err
			}
			continue
		}
		if at = &after; d.Place == Before {
			at = &before
		}
		at.inside = append(at.inside, s)
	}
	if w != nil {
		after.wye, err = w.lay(field+".wye", len(after.inside) > 0)
	}
	return before, after, err
}

// lay checks a wye. stem: a duct leads to it.
func (w Wye) lay(field string, stem bool) (*wye, error) {
	out := &wye{angle: usualAngle}
	if w.Angle != nil {
		out.angle = *w.Angle
	}
	if err := fault.Check(field+".angle", out.angle.Degrees(), 0, 90, " deg", "between the stem and each branch"); err != nil {
		return nil, err
	}
	if err := fault.Check(field+".branches", float64(len(w.Branches)), 2, mostBranches, "", "one branch is no wye; more are not looked at"); err != nil {
		return nil, err
	}
	for i, b := range w.Branches {
		at := fault.Numbered(field+".branches", i)
		before, c, err := Split(b.Ducts, nil, false, at)
		if err != nil {
			return nil, err
		}
		if !before.Empty() || c.Empty() {
			return nil, &fault.Input{Field: at, What: "does not begin with a duct behind the heater", Do: "give its pieces, without place: before"}
		}
		c.parted = stem
		out.branches = append(out.branches, branch{b.Name, c})
	}
	return out, nil
}

// Empty tells whether there is no duct.
func (c Chain) Empty() bool { return len(c.inside) == 0 && c.wye == nil }

// Widest returns the area of the widest duct's end, m².
func (c Chain) Widest() float64 {
	area := 0.0
	for _, s := range c.inside {
		area = max(area, s.widest)
	}
	if c.wye != nil {
		for _, b := range c.wye.branches {
			area = max(area, b.Widest())
		}
	}
	return area
}

// First returns the area of the first duct, m²; 0 where there is none.
func (c Chain) First() float64 {
	if len(c.inside) == 0 {
		return 0
	}
	return c.inside[0].area
}

// Joins returns the area of the duct's end at the box, m²: of the last piece before
// it, of the first behind it, or of all branches that leave it; 0 where there is none.
func (c Chain) Joins() float64 {
	switch n := len(c.inside); {
	case n > 0 && c.ahead:
		return c.inside[n-1].area
	case n > 0:
		return c.First()
	case c.wye != nil:
		return c.wye.mouths()
	}
	return 0
}

// mouths is the area of all branches together where they begin, m².
func (w *wye) mouths() (area float64) {
	for _, b := range w.branches {
		area += b.First()
	}
	return area
}

// Outlet is where a part of the air comes out.
type Outlet struct {
	Name string      `json:"name"`
	Flow si.MassFlow `json:"air_flow_kg_per_s"`
}

// Loss is what a chain costs, and where its air goes.
type Loss struct {
	Pressure float64 // Pa
	Outlets  []Outlet
}

// Loss returns the pressure loss of the chain at a mass flow of air of density
// rho and temperature t: entrance, friction, bends, steps in area, and the last
// velocity head thrown away.
func (c Chain) Loss(flow, rho float64, t si.Temperature) (Loss, error) {
	sum := 0.0
	mu := float64(air.Viscosity(t))
	for i, s := range c.inside {
		v := flow / (rho * s.area)
		head := rho * v * v / 2
		k, err := s.coefficient(c.ends(i), flow/s.area/mu)
		if err != nil {
			return Loss{}, err
		}
		sum += k * head
	}
	if c.wye == nil {
		return Loss{Pressure: sum}, nil
	}
	speed := 0.0 // in the stem; 0: the branches leave a plenum
	if n := len(c.inside); n > 0 {
		speed = flow / (rho * c.inside[n-1].area)
	}
	more, err := c.wye.share(flow, speed, rho, t)
	more.Pressure += sum
	return more, err
}

// ends returns K of what joins piece i to its neighbours.
func (c Chain) ends(i int) (k float64) {
	s := c.inside[i]
	if i == 0 && !c.scooped && !c.parted {
		k += sharpEntrance
	}
	if i > 0 && s.area < c.inside[i-1].area {
		k += Contraction(s.area / c.inside[i-1].area)
	}
	switch last := i == len(c.inside)-1; {
	case last && c.wye == nil:
		k += dump
	case !last && c.inside[i+1].area > s.area:
		k += Expansion(s.area / c.inside[i+1].area)
	}
	return k
}

// The sharing out of a flow: tolerance of the shares, and limit.
const (
	shareTolerance = 1e-10
	mostShares     = 400
)

// share parts a flow so that every branch costs the same. Each branch's own loss
// goes nearly with the square of its flow, so its flow is set by the root of the
// pressure that [branching] leaves it, half a step at a time.
func (w *wye) share(flow, speed, rho float64, t si.Temperature) (Loss, error) {
	n := len(w.branches)
	flows := make([]float64, n)
	whole := w.mouths()
	for i, b := range w.branches {
		flows[i] = flow * b.First() / whole
	}
	stem := rho * speed * speed / 2
	entry, own := make([]float64, n), make([]Loss, n)
	miss := math.Inf(1)
	for range mostShares {
		mean, err := w.cost(flows, speed, rho, t, entry, own)
		if err != nil {
			return Loss{}, err
		}
		if miss < shareTolerance {
			return w.outlets(flows, mean/flow), nil
		}
		common, sum := mean/flow, 0.0
		next := make([]float64, n)
		for i := range next {
			left := max(common-entry[i], 1e-3*(stem+common)) // a branch never runs dry
			next[i] = flows[i] * (1 + math.Sqrt(left/own[i].Pressure)) / 2
			sum += next[i]
		}
		miss = 0
		for i := range next {
			next[i] *= flow / sum
			miss = max(miss, math.Abs(next[i]-flows[i])/flow)
		}
		flows = next
	}
	return Loss{}, &fault.NoSolution{What: "how the air parts among the branches of a wye", Steps: mostShares, Residual: miss, Limit: shareTolerance,
		Do: "make the branches more alike, or narrower than the stem"}
}

// cost fills in the losses of each branch's entry and of its own ducts, Pa, and
// returns the sum of flow times loss over all.
func (w *wye) cost(flows []float64, speed, rho float64, t si.Temperature, entry []float64, own []Loss) (sum float64, err error) {
	for i, b := range w.branches {
		entry[i] = 0
		if speed > 0 {
			entry[i] = rho * speed * speed / 2 * branching(flows[i]/(rho*b.First())/speed, w.angle)
		}
		if own[i], err = b.Loss(flows[i], rho, t); err != nil {
			return 0, err
		}
		sum += flows[i] * (entry[i] + own[i].Pressure)
	}
	return sum, nil
}

func (w *wye) outlets(flows []float64, pressure float64) Loss {
	out := Loss{Pressure: pressure}
	for i, b := range w.branches {
		out.Outlets = append(out.Outlets, Outlet{b.name, si.MassFlow(flows[i])})
	}
	return out
}
