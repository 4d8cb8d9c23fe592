package plies

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
	"laywright/internal/stage/hollow"
	"laywright/internal/stage/slits"
)

// Advice is how a ply is laid by hand, in the order of work.
type Advice struct {
	Steps []AdviceStep `json:"steps"`
}

// AdviceStep is one thing to do, with arrows for a picture.
type AdviceStep struct {
	Kind  string          `json:"kind"`            // start | line | press | quarter | ease | close | patch
	Piece string          `json:"piece,omitempty"` // where the ply has several
	What  string          `json:"what"`            // a sentence or two for the bench
	From  [3]float64      `json:"from_m"`
	To    [3]float64      `json:"to_m"`
	Also  [][2][3]float64 `json:"also_m,omitempty"` // further arrows of the same step
	Shear si.Angle        `json:"shear_deg"`        // the most that the cloth shears on the way, either way
}

// The kinds of step.
const (
	stepStart   = "start"   // lay it down at the seed
	stepLine    = "line"    // smooth it along one of the two yarns through the seed
	stepPress   = "press"   // into hollows
	stepQuarter = "quarter" // what lies between the two lines
	stepEase    = "ease"    // where it resists
	stepClose   = "close"   // slits and joins
	stepPatch   = "patch"   // strips over seams
)

// advise tells how a ply is laid: piece by piece, each from its seed along the
// warp, then along the weft, then the quarters between these, that which shears
// least first; hollows are pressed in on the way and slits closed last. That is
// the order in which the cloth decides: the two yarns through the seed lie
// straight whatever comes after, and what lies between follows from them.
//
// The order is common practice; places, directions and numbers are those of the
// cloth as it was laid by the solver. A doubler's are short: it is small.
func (w *work) advise(ply *Ply, p PlyIn, s *sheets, hollows []hollow.Hollow) Advice {
	var out Advice
	for i, b := range s.beds {
		l := w.laying(p, b)
		if len(s.beds) > 1 && i < len(ply.Pieces) {
			l.piece = ply.Pieces[i].Name
		}
		if w.in.local != nil {
			l.box = w.in.local.box
			l.startDoubler(w.whatOf(b.part))
			l.ease()
			l.close(w.lap())
			out.Steps = append(out.Steps, l.steps...)
			continue
		}
		inside := l.under(hollows)
		l.start()
		l.line(0, "warp", len(inside) > 0)
		l.line(1, "weft", len(inside) > 0)
		l.press(inside)
		l.quarters()
		l.ease()
		l.close(w.lap())
		out.Steps = append(out.Steps, l.steps...)
	}
	if step, ok := ply.patches(); ok {
		out.Steps = append(out.Steps, step)
	}
	return out
}

// start is the first step: where the seed lies and which way the warp runs.
func (l *laying) start() {
	what := fmt.Sprintf("Lay the seed cross down %s, the warp arrow %s, marked face up.",
		whereabouts(l.seed, l.normal, l.box), towards(l.warp))
	if l.piece != "" {
		what = fmt.Sprintf("Piece %s: lay its seed cross down %s, the warp arrow %s, marked face up.",
			l.piece, whereabouts(l.seed, l.normal, l.box), towards(l.warp))
	}
	l.add(AdviceStep{Kind: stepStart, What: what}, arrow{l.seed, r3.Add(l.seed, r3.Scale(l.long/8, l.warp))})
}

// startDoubler is the first step of a doubler, and mostly the only one.
func (l *laying) startDoubler(what string) {
	piece := "It"
	if l.piece != "" {
		piece = "Piece " + l.piece
	}
	l.add(AdviceStep{Kind: stepStart, What: fmt.Sprintf("%s goes %s: its seed cross %s, the warp arrow %s, marked face up. Smooth it from there outwards.",
		piece, what, whereabouts(l.seed, l.normal, l.box), towards(l.warp))}, arrow{l.seed, r3.Add(l.seed, r3.Scale(l.long/3, l.warp))})
}

// whatOf says where a part of doublers' ground lies.
func (w *work) whatOf(p *slits.Part) string {
	if w.in.local == nil {
		return ""
	}
	for i := range w.parts {
		if &w.parts[i] == p {
			return w.in.local.what[i]
		}
	}
	return ""
}

// line smooths the cloth along the warp or the weft through the seed, the longer
// way first.
func (l *laying) line(axis int, name string, inside bool) {
	var ends []end
	for _, way := range []float64{1, -1} {
		if e, ok := l.lineEnd(axis, way); ok {
			ends = append(ends, e)
		}
	}
	if len(ends) == 2 && ends[1].far > ends[0].far*1.01 {
		ends[0], ends[1] = ends[1], ends[0]
	}
	if len(ends) == 0 {
		return
	}
	from := "from the seed"
	if axis == 1 {
		from = "from the seed again"
	}
	what := fmt.Sprintf("Smooth it down along the %s %s: %s %s", name, from, millimetres(ends[0].far), towards(r3.Sub(ends[0].at, l.seed)))
	arrows := []arrow{{l.seed, ends[0].at}}
	if len(ends) == 2 {
		what += fmt.Sprintf(", then %s %s", millimetres(ends[1].far), towards(r3.Sub(ends[1].at, l.seed)))
		arrows = append(arrows, arrow{l.seed, ends[1].at})
	}
	what += "."
	if inside {
		what += " Stop at each hollow and press it in before going on."
	}
	if axis == 0 {
		what += " This yarn stays straight."
	}
	l.add(AdviceStep{Kind: stepLine, What: what}, arrows...)
}

// press tells which hollows the cloth must be pressed into.
func (l *laying) press(inside []hollow.Hollow) {
	if len(inside) == 0 {
		return
	}
	what := fmt.Sprintf("Press it into the hollow all along (%s) with a rounded stick, above all %s", millimetres(float64(inside[0].Length)), l.placeOf(inside[0]))
	if n := len(inside); n > 1 {
		what = fmt.Sprintf("Press it into the %s hollows with a rounded stick, above all %s", countOf(n), l.placeOf(inside[0]))
	}
	what += fmt.Sprintf(": slack, not stretched. Drawn straight across it would stand %.1f mm off, and the vacuum does not draw it in.", 1000*float64(inside[0].Gap))
	var arrows []arrow
	for _, h := range inside {
		arrows = append(arrows, l.intoHollow(h))
	}
	l.add(AdviceStep{Kind: stepPress, What: what}, arrows...)
}
