package mould

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/release"
)

// judgeRelease says how the part comes out, what hooks and grips, and what to do
// about it.
func (r *Result) judgeRelease(s *Spec) {
	r.Way = r.way(s.Release)
	r.Out = r.sentence(s)
	r.judgePull(s)
	r.judgeWay(s)
	r.judgeGrip(s)
	r.judgeForce()
}

// way is the one that the job asks for, if it goes; else one pull; else nothing
// does, though the plan may offer ways.
func (r *Result) way(s *Release) Way {
	if s != nil && s.Way != "" && s.Way != InOnePull {
		if r.goes(s.Way) {
			return s.Way
		}
		return Locked
	}
	if r.Release.Judged.Free() {
		return InOnePull
	}
	return Locked
}

// goes tells whether a way frees the part.
func (r *Result) goes(w Way) bool {
	o := r.Release
	switch w {
	case InOnePull:
		return o.Judged.Free()
	case SplitMould:
		return o.Mould != nil
	case SplitPart:
		return o.Part != nil
	case LostMould:
		return o.Lost != nil && o.Lost.Can
	}
	return false
}

// offered are the ways that free a part which the judged pull does not, the one
// with the least work first: another pull, the mould in pieces, a plug that is
// lost, the part in pieces.
func (r *Result) offered(s *Spec) (out []string) {
	if b := r.Release.Better; b != nil && b.Free() {
		out = append(out, "pulled along "+arrow(b.Dir[:])+" it comes off in one piece")
	}
	for _, w := range []Way{SplitMould, LostMould, SplitPart} {
		if r.goes(w) {
			out = append(out, r.words(w, s))
		}
	}
	if c := r.Release.Core; c != nil && c.Can && !r.goes(SplitMould) && s.Kind != Cavity {
		out = append(out, fmt.Sprintf("built in staves round a core %.0f to %.0f mm wide that is drawn first, the plug folds inwards and follows it", 1e3*c.Width, 1e3*c.Most))
	}
	return out
}

// words tells a way as half a sentence.
func (r *Result) words(w Way, s *Spec) string {
	o := r.Release
	switch w {
	case SplitMould:
		return mouldInPieces(*o.Mould, s)
	case SplitPart:
		return fmt.Sprintf("the part, made in %d pieces that are parted %s, comes off along %s and is joined by a lap of %.0f mm", len(o.Part.Pieces), parted(*o.Part), ways(*o.Part, 1), 1e3*o.Part.Joint.Width)
	}
	return fmt.Sprintf("the plug is %s through the opening at %s, %.0f mm wide", lostWord[o.Lost.How], placeText(place(o.Openings[0].At)), 1e3*o.Lost.Widest)
}

func mouldInPieces(sp release.Split, s *Spec) string {
	if s.Kind == Cavity {
		return fmt.Sprintf("the cavity, built in %d pieces that are parted %s, comes off the part along %s", len(sp.Pieces), parted(sp), ways(sp, -1))
	}
	return fmt.Sprintf("the plug, built in %d pieces that are parted %s, is drawn out of the part along %s", len(sp.Pieces), parted(sp), ways(sp, -1))
}

var lostWord = map[release.Lost]string{release.Dissolve: "dissolved", release.Dig: "dug out", release.Break: "broken out", release.Melt: "melted out"}

// parted says where a split runs.
func parted(sp release.Split) string {
	if !sp.Flat {
		return fmt.Sprintf("along the line where the surface turns over, %.2f m long", sp.Seam)
	}
	var at []string
	for _, p := range sp.Planes {
		at = append(at, planeText(p))
	}
	return "at " + strings.Join(at, " and ")
}

// planeText names a plane by its axis and place, or by a point of it and what it
// stands across.
func planeText(p release.Plane) string {
	n := place(p.Normal)
	for k, x := range p.Normal {
		if math.Abs(x) > 1-1e-6 {
			return fmt.Sprintf("%s = %.0f mm", [3]string{"x", "y", "z"}[k], 1e3*float64(p.Offset)*x)
		}
	}
	return fmt.Sprintf("the plane through %s across (%.2f, %.2f, %.2f)", placeText(r3.Scale(float64(p.Offset), n)), n.X, n.Y, n.Z)
}

// ways lists the pulls of the pieces, or the other way round.
func ways(sp release.Split, sign float64) string {
	var out []string
	for _, p := range sp.Pieces {
		out = append(out, arrow([]float64{sign * p.Dir[0], sign * p.Dir[1], sign * p.Dir[2]}))
	}
	return strings.Join(out[:len(out)-1], ", ") + " and " + out[len(out)-1]
}

