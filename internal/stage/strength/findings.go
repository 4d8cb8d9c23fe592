package strength

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func (r *Result) find(s fault.Severity, code, what, why, do string) *fault.Finding {
	r.Findings = append(r.Findings, fault.Finding{Stage: "strength", Severity: s, Code: code, What: what, Why: why, Do: do})
	return &r.Findings[len(r.Findings)-1]
}

// layer names a layer of the stack as the shop does.
func (in *Input) layer(i int) string {
	if in.Layers[i].Core {
		return "the core " + in.Layers[i].Name
	}
	number := 0
	for _, l := range in.Layers[:i+1] {
		if !l.Core {
			number++
		}
	}
	return fmt.Sprintf("ply %d (%s)", number, in.Layers[i].Name)
}

func (r *Result) noteHold(in *Input, free int) {
	if len(in.Fasteners) == 0 && in.Flange == nil && in.Edge == "" {
		r.find(fault.Note, "edge-taken-as-pinned", "The edge is taken as pinned: it may turn but not move.",
			"The job does not say how the part is held. A clamped edge lets a flat panel move a third as far.",
			"Write part.held: {edge: pinned} or {edge: clamped}.")
	}
	if free > 0 {
		r.find(fault.Note, "cut-outs-free", "Only the outer edge is held; "+fault.Count(free, "cut-out is", "cut-outs are")+" free.",
			"A pipe or frame in a cut-out would stiffen it.", "Nothing, unless the part hangs on a cut-out.")
	}
}

// note says what the numbers mean for the part.
func (r *Result) note(j *judging) {
	r.noteFailure(j.in)
	r.noteHotWet(j.in)
	r.noteMotion(j.in)
	r.noteBuckling()
	r.noteModel(j)
}

func (r *Result) noteFailure(in *Input) {
	var without string
	for _, l := range in.Layers {
		if l.Strength == nil && !l.Core {
			without = l.Name
		}
	}
	if without != "" {
		r.find(fault.Note, "strength-unknown", "Failure leaves out "+without+": not all of its strengths are known.",
			"It needs Xt, Xc, Yt, Yc and S.", "Add them to the record.")
	}
	if r.Margin == nil || *r.Margin >= 0 {
		return
	}
	w := r.Worst
	f := r.find(fault.Stop, "wall-too-weak", fmt.Sprintf("The wall does not stand %.3g times its load: %s, %s, at (%.0f, %.0f, %.0f) mm.",
		r.Factor, w.Layer, w.Mode, 1e3*w.At[0], 1e3*w.At[1], 1e3*w.At[2]),
		fmt.Sprintf("By %s it fails at %.2f times the load of %q.", w.Criterion, 1/w.Index, w.Case),
		"Add a ply there, round the corner more, or hold the part nearer.")
	*f = f.Against(*r.Margin, 0, "")
}

func (r *Result) noteMotion(in *Input) {
	d := float64(r.Deflection)
	if in.Limit != nil && d > float64(*in.Limit) {
		f := r.find(fault.Caution, "moves-too-far", fmt.Sprintf("The wall moves %.2f mm; %.2f mm are allowed.", 1e3*d, 1e3*float64(*in.Limit)),
			"Stiffness in bending grows with the cube of the thickness, so a core or a bead does more than a ply.",
			"Add a core, a bead or a ply, or hold the part nearer.")
		*f = f.Against(d, float64(*in.Limit), "m")
	}
	h := in.thickness()
	if r.Large || d <= h/2 {
		return
	}
	grave := fault.Note
	if d > h {
		grave = fault.Caution // the numbers themselves no longer hold
	}
	f := r.find(grave, "moves-beyond-linear", fmt.Sprintf("The wall moves %.1f mm, more than half its thickness: the real motion is smaller where the edge is held, larger where the wall snaps through.", 1e3*d),
		"The solve is linear, as the job asks. A flat panel that moves as far as it is thick was found 20 to 45 percent stiffer than that.",
		"Leave strength.large_deflection away, or write true.")
	*f = f.Against(d, h/2, "m")
}

