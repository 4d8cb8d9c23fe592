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
	r.judgePull()
	r.judgeRadii(in)
	r.Out = r.sentence(in.Mould)
	if r.MinAngle > 0 && r.MinAngle < si.Degrees(5) && in.Mould.File == "" {
		r.find(fault.Note, "mesh-slivers", fmt.Sprintf("Some triangles of the mould are thin (%.1f deg).", r.MinAngle.Degrees()), "solids meet there at a grazing angle", "Nothing, unless the drape looks odd there.")
	}
}

func (r *Result) judgePull() {
	under, low, least := float64(*r.UndercutArea), float64(*r.LowDraftArea), *r.MinDraft
	where := placeText(r3.Vec{X: r.MinDraftAt[0], Y: r.MinDraftAt[1], Z: r.MinDraftAt[2]})
	switch {
	case under > trifle:
		r.findAgainst(fault.Finding{Severity: fault.Stop, Code: "undercut",
			What: fmt.Sprintf("%.0f cm² of the part hook behind the mould, worst by %.1f deg at %s.", 1e4*under, -least.Degrees(), where),
			Why:  "the part is locked when pulled along " + arrow(r.Pull), Do: "Change the shape or the pull direction, split the mould, or plan to dig the plug out."}, 1e4*under, 1e4*trifle, "cm^2")
	case low > trifle && least < leastDraft:
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "draft-none",
			What: fmt.Sprintf("A wall stands with %.1f deg of draft at %s; %.0f cm² have less than %.0f deg.", least.Degrees(), where, 1e4*low, wantedDraft.Degrees()),
			Why:  "below 1 deg a part grips the mould over its whole wall", Do: "Lean the walls by 3 deg or more, or drill air holes into the mould before sealing it."}, least.Degrees(), leastDraft.Degrees(), "deg")
	case low > trifle:
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "draft-low",
			What: fmt.Sprintf("A wall stands with %.1f deg of draft at %s; %.0f cm² have less than %.0f deg.", least.Degrees(), where, 1e4*low, wantedDraft.Degrees()),
			Why:  "a part that is hard to pull gets bent or split at the flange", Do: "Lean the walls by 3 to 5 deg, and keep wedges and an air line at hand."}, least.Degrees(), wantedDraft.Degrees(), "deg")
	}
}

// sentence says in one line how the part comes off.
func (r *Result) sentence(s *Spec) string {
	from := "plug"
	if s.Kind == Cavity {
		from = "cavity"
	}
	way := arrow(r.Pull)
	switch under, low := float64(*r.UndercutArea), float64(*r.LowDraftArea); {
	case under > trifle:
		return fmt.Sprintf("It does not come off the %s along %s: %.0f cm² hook behind it.", from, way, 1e4*under)
	case low > trifle:
		return fmt.Sprintf("It comes off the %s in one piece along %s, but grips: the steepest wall has %.1f deg of draft.", from, way, r.MinDraft.Degrees())
	case r.MinDraft.Degrees() > 60:
		return fmt.Sprintf("It peels off the flat %s along %s.", from, way)
	}
	return fmt.Sprintf("It comes off the %s in one piece along %s; the steepest wall has %.1f deg of draft.", from, way, math.Max(0, r.MinDraft.Degrees()))
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
	return fmt.Sprintf("(%.2f, %.2f, %.2f)", e[0], e[1], e[2])
}
