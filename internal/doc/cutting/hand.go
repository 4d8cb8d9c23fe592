package cutting

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
)

// Hand is the cutting sheet: how the pieces of every roll are cut with a knife and a
// straight edge. A plan without rolls has none.
func Hand(plan job.Plan, sheet draw.Sheet) []draw.Page {
	rolls := Rolls(plan)
	if len(rolls) == 0 {
		return nil
	}
	h := &hand{Flow: draw.NewFlow(sheet, "Measure from the roll itself. The pieces' drawings in patterns/ show every mark."), rule: ruleOf(plan.Spec.Show)}
	h.Title("Cutting sheet", PartName(plan))
	h.howTo()
	for i, r := range rolls {
		if i > 0 {
			h.Break()
		}
		h.roll(r)
	}
	return h.Pages()
}

type hand struct {
	*draw.Flow
	rule rule
}

// howTo is read once, before the first cut.
func (h *hand) howTo() {
	step := h.rule.with(h.rule.step())
	for i, s := range []string{
		"Roll the cloth out flat, this side up as it lies on the roll, and square its start: pull one weft thread and cut along the gap.",
		"“Along” is from that start, “across” from the near selvedge (the lower one in the roll's picture, the right one where the picture stands upright), both in " + h.rule.units() + ". The weft runs straight across; the warp runs along the roll, as the arrows show.",
		"Mark the corners, join them as the list says, and cut in the order of the list. Cut what is inside a piece before its outline.",
		"Straight: a straight edge from this corner to the next. Curve: lay the straight edge the same way, mark every " + step + " along it from this corner (or as often as the list says), and from each mark the distance given, square to it: away from the piece, or into it where there is a minus. Cut through the marks.",
	} {
		h.Item(fmt.Sprintf("%d.", i+1), s)
	}
	h.Callout(true, "Knife and fibre", "Keep the guiding hand behind the blade and off its line; use a straight edge with a raised rim. Cut ends of carbon and glass prick and itch: gloves, long sleeves, and no blowing of the table with air.")
}

func (h *hand) roll(r pattern.Roll) {
	order := onBlanks(r)
	h.Heading(r.Title())
	used := "used"
	if len(r.Outline) > 0 {
		used = "long"
	}
	h.Lead(fmt.Sprintf("%s from %s wide; %s "+used+".%s", fault.Count(len(order), "piece", "pieces"), "cloth "+h.rule.with(float64(r.Width)), h.rule.with(float64(r.Length)), h.margin(r)))
	h.Draw(pattern.RollPicture(r, h.Room(rollHigh))...)
	h.blanks(r)
	h.list(order)
	if len(order) > mostByHand {
		h.Para(fmt.Sprintf("The corners of more than %d pieces are not listed: cut them from the full-size drawing of the roll.", mostByHand))
		return
	}
	for i, x := range order {
		h.piece(i+1, x)
	}
}

// onBlank is a piece where it lies on its blank, or on the roll where there are none.
type onBlank struct {
	pattern.Placed
	blank int // from 1; 0: none
}

// title names the piece, and the blank that it is cut from.
func (x onBlank) title() string {
	if x.blank == 0 {
		return x.Piece.Headline()
	}
	return fmt.Sprintf("%s · blank %d", x.Piece.Headline(), x.blank)
}

// onBlanks is the pieces in the order of cutting, each measured from what it is cut
// from: a blank's own first edge, since that is cut off before.
func onBlanks(r pattern.Roll) (out []onBlank) {
	const slip = 1e-6 // m, of rounding
	for _, p := range cuttingOrder(r.Pieces) {
		x, box := onBlank{Placed: p}, p.Outline().Bounds()
		for i, b := range r.Blanks {
			if float64(b.From)-slip <= box.Min.X && box.Max.X <= float64(b.To)+slip {
				x.blank = i + 1
				x.At.X -= float64(b.From)
				break
			}
		}
		out = append(out, x)
	}
	return out
}

// margin says what of the cloth is not cut from.
func (h *hand) margin(r pattern.Roll) (s string) {
	if len(r.Outline) > 2 {
		s += " It is a remnant: measure from the corner of the box round it where along and across are 0."
	} else if r.Edge > 0 {
		s += fmt.Sprintf(" Leave %s along each selvedge.", h.rule.with(float64(r.Edge)))
	}
	if len(r.Defects) > 0 {
		s += " Hatched cloth is bad."
	}
	return s
}

// mostByHand is the most pieces of a roll whose corners are listed: a page each.
const mostByHand = 100

// rollHigh is the height of a roll's picture, and pieceHigh that of a piece's, in mm.
const (
	rollHigh  = 70
	pieceHigh = 84
)