// noteLarge says what large motions made of the linear answer.
func (r *Result) noteLarge(in *Input, linear si.Length) {
	f := r.find(fault.Note, "large-motion", fmt.Sprintf("The wall moves %.2f mm; with small motions it would have been %.2f mm.", 1e3*float64(r.Deflection), 1e3*float64(linear)),
		"A wall that moves by more than half its thickness stretches, and stiffens or gives way with it: that is counted here, up to the factor of safety.",
		"Nothing; write strength: {large_deflection: false} to see the linear answer.")
	*f = f.Against(float64(r.Deflection), in.thickness()/2, "m")
}

// noteSnap says where a case found no rest near.
func (r *Result) noteSnap(j *judging, f *far) {
	if math.IsInf(f.snaps, 1) {
		return
	}
	if r.Snaps == nil || f.snaps < *r.Snaps {
		r.Snaps = &f.snaps
	}
	s, name := fault.Caution, j.in.Cases[j.blends[f.blend].of].Name
	if f.snaps < 1 {
		s = fault.Stop
	}
	what := fmt.Sprintf("The wall snaps at %.2f times the load of %q: it pops in or folds, and comes to rest somewhere else.", f.snaps, name)
	if f.snaps == 0 {
		what = fmt.Sprintf("The wall snaps as it warms for %q: held all round, it has nowhere to grow.", name)
	}
	found := r.find(s, "wall-snaps", what, "No state in balance was found near. Strength is judged up to there; beyond it nothing is known.",
		"Add a bead, a core or a ply where it is flattest, or hold it nearer.")
	*found = found.Against(f.snaps, j.in.Factor, "")
}

func (r *Result) noteBuckling() {
	if r.Buckling == nil || *r.Buckling >= r.Factor {
		return
	}
	s := fault.Caution
	if *r.Buckling < 1 {
		s = fault.Stop
	}
	f := r.find(s, "wall-buckles", fmt.Sprintf("The wall buckles at %.2f times its load.", *r.Buckling),
		"A thin wall under compression folds away sideways. Dents and uneven thickness lower the number further, often by half.",
		"Add a bead, a core or a ply where it folds.")
	*f = f.Against(*r.Buckling, r.Factor, "")
}

// mild is the shear up to which yarns may count as crossing at right angles when
// strength is judged.
const mild = 10 * math.Pi / 180

func (r *Result) noteModel(j *judging) {
	r.find(fault.Note, "mid-wall-triangles", "The mould face stands for the middle of the wall.",
		"Where an edge of cloth or of a lap runs through a triangle, both of its sides take one strain, and stress beside a clamped edge or a fastener depends on the size of the triangles.",
		"Treat the margin as a guide; load the first part to prove it.")
	for _, l := range j.in.Layers {
		if l.Core && len(j.in.Fasteners) > 0 {
			r.find(fault.Note, "inserts-at-screws", "Each screw needs an insert or solid laminate in place of the core "+l.Name+"; the core is not judged there.",
				"A screw crushes a core and pulls through it.", "Let the insert reach twice the wall's thickness past the screw.")
			break
		}
	}
	for _, l := range j.in.Layers {
		if l.Core && l.CoreShear == 0 {
			r.find(fault.Note, "core-strength-unknown", "Failure leaves out the core "+l.Name+": its shear strength is not known.",
				"A core fails in shear beside its edges and under a hand.", "Add shear to its record.")
			break
		}
	}
	if float64(j.stacks.shear) > mild {
		f := r.find(fault.Note, "sheared-strength", "Strength of sheared cloth is judged as if its yarns still crossed at right angles.",
			"Stiffness follows the yarns as they lie; tests of strength are of flat cloth.", "Trust the margin less where the shear is large.")
		*f = f.Against(j.stacks.shear.Degrees(), 10, "deg")
	}
}
