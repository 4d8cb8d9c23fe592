package resin

import (
	"fmt"

	"laywright/internal/base/material"
)

// prior is what is known of a constant before any sheet is read: the middle of
// its usual range, the half-width or the ends of that, and how it is known.
type prior struct {
	value, low, high float64
	origin           material.Origin
	source           string
}

// priors are those of one class of hardener.
type priors struct {
	name  string
	e     prior // activation energy, J/mol
	ratio prior // K₁/K₂
	gel   prior // degree of cure at gel
	heat  prior // of reaction, J/kg of mix, where no mixing ratio gives it
}

// usualRatio is that of amines with epoxy: the pair of pot life and film gel of
// one well-known class gives 0.07 to 0.12.
var usualRatio = prior{0.1, 0.03, 0.25, material.Assumed, ""}

// byClass holds the priors. Activation energies: polyamines 40 to 56,
// cycloaliphatic amines 44 to 58, a polyetheramine 67 kJ/mol [barral1995];
// anhydrides with an accelerator 60 to 90, from memory. Gel: 0.58 for four amine
// hydrogens or an anhydride on diepoxide, 0.50 and 0.45 for five and six
// [flory1953]; blends lie between. Heat: 105 kJ an equivalent over the mass of
// pure components [epoxy-heat]. An anhydride does not follow the law of amines:
// its times at the sheet's temperatures hold, the shape between is a guess.
var byClass = map[material.Class]priors{
	material.Unclassed: {"epoxies that cure at room temperature",
		prior{55e3, 49e3, 61e3, material.Handbook, "barral1995"}, usualRatio,
		prior{0.55, 0.50, 0.60, material.Handbook, "flory1953"}, prior{430e3, 380e3, 480e3, material.Handbook, "epoxy-heat"}},
	material.AliphaticAmine: {"aliphatic amines",
		prior{51e3, 43e3, 59e3, material.Handbook, "barral1995"}, usualRatio,
		prior{0.50, 0.45, 0.57, material.Handbook, "flory1953"}, prior{480e3, 430e3, 530e3, material.Handbook, "epoxy-heat"}},
	material.Cycloaliphatic: {"cycloaliphatic amines",
		prior{55e3, 49e3, 61e3, material.Handbook, "barral1995"}, usualRatio,
		prior{0.57, 0.52, 0.60, material.Handbook, "flory1953"}, prior{450e3, 400e3, 500e3, material.Handbook, "epoxy-heat"}},
	material.Polyetheramine: {"polyetheramines",
		prior{62e3, 55e3, 69e3, material.Handbook, "barral1995"}, usualRatio,
		prior{0.57, 0.52, 0.60, material.Handbook, "flory1953"}, prior{420e3, 370e3, 470e3, material.Handbook, "epoxy-heat"}},
	material.Anhydride: {"anhydrides",
		prior{75e3, 60e3, 90e3, material.Assumed, ""}, prior{0.1, 0.02, 0.5, material.Assumed, ""},
		prior{0.57, 0.45, 0.65, material.Handbook, "flory1953"}, prior{300e3, 260e3, 340e3, material.Handbook, "epoxy-heat"}},
}

// Taken is a constant that the record does not give and its class does.
type Taken struct {
	What   string          `json:"what"`
	Value  float64         `json:"value"`
	Low    float64         `json:"low"`
	High   float64         `json:"high"`
	Unit   string          `json:"unit,omitempty"`
	Origin material.Origin `json:"origin"`
	Source string          `json:"source,omitempty"` // key in docs/sources.md
}

func (p prior) taken(what string, scale float64, unit string) Taken {
	return Taken{what, p.value / scale, p.low / scale, p.high / scale, unit, p.origin, p.source}
}

// taken lists what the record leaves to its class.
func taken(r material.Resin) (out []Taken) {
	c := byClass[r.Class]
	if !r.Sheet.ActivationE.Known {
		out = append(out, c.e.taken("activation energy", 1e3, "kJ/mol"))
	}
	if !(r.Sheet.PotLife.Known && r.Sheet.FilmGel.Known) {
		out = append(out, c.ratio.taken("ratio of the two rates", 1, ""))
	}
	if !r.GelConversion.Known {
		out = append(out, c.gel.taken("degree of cure at gel", 1, ""))
	}
	if !r.HeatOfReaction.Known && !(r.Mix.Resin > 0) {
		out = append(out, c.heat.taken("heat of reaction", 1e3, "J/g"))
	}
	if !r.Cp.Known {
		out = append(out, prior{usualCp, 1700, 2100, material.Handbook, "epoxy-heat"}.taken("specific heat", 1, "J/(kg*K)"))
	}
	return out
}

// words is a constant taken, as a person reads it.
func (t Taken) words(class string) string {
	unit := t.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s %.3g%s, usual for %s %.3g to %.3g", t.What, t.Value, unit, class, t.Low, t.High)
}
