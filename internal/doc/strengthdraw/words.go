package strengthdraw

import (
	"fmt"

	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// words writes numbers in the job's units.
type words struct {
	plydraw.Words
	system si.System
}

func wordsOf(p job.Plan) words {
	w := words{plydraw.WordsOf(p), si.Metric}
	if p.Spec.Show != "" {
		w.system = p.Spec.Show
	}
	return w
}

// show writes a quantity with its unit.
func show[Q si.Quantity](w words, q Q) string { return si.Typeset(si.Show(q, w.system, 3)) }

// measure is what a motion is drawn in, and thin a thickness: the unit and what a metre
// comes to in it.
func (w words) measure() (unit string, size float64) {
	if w.system == si.US {
		return "in", 1 / 0.0254
	}
	return "mm", 1e3
}

func (w words) thin() (unit string, size float64) {
	if w.system == si.US {
		return "mil", 1e3 / 0.0254
	}
	return "mm", 1e3
}

func percent(x float64) string { return draw.Short(100*x) + " %" }

// byName is a criterion as it is said.
var byName = map[wall.Criterion]string{wall.MaxStress: "largest stress", wall.MaxStrain: "largest strain", wall.TsaiHill: "Tsai-Hill", wall.TsaiWu: "Tsai-Wu", wall.Hashin: "Hashin"}

// by names a criterion; one without a name of its own is said as it is written.
func by(c wall.Criterion) string {
	if s := byName[c]; s != "" {
		return s
	}
	return string(c)
}

func hertz(f si.Rate) string { return draw.Short(float64(f)) + " Hz" }

// times writes a multiple of the load.
func times(x float64) string { return fmt.Sprintf("%s times", draw.Short(x)) }