// cuttingOrder is the pieces as they come from the start of the roll.
func cuttingOrder(pieces []pattern.Placed) []pattern.Placed {
	out := slices.Clone(pieces)
	slices.SortStableFunc(out, func(a, b pattern.Placed) int {
		p, q := a.Outline().Bounds().Min, b.Outline().Bounds().Min
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	return out
}

// blanks are the rough cuts straight across the roll, where it is cut so.
func (h *hand) blanks(r pattern.Roll) {
	if len(r.Blanks) == 0 {
		return
	}
	h.Lead("First cut the roll straight across into blanks, then the pieces from each; “along” is then from the blank's own first edge:")
	t := draw.Table{Columns: []draw.Column{{Head: "Blank", Share: 1}, {Head: "from, along", Share: 1.5, Align: draw.End}, {Head: "to, along", Share: 1.5, Align: draw.End}, {Head: "pieces", Share: 6}}}
	for i, b := range r.Blanks {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), h.rule.text(float64(b.From)), h.rule.text(float64(b.To)), strings.Join(b.Pieces, ", ")})
	}
	h.Table(t)
}

// list is the order of cutting, to be ticked off.
func (h *hand) list(order []onBlank) {
	t := draw.Table{Columns: []draw.Column{{Head: "", Share: 0.6}, {Head: "No.", Share: 0.7}, {Head: "piece", Share: 3.6}, {Head: "along", Share: 2.2}, {Head: "across", Share: 2.2}, {Head: "lies", Share: 2.6}}}
	for i, x := range order {
		b := x.Outline().Bounds()
		t.Rows = append(t.Rows, []string{draw.Tick, fmt.Sprint(i + 1), x.title(),
			h.rule.text(b.Min.X) + " to " + h.rule.text(b.Max.X), h.rule.text(b.Min.Y) + " to " + h.rule.text(b.Max.Y), lies(x.Placed)})
	}
	h.Table(t)
}

// lies says how a piece lies against its own drawing.
func lies(x pattern.Placed) string {
	deg := draw.Short(x.Turn.Degrees()) + "°"
	switch {
	case x.Flipped && x.Turn != 0:
		return "turned over, then " + deg
	case x.Flipped:
		return "turned over"
	case x.Turn != 0:
		return "turned " + deg
	}
	return "as drawn"
}

// piece is one piece with its picture and its measures.
func (h *hand) piece(number int, x onBlank) {
	laid := x.Laid()
	sides := sidesOf(laid.Outline, h.rule.step())
	h.Heading(fmt.Sprintf("%d. %s", number, x.title()))
	box := h.Room(pieceHigh)
	picture := box
	picture.Max.X = box.Min.X + 0.66*box.Size().X
	h.Draw(pieceDrawing(laid, sides, picture)...)
	h.facts(laid, x.Placed, r2.Box{Min: r2.Vec{X: picture.Max.X + 5, Y: box.Min.Y}, Max: box.Max})
	h.Table(h.corners(sides, ""))
	h.inside(laid)
}

// facts stand beside a piece's picture.
func (h *hand) facts(laid pattern.Piece, x pattern.Placed, box r2.Box) {
	b := laid.Outline.Bounds()
	says := append(slices.Clone(laid.Words), lies(x)+" on the roll",
		"along "+h.rule.text(b.Min.X)+" to "+h.rule.with(b.Max.X), "across "+h.rule.text(b.Min.Y)+" to "+h.rule.with(b.Max.Y))
	y := box.Max.Y - 2
	for _, s := range says {
		for _, line := range draw.Wrap(s, draw.Regular, draw.Body, box.Size().X) {
			h.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: y}, String: line, Size: draw.Body, Rise: draw.Below})
			y -= draw.Leading(draw.Body)
		}
	}
}

// corners lists the corners of an outline and what leads from each to the next.
func (h *hand) corners(sides []side, what string) draw.Table {
	t := draw.Table{Columns: []draw.Column{{Head: what + "corner", Share: 1.2}, {Head: "along", Share: 1.4, Align: draw.End}, {Head: "across", Share: 1.4, Align: draw.End}, {Head: "then to the next", Share: 8}}}
	for i, s := range sides {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), h.rule.text(s.from.X), h.rule.text(s.from.Y), h.way(s)})
	}
	return t
}

// way says how one side is cut.
func (h *hand) way(s side) string {
	if s.every == 0 {
		return "straight, " + h.rule.text(s.length())
	}
	offs := make([]string, len(s.off))
	for i, v := range s.off {
		offs[i] = h.rule.text(v)
	}
	often := ""
	if s.every != h.rule.step() {
		often = "every " + h.rule.text(s.every) + ": "
	}
	return fmt.Sprintf("curve, straight edge %s; %s%s", h.rule.text(s.length()), often, strings.Join(offs, " · "))
}
