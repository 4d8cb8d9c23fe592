package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
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
	r.judgeHollows(in.Fabrics)
	if r.MinAngle > 0 && r.MinAngle < si.Degrees(5) && in.Mould.File == "" {
		r.find(fault.Note, "mesh-slivers", fmt.Sprintf("Some triangles of the mould are thin (%.1f deg).", r.MinAngle.Degrees()), "solids meet there at a grazing angle", "Nothing, unless the drape looks odd there.")
	}
}

func (r *Result) judgeHollows(fabrics []Fabric) {
	if r.MinHollow == nil {
		return
	}
	where := placeText(r3.Vec{X: r.MinHollowAt[0], Y: r.MinHollowAt[1], Z: r.MinHollowAt[2]})
	radius := float64(*r.MinHollow)
	for _, f := range fabrics {
		least := float64(f.MinRadius)
		if !(least > 0) || radius >= least*(1-hollowTolerance) {
			continue
		}
		what := fmt.Sprintf("The hollow at %s has a radius of %.1f mm; %s goes into %.1f mm at the tightest.", where, 1e3*radius, f.Name, 1e3*least)
		if radius == 0 {
			what = fmt.Sprintf("The hollow edge at %s is sharp; %s goes into a radius of %.1f mm at the tightest.", where, f.Name, 1e3*least)
		}
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "hollow-tight", What: what,
			Why: "the cloth bridges the hollow and leaves a void or plain resin behind it", Do: fmt.Sprintf("Fill it to %.0f mm, or lay a paste fillet before the first ply.", math.Ceil(1e3*least))}, 1e3*radius, 1e3*least, "mm")
	}
}

// hollowTolerance keeps a fillet of just the wanted radius from being called
// too tight by the mesh: 5 %.
const hollowTolerance = 0.05

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
