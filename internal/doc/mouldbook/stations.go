package mouldbook

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/mould/carve"
)

// stations is the drawing of the shape's lines: from the side, from above and across,
// with a table of its widths.
func (w *writer) stations() {
	across, long := w.cuts()
	if len(across) == 0 || long == nil {
		return
	}
	w.Heading("Station drawing")
	w.framed("From the side with the boards, from above at its widest with the dowels, and the sections at the stations over one another.", 128, func(box r2.Box) []draw.Item {
		top, low := box, box
		low.Max.Y = box.Min.Y + 0.36*box.Size().Y
		top.Min.Y = low.Max.Y + 5
		return append(w.lines(top, across, long), w.bodies(low, across)...)
	})
	w.offsets(across)
}

// cuts are the templates across, and the one along.
func (w *writer) cuts() (across []carve.Template, long *carve.Template) {
	for i, t := range w.build.Templates {
		if t.Name == "long" {
			long = &w.build.Templates[i]
		} else {
			across = append(across, t)
		}
	}
	return across, long
}

func area(of []geom.Region) (sum float64) {
	for _, r := range of {
		sum += r.Area()
	}
	return sum
}

func boundsOf(of []geom.Region) r2.Box {
	var all geom.Polygon
	for _, r := range of {
		all = append(all, r.Outer...)
	}
	return all.Bounds()
}

// filled draws regions; holes are white.
func filled(of []geom.Region, fit draw.Affine, fill draw.Colour, pen draw.Pen) (out []draw.Item) {
	for _, r := range of {
		out = append(out, draw.Path{Points: fit.All(r.Outer), Closed: true, Fill: fill, Pen: pen})
		for _, h := range r.Holes {
			out = append(out, draw.Path{Points: fit.All(h), Closed: true, Fill: draw.Ground, Pen: pen})
		}
	}
	return out
}

func small(at r2.Vec, s string, align draw.Align, rise draw.Rise) draw.Text {
	return draw.Text{At: at, String: s, Size: draw.Small, Align: align, Rise: rise, Colour: draw.Ink}
}

// lines draws the side over the plan, to one scale, with the stations through both.
func (w *writer) lines(box r2.Box, across []carve.Template, long *carve.Template) (out []draw.Item) {
	side := boundsOf(long.Section)
	plan := w.footprint()
	planBox := boundsOf(plan)
	gap := 0.12 * side.Size().X
	const margin = 18 // mm, for the heights
	room := r2.Box{Min: r2.Vec{X: box.Min.X + margin, Y: box.Min.Y + 5}, Max: r2.Vec{X: box.Max.X - margin, Y: box.Max.Y - 5}}
	shift := planBox.Max.Y + gap - side.Min.Y // of the side over the plan, m
	whole := r2.Box{Min: r2.Vec{X: min(side.Min.X, planBox.Min.X), Y: planBox.Min.Y}, Max: r2.Vec{X: max(side.Max.X, planBox.Max.X), Y: side.Max.Y + shift}}
	fit := draw.Fit(whole, room)
	raised := draw.Move(r2.Vec{Y: shift}).Then(fit)
	out = append(out, filled(long.Section, raised, draw.White, draw.InkPen(draw.Medium))...)
	out = append(out, w.heights(whole, side.Max.Y, raised)...)
	out = append(out, filled(plan, fit, draw.White, draw.InkPen(draw.Medium))...)
	out = append(out, w.planMarks(fit)...)
	thin := draw.Pen{Width: draw.Fine, Colour: draw.Soft}
	free := math.Inf(-1) // where the next word may begin
	for _, t := range across {
		low, high := fit.Do(r2.Vec{X: float64(t.At), Y: whole.Min.Y}), fit.Do(r2.Vec{X: float64(t.At), Y: whole.Max.Y})
		out = append(out, draw.Line(thin, r2.Vec{X: low.X, Y: low.Y - 1}, r2.Vec{X: high.X, Y: high.Y + 1}))
		at := small(r2.Vec{X: low.X, Y: low.Y - 1.6}, number(float64(t.At)), draw.Centre, draw.Below)
		if half := draw.Width(at.String, draw.Regular, draw.Small) / 2; at.At.X-half > free {
			out = append(out, at, small(r2.Vec{X: high.X, Y: high.Y + 1.6}, t.Name, draw.Centre, draw.OnBase))
			free = at.At.X + half + 1
		}
	}
	name := across[0].Axis + ", mm"
	return append(out, small(r2.Vec{X: box.Max.X, Y: fit.Do(whole.Min).Y - 1.6}, name, draw.End, draw.Below))
}

// footprint is the shape from above: its widest slice, or a cavity's uppermost board,
// with the station axis to the right.
func (w *writer) footprint() []geom.Region {
	var out []geom.Region
	switch s := w.build.Stack; {
	case s != nil && w.cavity():
		for _, p := range s.Boards[len(s.Boards)-1].Pieces {
			out = append(out, p.Outline)
		}
	case s != nil:
		most := 0.0
		for _, b := range s.Boards {
			for _, l := range b.Levels {
				if size := area(l.Cut); b.Number > 0 && size > most*1.001 {
					out, most = l.Cut, size
				}
			}
		}
	default:
		for _, ring := range w.build.Plan {
			out = append(out, ring.Region())
		}
	}
	if !w.build.Along.Turned {
		return out
	}
	turned := make([]geom.Region, len(out))
	for i, r := range out {
		turned[i].Outer = r.Outer.Turn(-math.Pi / 2)
		for _, h := range r.Holes {
			turned[i].Holes = append(turned[i].Holes, h.Turn(-math.Pi/2))
		}
	}
	return turned
}

