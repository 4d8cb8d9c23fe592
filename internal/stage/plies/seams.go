package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/stage/flat"
)

// judgeSeams looks at the slits of all plies together: how many and how long,
// and whether neighbours keep the stagger.
func (w *work) judgeSeams(out *Result) {
	count, long := 0, 0.0
	for _, p := range out.Plies {
		for _, s := range p.Seams {
			count++
			long += float64(s.Length)
		}
	}
	if count == 0 {
		return
	}
	out.Findings = append(out.Findings, fault.Finding{Stage: "plies", Severity: fault.Note, Code: "plies-are-slit",
		What: fmt.Sprintf("The plies have %d slits, %.0f mm together; %.1f cm² of cloth lies double in laps.", count, 1000*long, 1e4*float64(out.LapArea)),
		Why:  "the surface closes in more than the cloth shears", Do: "Cut each slit to its tip and no further; lay the side with the lap over the other."})
	w.judgeStagger(out)
}

// judgeStagger measures how near the seams of neighbouring plies come, straight
// across: over a bend that is less than along the surface.
func (w *work) judgeStagger(out *Result) {
	asked := float64(or(w.in.Spec.Stagger, usualStagger))
	least, near, long := math.Inf(1), 0.0, 0.0
	var at r3.Vec
	var who [2]int
	for i := 1; i < len(out.Plies); i++ {
		for _, a := range out.Plies[i].Seams {
			nearA := 0.0
			for _, b := range out.Plies[i-1].Seams {
				d, where, by := flat.Closest(a, b, asked)
				nearA = max(nearA, by)
				if d < least {
					least, at, who = d, where, [2]int{out.Plies[i-1].Number, out.Plies[i].Number}
				}
			}
			near, long = near+nearA, long+float64(a.Length)
		}
	}
	if math.IsInf(least, 1) {
		return
	}
	out.Stagger = &least
	if least < asked {
		out.add(fault.Caution, "seams-close", fmt.Sprintf("Seams of plies %d and %d come near to each other at %s; of all seams, %.0f %% lie nearer to one of the ply before than the stagger.",
			who[0], who[1], mm(at), 100*near/long),
			"the slits of all plies must reach the same corner, where the surface closes in",
			"Lay a patch of the cloth over each such corner as one of the plies.", 1000*least, 1000*asked, "mm")
	}
}
