package laminate

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/wall"
)

// handLimit is the highest fibre fraction that a wet lay-up under a vacuum bag
// was measured to reach. Source: [jove2023].
const handLimit = 0.578

// slightCoupling is the coupling of stretch and bending, against A·h, below
// which a wall counts as symmetric: a hundredth of a ply's own in ten plies.
const slightCoupling = 1e-4

func (r *Result) find(s fault.Severity, code, what, why, do string) *fault.Finding {
	r.Findings = append(r.Findings, fault.Finding{Stage: "laminate", Severity: s, Code: code, What: what, Why: why, Do: do})
	return &r.Findings[len(r.Findings)-1]
}

// note gathers what the person should mind.
func (r *Result) note(s Spec) {
	if !s.Stack.Given {
		r.find(fault.Note, "stack-by-rule", "The stack is taken as "+Short(s.Lines())+".",
			"No stack is written, and there is no load with a mould to choose one by.",
			"Write the stack, or give duty.loads and the mould.")
	}
	r.noteFractions()
	r.noteMissing(s)
	r.noteWarp(s)
	r.noteDoublers()
	r.noteModel()
	r.noteFailure()
}

func (r *Result) noteFractions() {
	for _, l := range r.Layers {
		if l.Kind == Cloth && float64(l.FibreFraction) > handLimit {
			f := r.find(fault.Caution, "fibre-fraction-high", fmt.Sprintf("The %s ply would hold %.0f percent fibre; by hand it ends with more resin.", l.Name, 100*l.FibreFraction),
				"Wet lay-up under a bag was measured to reach 58 percent at best. A richer ply is thicker and heavier.",
				"Plan with 0.45, or 0.40 without a bag.")
			*f = f.Against(float64(l.FibreFraction), handLimit, "")
			return
		}
	}
}

// noteMissing says which records lack what, and what is left out for it.
func (r *Result) noteMissing(s Spec) {
	lacking := func(bad func(l Layer) bool) string {
		var names []string
		for _, l := range r.Layers {
			if bad(l) && !strings.Contains(" "+strings.Join(names, " ")+" ", " "+l.Name+" ") {
				names = append(names, l.Name)
			}
		}
		return strings.Join(names, ", ")
	}
	if r.ArealMass == nil {
		who := lacking(func(l Layer) bool { return !l.MassKnown })
		r.find(fault.Note, "mass-unknown", "The wall's mass is left out: the density is not known for "+who+".",
			"Mass is density times thickness.", "Add the density to the record.")
	}
	if who := lacking(func(l Layer) bool { return l.Elastic == nil }); who != "" {
		r.find(fault.Note, "stiffness-unknown", "Stiffness and strength are left out: moduli are not known for "+who+".",
			"A cloth needs E1, E2, G12 and nu12 of its fibre and E and nu of the resin; a ply or core its own.",
			"Add them to the records, or take cloth and resin from the library.")
		return
	}
	if s.Load == nil {
		return
	}
	if who := lacking(func(l Layer) bool { return l.Expansion == nil }); who != "" && s.Load.DT != 0 {
		r.find(fault.Note, "expansion-unknown", "Strains and stresses are left out: the expansion is not known for "+who+".",
			"The load holds a change of temperature.", "Add alpha to the records, or set dT to 0 K.")
	}
	if who := lacking(func(l Layer) bool { return l.Strength == nil && l.Kind != CoreLay }); who != "" {
		r.find(fault.Note, "strength-unknown", "First failure leaves out "+who+": not all strengths are known.",
			"It needs Xt, Xc, Yt, Yc and S.", "Add them to the record.")
	}
}

// noteDoublers tells of a wall that is the same from both faces but where doublers lie on
// one of them.
func (r *Result) noteDoublers() {
	if r.Stiff == nil || r.Stiff.Coupling() >= slightCoupling {
		return
	}
	var all []wall.Ply
	for _, l := range r.Layers {
		all = append(all, l.Ply)
	}
	if w, err := wall.Stiffen(all); err != nil || w.Coupling() < slightCoupling {
		return
	}
	r.find(fault.Note, "doubler-off-middle", "The stack is symmetric about its middle, but not where its doublers lie.",
		"There the wall bends a little when it is stretched, warmed or cooled. strength counts it.",
		"Nothing where the place is small or screwed down; else lay half of the doublers in their mirrored place.")
}

// noteWarp warns of a wall that bends when it is stretched, heated or cooled.
func (r *Result) noteWarp(s Spec) {
	if r.Stiff == nil || r.Stiff.Coupling() < slightCoupling {
		return
	}
	f := r.find(fault.Caution, "stack-not-symmetric", "The stack is not symmetric about its middle: a flat part of it warps.",
		"Plies on one side shrink otherwise than those on the other when the part cools and ages.",
		"Mirror the plies about the middle, or accept it where the shape is curved and stiff.")
	if s.Load == nil || s.Load.DT == 0 || !r.Stiff.ThermalKnown {
		return
	}
	var most float64
	for _, k := range r.Stiff.Respond(wall.Load{DT: s.Load.DT}).Curvature {
		most = math.Max(most, math.Abs(k))
	}
	f.Why += fmt.Sprintf(" For the change of %.0f K given it bends to %.3g per metre, %.1f mm of bow on 300 mm.", float64(s.Load.DT), most, 1e3*most*0.3*0.3/8)
	f.Value, f.Unit = &most, "1/m"
}

// noteModel states the limits of the model, once.
func (r *Result) noteModel() {
	woven, core := false, false
	for _, l := range r.Layers {
		woven = woven || l.Woven
		core = core || l.Kind == CoreLay
	}
	if r.Stiff == nil {
		return
	}
	if woven {
		r.find(fault.Note, "weave-as-cross-ply", "A woven ply is worked out as two crimped plies at a right angle in one.",
			"Its modulus along the yarns rests on the crimp factor of the record, good to about 10 percent; the shear modulus by Halpin-Tsai lies a fifth below what tests of bagged cloth mostly show.",
			"Test a coupon where stiffness decides; micromechanics: chamis gives a higher shear modulus.")
	}
	if core {
		r.find(fault.Note, "core-shear-left-out", "The core's own shear is not in the wall's A, B and D.",
			"Their theory keeps a line through the wall square to it; a soft core lets it lean, and a sandwich bends further.",
			"Look at strength, which counts it.")
	}
}

func (r *Result) noteFailure() {
	for _, c := range wall.Criteria {
		f, ok := r.First[c]
		if !ok || f.Ratio >= 1 {
			continue
		}
		n := r.find(fault.Caution, "ply-fails", fmt.Sprintf("Ply %d (%s) fails under the line load: %s.", f.Ply, r.Layers[f.Ply].Name, f.Mode),
			fmt.Sprintf("By %s it stands %.2f of the load; stress of the temperature is held.", c, f.Ratio),
			"Add plies along the load, or lower it.")
		*n = n.Against(f.Ratio, 1, "")
		return
	}
}
