package plydraw

import (
	"fmt"
	"math"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// words writes numbers in the job's units.
type words struct{ us bool }

func wordsOf(p job.Plan) words { return words{p.Spec.Show == si.US} }

const inch = 0.0254 // m

// length writes what is measured off with a tape.
func (w words) length(m float64) string {
	switch {
	case !w.us:
		return draw.Number(1000*m, 0) + " mm"
	case m < 10*inch:
		return draw.Number(m/inch, 2) + " in"
	}
	return draw.Number(m/inch, 1) + " in"
}

// thin writes a thickness or a small gap.
func (w words) thin(m float64) string {
	if w.us {
		return draw.Number(1000*m/inch, 1) + " mil"
	}
	return draw.Number(1000*m, 2) + " mm"
}

func (w words) area(m2 float64) string {
	if w.us {
		return draw.Short(m2/(inch*inch)) + " in²"
	}
	return draw.Short(1e4*m2) + " cm²"
}

func degrees(rad float64) string { return draw.Number(rad*180/math.Pi, 1) + "°" }

func percent(share float64) string { return draw.Short(100*share) + " %" }

// place writes a point of the mould.
func (w words) place(p [3]float64) string {
	unit, by, decimals := "mm", 1000.0, 0
	if w.us {
		unit, by, decimals = "in", 1/inch, 1
	}
	n := func(x float64) string { return draw.Number(by*x, decimals) }
	return fmt.Sprintf("%s, %s, %s %s", n(p[0]), n(p[1]), n(p[2]), unit)
}

// spacing returns a round distance between threads, m, of which about a given
// number lie across a piece.
func (w words) spacing(across float64, count int) float64 {
	steps := []float64{0.002, 0.003, 0.005, 0.008, 0.01, 0.015, 0.02, 0.025, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3, 0.5, 1}
	if w.us {
		steps = []float64{inch / 8, inch / 4, inch / 2, 0.75 * inch, inch, 1.5 * inch, 2 * inch, 3 * inch, 4 * inch, 6 * inch, 12 * inch, 24 * inch, 48 * inch}
	}
	for _, s := range steps {
		if across <= s*float64(count) {
			return s
		}
	}
	return steps[len(steps)-1]
}

// round writes a length that is round in the job's units.
func (w words) round(m float64) string {
	if w.us {
		return draw.Short(m/inch) + " in"
	}
	return draw.Short(1000*m) + " mm"
}
