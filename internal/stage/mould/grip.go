package mould

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/release"
)

// gripping is how much part and mould may grip before it is told, m. Common
// practice, no source: a wall gives a few tenths of a millimetre by itself.
const gripping = 0.2e-3

// gripStrain is the strain of a wall from which its stretching by the mould is a
// caution: green resin takes a set, or cracks at laps. Common practice, no source.
const gripStrain = 1e-3

// judgeGrip warns where the mould grows into its part, or the part shrinks on to
// its mould.
func (r *Result) judgeGrip(s *Spec) {
	g := r.Release.Grip
	if g == nil {
		return
	}
	of, grips := "plug", "The plug grows into the part"
	if s.Kind == Cavity {
		of, grips = "cavity", "The part grows against the cavity"
	}
	if warm := float64(g.Warm); warm > gripping {
		f := fault.Finding{Severity: fault.Note, Code: "grip-warm",
			What: fmt.Sprintf("%s by %.1f mm over %.0f mm as both are warmed.", grips, 1e3*warm, 1e3*float64(g.Over)),
			Why:  "the two expand differently", Do: "Let the resin gel and harden at the shop's temperature, take the part off, and post-cure it off the " + of + "."}
		if warm/float64(g.Over) > gripStrain {
			f.Severity = fault.Caution
		}
		r.findAgainst(f, 1e3*warm, 1e3*gripping, "mm")
	}
	if cold := float64(g.ColdHigh); cold > gripping {
		f := fault.Finding{Severity: fault.Note, Code: "grip-cold",
			What: fmt.Sprintf("Cold again, part and %s grip each other by up to %.1f mm over %.0f mm%s.", of, 1e3*cold, 1e3*float64(g.Over), r.slides(g.ColdHigh)),
			Why:  "the resin shrinks as it hardens, and the two contract differently", Do: "Take it off while it is still warm if the plan allows it, or warm or cool the part alone just before."}
		if *r.MinDraft < release.LeastDraft && float64(*r.LowDraftArea) > release.Trifle {
			f.Severity = fault.Caution
		}
		r.findAgainst(f, 1e3*cold, 1e3*gripping, "mm")
	}
}

// atOnce is the pull, m, that nobody measures: it rounds to no millimetre.
const atOnce = 0.5e-3

// slides says how far a part that is gripped must be pulled until it is free.
func (r *Result) slides(g si.Length) string {
	switch l := float64(release.Loose(g, *r.MinDraft)); {
	case !r.Release.Judged.Free():
		return ""
	case math.IsInf(l, 1) || l > float64(r.Release.Grip.Over):
		return "; on the steepest wall no pull makes it loose, only stretch"
	case l < atOnce:
		return "; on the steepest wall it is loose as soon as it moves"
	default:
		return fmt.Sprintf("; on the steepest wall it is loose after %.0f mm of pull", 1e3*l)
	}
}

// heavy is the pull, N, from which the force is told: what one person pulls
// without tools. Common practice, no source.
const heavy si.Force = 250

// judgeForce tells a force that hands alone may not have.
func (r *Result) judgeForce() {
	f := r.Release.Force
	if f == nil || f.High < heavy {
		return
	}
	r.findAgainst(fault.Finding{Severity: fault.Note, Code: "release-force",
		What: fmt.Sprintf("Getting it off takes some %s to %s N, roughly.", round(float64(f.Low)), round(float64(f.High))),
		Why:  "released walls hold on over the height that they slide", Do: "Drill air holes into the mould before sealing it, start at the edge with plastic or wooden wedges, then let in air or water; never pry with metal."}, float64(f.High), float64(heavy), "N")
}

// round writes a number with one or two figures.
func round(x float64) string {
	if x <= 0 {
		return "0"
	}
	by := math.Pow(10, math.Floor(math.Log10(x)))
	return fmt.Sprintf("%.0f", math.Round(2*x/by)/2*by)
}
