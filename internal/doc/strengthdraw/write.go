package strengthdraw

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// Measures of the sheet in mm.
const (
	mapHigh      = 75 // most, its key in it
	shapeHigh    = 62
	captionGap   = 6
	columnGap    = 6
	underPicture = 1.2
	figureGap    = 3 // what the flow leaves under a picture
)

// Write says on pages of its own whether the part of a plan holds: maps, numbers,
// what they count and what to mind. Nothing where strength was not worked out.
func Write(f *draw.Flow, p job.Plan) {
	s := open(p)
	if s == nil {
		return
	}
	f.Break()
	f.Title("Whether it holds", s.verdict())
	maps := s.maps()
	high := min(mapHigh, f.Left()/float64(len(maps))-figureGap)
	for _, pic := range maps {
		row(f, high, pic)
	}
	f.Heading("What it comes to")
	f.Table(s.numbers())
	f.Table(s.caseTable())
	if s.Index != nil {
		f.Table(s.criteriaTable())
	}
	if len(s.Fasteners) > 0 {
		f.Table(s.fastenerTable())
	}
	row(f, shapeHigh, s.shapes()...)
	s.basis(f)
	s.mind(f)
}

// row lays pictures side by side; two columns for shapes, of which there may be one.
func row(f *draw.Flow, high float64, pictures ...plydraw.Picture) {
	if len(pictures) == 0 {
		return
	}
	for i, box := range draw.Split(f.Room(high), len(pictures), columnGap) {
		pic := pictures[i]
		at := r2.Vec{X: box.Min.X, Y: box.Max.Y}
		f.Draw(draw.Text{At: at, String: draw.Cropped(pic.Caption, draw.Bold, draw.Body, box.Size().X), Size: draw.Body, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
		at.X += draw.Width(pic.Caption, draw.Bold, draw.Body) + 3
		f.Draw(draw.Text{At: at, String: draw.Cropped(pic.Note, draw.Regular, draw.Small, box.Max.X-at.X), Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
		box.Max.Y -= captionGap
		for _, line := range slices.Backward(draw.Wrap(pic.Key, draw.Regular, draw.Small, box.Size().X)) {
			box.Min.Y += draw.Leading(draw.Small)
			f.Draw(draw.Text{At: box.Min, String: line, Size: draw.Small, Rise: draw.Below, Colour: draw.Soft})
		}
		box.Min.Y += underPicture
		f.Draw(draw.Rect(box, draw.Pen{}, draw.Ground))
		f.Draw(pic.Draw(draw.Inset(box, 2))...)
	}
}

// verdict says in a line whether the limits are met.
func (s *sheet) verdict() string {
	var fails []string
	switch {
	case s.broken():
		fails = append(fails, "heat alone breaks a ply")
	case s.Index == nil:
		fails = append(fails, "its strength is not known")
	case *s.Index*s.Factor > 1:
		fails = append(fails, fmt.Sprintf("it uses %s of its strength", percent(*s.Index*s.Factor)))
	}
	if l := s.limit(1); l != nil && float64(s.Deflection) > *l {
		fails = append(fails, "it moves too far")
	}
	if s.Snaps != nil {
		fails = append(fails, "it snaps at "+times(*s.Snaps)+" its load")
	}
	if s.Buckling != nil && *s.Buckling < s.Factor {
		fails = append(fails, "it folds at "+times(*s.Buckling)+" its load")
	}
	if i := s.weakestFastener(); i >= 0 && *s.Fasteners[i].Margin < 0 {
		fails = append(fails, fmt.Sprintf("fastener %d does not hold", i+1))
	}
	if s.Bond != nil && s.Bond.Margin < 0 {
		fails = append(fails, "the bond line does not hold")
	}
	if len(fails) > 0 {
		return "Not by these numbers: " + strings.Join(fails, ", ") + "."
	}
	return fmt.Sprintf("By these numbers it stands %s its loads: %s of its strength used, moves by %s.", times(s.Factor), percent(*s.Index*s.Factor), show(s.words, s.Deflection))
}

// broken tells whether heat alone breaks a ply.
func (s *sheet) broken() bool {
	return slices.ContainsFunc(s.Share, func(x float64) bool { return math.IsInf(x, 1) })
}

// basis says what the numbers rest on.
func (s *sheet) basis(f *draw.Flow) {
	f.Heading("What was counted")
	f.Item("–", s.factorWords())
	f.Item("–", s.heldWords())
	f.Item("–", s.wallWords())
	f.Item("–", s.motionWords())
	f.Item("–", s.heatWords())
	f.Item("–", fmt.Sprintf("%d triangles; their size alone leaves about %s in the stress.", s.Elements, percent(s.MeshError)))
}

func (s *sheet) factorWords() string {
	d := s.plan.Spec.Duty
	if d != nil && d.Loads != nil && d.Loads.Factor != nil {
		return fmt.Sprintf("Factor of safety %s on strength and folding, as the job says; deflection and frequency without it.", draw.Short(s.Factor))
	}
	return fmt.Sprintf("Factor of safety %s on strength and folding, the usual one; deflection and frequency without it.", draw.Short(s.Factor))
}

func (s *sheet) heldWords() string {
	part := s.plan.Spec.Part
	if part == nil || part.Held == nil {
		return "Held at its outer edge, taken as pinned: it may turn there but not move. The job does not say; cut-outs are free."
	}
	h := part.Held
	on := ""
	if h.On != "" {
		on = " on " + h.On
	}
	switch {
	case len(s.Fasteners) > 0:
		return fmt.Sprintf("Held%s by %s alone, which give as screws do; its edge is free.", on, fault.Count(len(s.Fasteners), "fastener", "fasteners"))
	case h.Flange != nil:
		return fmt.Sprintf("Held%s by its flange, bonded down, which gives as the adhesive does. Cut-outs are free.", on)
	case h.Edge == "clamped":
		return fmt.Sprintf("Held%s at its outer edge, clamped: it neither moves nor turns there, as in a frame far stiffer than itself. Cut-outs are free.", on)
	case h.Edge == "":
		return fmt.Sprintf("Held%s at its outer edge, taken as pinned: it may turn there but not move. Cut-outs are free.", on)
	}
	return fmt.Sprintf("Held%s at its outer edge, pinned: it may turn there but not move. Cut-outs are free.", on)
}

func (s *sheet) wallWords() string {
	if s.plan.Plies != nil && len(s.plan.Plies.Plies) > 0 {
		return "Each cloth with its yarns and its shear as it was laid, doubled in its laps; the mould's face stands for the middle of the wall."
	}
	return "The stack as written, its angles counted from the warp's direction; the mould's face stands for the middle of the wall."
}

func (s *sheet) motionWords() string {
	if s.Large {
		return "Large motions: the wall is followed as it moves, stretches and stiffens, up to its load times the factor. Folding and swinging are those of the wall at rest."
	}
	return "Small motions: the wall answers twice the load with twice the motion."
}

func (s *sheet) heatWords() string {
	if s.Retention != nil {
		return fmt.Sprintf("Hot and moist: compression and shear with no more than %s of their strength at room temperature in the worst case.", percent(*s.Retention))
	}
	return "Strengths are those of dry coupons at room temperature; heat and moisture take from compression and shear."
}

// mind lists what the stage found, gravest first, and who decides.
func (s *sheet) mind(f *draw.Flow) {
	f.Heading("What to mind, and what was not counted")
	for _, grave := range []fault.Severity{fault.Stop, fault.Caution, fault.Note} {
		for _, x := range s.plan.Findings {
			if x.Stage != "strength" || x.Severity != grave {
				continue
			}
			mark := map[fault.Severity]string{fault.Stop: "!!", fault.Caution: "!"}[grave]
			if mark == "" {
				mark = "–"
			}
			f.Item(mark, plydraw.Sentence(x.What)+" "+plydraw.Sentence(x.Why)+" "+plydraw.Sentence(x.Do))
		}
	}
	for _, c := range s.plan.Cautions() {
		if c.Code == "not-an-approval" {
			f.Callout(true, c.What, plydraw.Sentence(c.Why)+" "+plydraw.Sentence(c.Do))
		}
	}
}
