package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/joint"
	"laywright/internal/stage/laminate"
)

// SpringIn is how the part's corners close as it cures and cools, and how far the
// mould is to be opened so that they come out as drawn.
type SpringIn struct {
	SetsAt  si.Temperature `json:"sets_at_degC"` // at which the wall turns to glass on its mould
	Heat    joint.Growth   `json:"growth_per_K"`
	Cure    joint.Growth   `json:"growth_in_cure"`
	Corners []CornerIn     `json:"corners"` // alike ones together
}

// CornerIn is a corner, or all that turn through the same angle.
type CornerIn struct {
	Turn   si.Angle   `json:"turn_deg"` // of the wall
	Closes si.Angle   `json:"closes_deg"`
	Mould  si.Angle   `json:"mould_turn_deg"` // that leaves the turn wanted
	Hollow bool       `json:"hollow"`         // seen from the side that cloth is laid on
	Length si.Length  `json:"length_m"`
	At     [3]float64 `json:"at_m"` // of the longest
}

// likeTurn is the difference of turn up to which corners count as alike.
const likeTurn = 4 * math.Pi / 180

// What a corner may close by before it is told, and before it is a caution. Judgement:
// a mould carved by hand keeps its angles to about the first.
const (
	tellSpring   = 0.2 * math.Pi / 180
	minSpringFit = 1 * math.Pi / 180
)

// springIn works out how corners close. Walls with a core are left out: their skins
// close, and the core holds them back.
func (p *Plan) springIn() []fault.Finding {
	if p.Mould == nil || p.Mould.Surface == nil || p.Laminate == nil || len(p.Laminate.Layers) == 0 {
		return nil
	}
	plies, cure, known := p.shrinking()
	heat, warm := joint.Grows(plies)
	t, err := mesh.NewTopology(p.Mould.Surface)
	if !warm || err != nil {
		return nil
	}
	s := &SpringIn{SetsAt: p.setsAt(), Heat: heat, Cure: cure, Corners: []CornerIn{}}
	dT := si.TemperatureDifference(p.Spec.Shop.temperature() - s.SetsAt)
	for _, c := range alike(joint.Corners(t)) {
		closes := joint.SpringIn(c.Turn, heat, dT, cure)
		s.Corners = append(s.Corners, CornerIn{Turn: c.Turn, Closes: closes, Mould: c.Turn / (1 + closes/c.Turn), Hollow: c.Hollow, Length: c.Length, At: c.At})
	}
	p.SpringIn = s
	return s.findings(known)
}

// shrinking returns the plies, and what the cure leaves of a wall of them; nothing
// where the resin's shrinkage is not known.
func (p *Plan) shrinking() (plies []wall.Ply, g joint.Growth, known bool) {
	var fibre []float64
	wet := true
	for _, l := range p.Laminate.Layers {
		if l.Doubler() {
			continue
		}
		if l.Kind == laminate.CoreLay || l.Elastic == nil {
			return nil, g, false
		}
		plies, fibre = append(plies, l.Ply), append(fibre, float64(l.FibreFraction))
		wet = wet && l.Kind == laminate.Cloth
	}
	r, named := p.records.Resins[p.Spec.Laminate.Resin]
	if !wet || !named || !r.Shrinkage.Known || !r.E.Known || !r.Nu.Known {
		return plies, g, false
	}
	resin := joint.Resin{E: r.E.Value, Nu: float64(r.Nu.Value), Shrinkage: r.Shrinkage.Value}
	g, known = joint.Grows(resin.Shrinking(plies, fibre))
	return plies, g, known
}

// setsAt is the temperature at which the wall was last soft on its mould: where it
// fell below the glass transition, or that rose over it. The shop's where no cure is
// worked out.
func (p *Plan) setsAt() si.Temperature {
	c, _ := p.onMould()
	for i := len(c.Time) - 1; i >= 0; i-- {
		if c.Temperature[i] >= c.Tg[i] {
			return c.Temperature[i]
		}
	}
	return p.Spec.Shop.temperature()
}

// alike puts together corners that turn the same way through the same angle.
func alike(corners []joint.Corner) (out []joint.Corner) {
	hollow := func(c joint.Corner) int {
		if c.Hollow {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(corners, func(a, b joint.Corner) int {
		return cmp.Or(cmp.Compare(hollow(a), hollow(b)), cmp.Compare(a.Turn, b.Turn))
	})
	for _, c := range corners {
		if k := len(out) - 1; k >= 0 && out[k].Hollow == c.Hollow && c.Turn-out[k].Turn <= likeTurn {
			o := &out[k]
			o.Turn = (o.Turn*si.Angle(o.Length) + c.Turn*si.Angle(c.Length)) / si.Angle(o.Length+c.Length)
			if c.Length > o.Length {
				o.At = c.At
			}
			o.Length += c.Length
			continue
		}
		out = append(out, c)
	}
	return out
}

func (s *SpringIn) findings(shrinks bool) []fault.Finding {
	var worst CornerIn
	for _, c := range s.Corners {
		if c.Closes > worst.Closes {
			worst = c
		}
	}
	if worst.Closes < tellSpring {
		return nil
	}
	grave := fault.Note
	if worst.Closes > minSpringFit {
		grave = fault.Caution
	}
	why := fmt.Sprintf("a wall shrinks more through its thickness than along it, in curing and from %.0f degC, where it sets; radius and thickness do not matter. a hot cure off the mould adds to it. Expansion across the fibres rests on typical numbers", s.SetsAt.Celsius())
	if !shrinks {
		why += "; shrinkage of the resin is not known and left out"
	}
	return []fault.Finding{fault.Finding{Stage: "mould", Severity: grave, Code: "spring-in",
		What: fmt.Sprintf("Corners close as the part cures and cools: those that turn through %.0f deg by %.1f deg.", worst.Turn.Degrees(), worst.Closes.Degrees()),
		Why:  why,
		Do:   fmt.Sprintf("Open the mould there by as much, to a turn of %.1f deg, or see that the flange is drawn down without force", worst.Mould.Degrees()),
	}.Against(worst.Closes.Degrees(), si.Angle(minSpringFit).Degrees(), "deg")}
}
