package mould

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func (r *Result) find(s fault.Severity, code, what, why, do string) {
	r.Findings = append(r.Findings, fault.Finding{Stage: "mould", Severity: s, Code: code, What: what, Why: why, Do: do})
}

func (r *Result) findAgainst(f fault.Finding, value, limit float64, unit string) {
	f.Stage = "mould"
	r.Findings = append(r.Findings, f.Against(value, limit, unit))
}

// judge adds what draft and hollows mean, and says how the part comes out.
func (r *Result) judge(in Input) {
	r.judgeRelease(in.Mould)
	r.judgeRadii(in)
	if r.MinAngle > 0 && r.MinAngle < si.Degrees(5) && in.Mould.File == "" {
		r.find(fault.Note, "mesh-slivers", fmt.Sprintf("Some triangles of the mould are thin (%.1f deg).", r.MinAngle.Degrees()), "solids meet there at a grazing angle", "Nothing, unless the drape looks odd there.")
	}
}

// arrow names a direction.
func arrow(e []float64) string {
	names := []string{"x", "y", "z"}
	for k, x := range e {
		if math.Abs(math.Abs(x)-1) < 1e-6 {
			if x < 0 {
				return "-" + names[k]
			}
			return "+" + names[k]
		}
	}
	short := func(x float64) float64 { return math.Round(100*x)/100 + 0 } // no -0.00
	return fmt.Sprintf("(%.2f, %.2f, %.2f)", short(e[0]), short(e[1]), short(e[2]))
}