// planMarks are the dowels and the edge of the flange.
func (w *writer) planMarks(fit draw.Affine) (out []draw.Item) {
	turn := draw.Scale(1)
	if w.build.Along.Turned {
		turn = draw.Turn(-math.Pi / 2)
	}
	if s := w.build.Stack; s != nil {
		for _, b := range s.Boards {
			for _, h := range b.Holes {
				out = append(out, draw.Circle{At: fit.Do(turn.Do(r2.Vec{X: h.At[0], Y: h.At[1]})), R: max(0.5, fit.Scale()*float64(h.Diameter)/2), Pen: draw.InkPen(draw.Fine)})
			}
		}
	}
	return out
}

// heights draws the boards' faces across the side view, up to its top, with their
// heights.
func (w *writer) heights(whole r2.Box, top float64, raised draw.Affine) (out []draw.Item) {
	s := w.build.Stack
	if s == nil {
		return nil
	}
	thin := draw.Pen{Width: draw.Fine, Colour: draw.Soft, Dash: []float64{1.2, 0.8}}
	lowest := math.Inf(-1) // of the words so far, so that none stand on others
	for _, b := range s.Boards {
		for _, z := range []float64{float64(b.Foot), float64(b.Head)} {
			h := z
			if w.cavity() {
				h = z - float64(s.Total)
			}
			if h > top+0.5e-3 { // of a last board that is planed off
				continue
			}
			left, right := raised.Do(r2.Vec{X: whole.Min.X, Y: h}), raised.Do(r2.Vec{X: whole.Max.X, Y: h})
			out = append(out, draw.Line(thin, left, right))
			if left.Y-lowest > 3.2 {
				out = append(out, small(r2.Vec{X: left.X - 1, Y: left.Y}, number(z), draw.End, draw.MidHeight))
				lowest = left.Y
			}
		}
		mid := (float64(b.Foot) + min(float64(b.Head), max(top, float64(b.Foot)))) / 2
		if w.cavity() {
			mid -= float64(s.Total)
		}
		name := fmt.Sprint(b.Number)
		if b.Number == 0 {
			name = "base"
		}
		if b.Thickness*raised.Scale() > 3 {
			at := raised.Do(r2.Vec{X: whole.Max.X, Y: mid})
			out = append(out, small(r2.Vec{X: at.X + 1, Y: at.Y}, name, draw.Start, draw.MidHeight))
		}
	}
	return out
}

// bodies draws the sections over one another, and the first and the second half of
// them apart, as they are seen from one end.
func (w *writer) bodies(box r2.Box, across []carve.Template) (out []draw.Item) {
	half := (len(across) + 1) / 2
	groups := [][]carve.Template{across[:half], across[half:]}
	if len(across) < 3 {
		groups = groups[:1]
		groups[0] = across
	}
	var all []geom.Region
	for _, t := range across {
		all = append(all, t.Section...)
	}
	whole := boundsOf(all)
	for i, part := range draw.Split(box, len(groups), 8) {
		part.Max.Y -= 5
		part.Min.Y += 5
		fit := draw.Fit(whole, part)
		base := draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Soft}, fit.Do(r2.Vec{X: whole.Min.X, Y: 0}), fit.Do(r2.Vec{X: whole.Max.X, Y: 0}))
		middle := draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Soft}, fit.Do(r2.Vec{X: 0, Y: whole.Min.Y}), fit.Do(r2.Vec{X: 0, Y: whole.Max.Y}))
		out = append(out, base, middle)
		var taken []float64
		for _, t := range groups[i] {
			out = append(out, filled(t.Section, fit, 0, draw.InkPen(draw.Medium))...)
			word := label(t, fit, taken)
			taken = append(taken, word.At.Y)
			out = append(out, word)
		}
		names := fmt.Sprintf("stations %s to %s, from %s", groups[i][0].Name, groups[i][len(groups[i])-1].Name, groups[i][0].From)
		out = append(out, small(r2.Vec{X: part.Center().X, Y: part.Min.Y - 1.5}, names, draw.Centre, draw.Below))
	}
	return out
}

// label names a section on its border, near its top and lower where other words
// stand.
func label(t carve.Template, fit draw.Affine, taken []float64) draw.Text {
	const apart = 3.2 // mm, between words
	box := boundsOf(t.Section)
	h := box.Min.Y + 0.85*box.Size().Y
	near := func(y float64) bool { return math.Abs(y-fit.Do(r2.Vec{Y: h}).Y) < apart }
	for slices.ContainsFunc(taken, near) && h > box.Min.Y {
		h -= apart / fit.Scale()
	}
	_, right, ok := carve.Widths(t.Section, h)
	if !ok {
		right = box.Max.X
	}
	at := fit.Do(r2.Vec{X: right, Y: h})
	return draw.Text{At: r2.Vec{X: at.X + 0.7, Y: at.Y}, String: t.Name, Size: draw.Small, Face: draw.Bold, Rise: draw.MidHeight, Colour: draw.Ink}
}