func place(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

// sentence says in one line how the part comes off.
func (r *Result) sentence(s *Spec) string {
	from := "plug"
	if s.Kind == Cavity {
		from = "cavity"
	}
	along := arrow(r.Pull)
	low, least := float64(*r.LowDraftArea), r.MinDraft.Degrees()
	switch r.Way {
	case SplitMould, SplitPart, LostMould:
		return capital(r.words(r.Way, s)) + "."
	case Locked:
		what := fmt.Sprintf("It does not come off the %s along %s: %.0f cm² hook behind it", from, along, 1e4*float64(r.Release.Judged.Locked()))
		switch offered := r.offered(s); {
		case s.Release != nil && s.Release.Way != "" && s.Release.Way != InOnePull:
			return "It does not come out by the way " + string(s.Release.Way) + ": " + r.whyNot(s.Release.Way, s) + "."
		case len(offered) > 0:
			return what + "; " + offered[0] + "."
		default:
			return what + ", and no other way out is found."
		}
	}
	switch {
	case low > release.Trifle:
		return fmt.Sprintf("It comes off the %s in one piece along %s, but grips: the steepest wall has %.1f deg of draft.", from, along, math.Max(0, least))
	case least > 60:
		return fmt.Sprintf("It peels off the flat %s along %s.", from, along)
	}
	return fmt.Sprintf("It comes off the %s in one piece along %s; the steepest wall has %.1f deg of draft.", from, along, math.Max(0, least))
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// whyNot says why a way does not free the part.
func (r *Result) whyNot(w Way, s *Spec) string {
	o := r.Release
	switch w {
	case SplitMould:
		if s.Kind != Cavity && len(o.Openings) == 0 {
			return "the part is closed all round the plug, so no piece of it finds a way out"
		}
		if left(o.MouldLeft) >= r.Area {
			return "no cut leaves pieces that could go one after the other"
		}
		if s.Kind != Cavity {
			return fmt.Sprintf("of a plug in three pieces %.0f cm² would still hook, and the widest opening is %.0f mm", 1e4*float64(left(o.MouldLeft)), 1e3*float64(o.Openings[0].Width))
		}
		return fmt.Sprintf("of a cavity in three pieces %.0f cm² would still hook", 1e4*float64(left(o.MouldLeft)))
	case SplitPart:
		return fmt.Sprintf("of a part in three pieces %.0f cm² would still hook", 1e4*float64(left(o.PartLeft)))
	}
	switch {
	case s.Kind == Cavity:
		return "the part lies in a cavity, not on a plug"
	case o.Lost == nil:
		return "the first of mould.materials is none that is dissolved, dug, broken or melted out"
	case o.Lost.Widest == 0:
		return "the part is closed all round the plug"
	}
	return fmt.Sprintf("the widest opening is %.0f mm, and %.0f mm are needed", 1e3*o.Lost.Widest, 1e3*o.Lost.Needs)
}

func left(a *si.Area) si.Area {
	if a == nil {
		return 0
	}
	return *a
}

// judgePull warns of undercuts and walls that grip along the judged pull.
func (r *Result) judgePull(s *Spec) {
	low, least := float64(*r.LowDraftArea), *r.MinDraft
	where := placeText(place([3]float64(r.MinDraftAt)))
	switch {
	case !r.Release.Judged.Free():
		r.judgeUndercut(s, where)
	case r.Way == InOnePull && low > release.Trifle && least < release.LeastDraft:
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "draft-none",
			What: fmt.Sprintf("A wall stands with %.1f deg of draft at %s; %.0f cm² have less than %.0f deg.", least.Degrees(), where, 1e4*low, release.WantedDraft.Degrees()),
			Why:  "below 1 deg a part grips the mould over its whole wall", Do: "Lean the walls by 3 deg or more, or drill air holes into the mould before sealing it."}, least.Degrees(), release.LeastDraft.Degrees(), "deg")
	case r.Way == InOnePull && low > release.Trifle:
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "draft-low",
			What: fmt.Sprintf("A wall stands with %.1f deg of draft at %s; %.0f cm² have less than %.0f deg.", least.Degrees(), where, 1e4*low, release.WantedDraft.Degrees()),
			Why:  "a part that is hard to pull gets bent or split at the flange", Do: "Lean the walls by 3 to 5 deg, and keep wedges and an air line at hand."}, least.Degrees(), release.WantedDraft.Degrees(), "deg")
	}
	if b := r.Release.Better; b != nil && b.Free() && r.Release.Judged.Free() {
		r.findAgainst(fault.Finding{Severity: fault.Note, Code: "pull-better",
			What: fmt.Sprintf("Along %s every wall has %.1f deg of draft or more; along %s the least is %.1f deg.", arrow(b.Dir[:]), b.MinDraft.Degrees(), arrow(r.Pull), least.Degrees()),
			Why:  "more draft comes off more easily", Do: "Pull it that way, and write " + pullText(b.Dir) + " into the job."}, least.Degrees(), b.MinDraft.Degrees(), "deg")
	}
}

func pullText(e [3]float64) string {
	return fmt.Sprintf("mould.pull: [%.3f, %.3f, %.3f]", e[0], e[1], e[2])
}

func (r *Result) judgeUndercut(s *Spec, where string) {
	j := r.Release.Judged
	f := fault.Finding{Severity: fault.Stop, Code: "undercut", Why: "the part is locked when pulled along " + arrow(r.Pull)}
	f.What = fmt.Sprintf("%.0f cm² of the part hook behind the mould, worst by %.1f deg at %s.", 1e4*float64(j.Locked()), -j.MinDraft.Degrees(), where)
	if j.Undercut <= release.Trifle {
		f.What = fmt.Sprintf("%.0f cm² of the part hang behind another region of the mould.", 1e4*float64(j.Hidden))
	}
	for _, a := range r.Release.Areas {
		if a.Kind == release.Undercut && a.Hook != nil {
			f.What = strings.TrimSuffix(f.What, ".") + fmt.Sprintf("; it would have to flex sideways by %.1f mm at %s.", 1e3**a.Hook, placeText(place(*a.HookAt)))
			break
		}
	}
	if r.Way != Locked {
		f.Severity, f.Do = fault.Caution, "Take it apart as planned, not by force: "+r.words(r.Way, s)+"."
	} else if offered := r.offered(s); len(offered) > 0 {
		f.Do = capital(strings.Join(offered, "; or ")) + ". Choose one under mould.release, or change the shape."
		if b := r.Release.Better; b != nil && b.Free() {
			f.Do = capital(strings.Join(offered, "; or ")) + ". Write " + pullText(b.Dir) + ", or change the shape."
		}
	} else {
		f.Do = "Change the shape: open the mouth, or lean the walls that hook."
	}
	r.findAgainst(f, 1e4*float64(j.Locked()), 1e4*release.Trifle, "cm^2")
}

// judgeWay refuses what nothing frees, and warns of what a way brings with it.
func (r *Result) judgeWay(s *Spec) {
	if r.Way == Locked {
		asked := s.Release != nil && s.Release.Way != "" && s.Release.Way != InOnePull
		switch {
		case asked:
			r.find(fault.Stop, "way-blocked", "The part does not come out by the way "+string(s.Release.Way)+".", r.whyNot(s.Release.Way, s), "Choose another way under mould.release, or open the shape.")
		case len(r.offered(s)) == 0:
			r.find(fault.Stop, "locked", "Nothing is found that frees the part.", r.reasons(s), "Open the mouth wider, change the shape, or let the part be made in pieces.")
		}
		return
	}
	if r.Way == LostMould {
		r.judgeLost()
	}
	if r.Way == SplitMould && s.Kind != Cavity && r.Release.Mould.Joint.Area > 0 {
		r.find(fault.Note, "plug-pins", fmt.Sprintf("The pieces of the plug meet on %.0f cm², on %d dowels.", 1e4*float64(r.Release.Mould.Joint.Area), len(r.Release.Mould.Joint.Pins)),
			"a step at the seam shows on the part and grips it", "Dowel the pieces before carving, carve them as one, and fill the seam with wax.")
	}
}

// reasons lists why each way fails.
func (r *Result) reasons(s *Spec) string {
	out := []string{"split mould: " + r.whyNot(SplitMould, s)}
	if s.Kind != Cavity {
		out = append(out, "lost plug: "+r.whyNot(LostMould, s))
	}
	if s.Release != nil && s.Release.OnePiece {
		return strings.Join(append(out, "split part: it is to stay in one piece"), "; ")
	}
	return strings.Join(append(out, "split part: "+r.whyNot(SplitPart, s)), "; ")
}

func (r *Result) judgeLost() {
	switch r.Release.Lost.How {
	case release.Dissolve:
		r.find(fault.Caution, "plug-solvent", "The plug is dissolved: solvent is poured over the cured part.", "its vapour takes fire and harms lungs, and it attacks resin that is still green and foam cores", "Wrap the foam in tape before laying up; let the part cure fully; pour in the open, away from sparks and flames, with solvent-proof gloves, and keep it from any core.")
	case release.Melt:
		r.find(fault.Caution, "plug-melt", "The plug is melted out: the part is heated and hot wax runs.", "wax over its melting point burns skin and takes fire", "Stay below the part's glass transition, use hot water or air, no flame, and catch the wax.")
	default:
		r.find(fault.Note, "plug-lost", "The plug is "+lostWord[r.Release.Lost.How]+" and does for one part.", "it is destroyed on the way out", "Cut a wall of its own, tape or plastic film, between plug and laminate, so that tools don't touch the cloth.")
	}
}
