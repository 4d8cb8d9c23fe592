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

// atFoot is how high the widths at the foot are taken, m: just off the base, where a
// fillet has no end.
const atFoot = 0.5e-3

// mostHeights is how many columns of widths a page holds.
const mostHeights = 5

// offsets is the table of the widths of each station at several heights.
func (w *writer) offsets(across []carve.Template) {
	hs := w.tableHeights(across)
	columns := []draw.Column{{Head: "Station", Share: 1, Face: draw.Bold}, {Head: across[0].Axis, Share: 1}, {Head: "Height", Share: 1}}
	word := "height"
	if w.cavity() {
		columns[2].Head, word = "Depth", "depth"
	}
	for _, h := range hs {
		head := "at " + number(math.Abs(h))
		if math.Abs(h) <= atFoot {
			if head = "at the foot"; w.cavity() {
				head = "at the mouth"
			}
		}
		columns = append(columns, draw.Column{Head: head, Share: 2})
	}
	var rows [][]string
	for _, t := range across {
		row := []string{t.Name, number(float64(t.At)), number(float64(t.Height))}
		for _, h := range hs {
			left, right, ok := carve.Widths(t.Section, h)
			cell := "–"
			if ok {
				cell = number(left) + " to " + number(right)
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	w.Lead(fmt.Sprintf("Widths in mm, from one side of the line %s = 0 to the other, at each %s from the base plane.", across[0].Across, word))
	w.Table(draw.Table{Columns: columns, Rows: rows, Size: draw.Small})
}

// tableHeights are the base, the boards' upper faces and, where these are few, round
// measures between.
func (w *writer) tableHeights(across []carve.Template) (out []float64) {
	top, sign := 0.0, 1.0
	for _, t := range across {
		top = max(top, float64(t.Height))
	}
	if w.cavity() {
		sign = -1
	}
	for k := range mostHeights {
		h := top * float64(k) / mostHeights
		out = append(out, sign*max(h, atFoot))
	}
	if s := w.build.Stack; s != nil && !w.cavity() && w.build.Boards >= 3 {
		out = []float64{atFoot}
		for _, b := range s.Boards {
			if b.Number > 0 && float64(b.Head) < top {
				out = append(out, float64(b.Head))
			}
		}
		for len(out) > mostHeights { // every other one
			out = slices.DeleteFunc(slices.Clone(out), func(h float64) bool { return slices.Index(out, h)%2 == 1 })
		}
	}
	return out
}

// templates is the list of what the shape is checked with.
func (w *writer) templates() {
	if len(w.build.Templates) == 0 {
		return
	}
	w.Heading("Templates")
	w.Lead("Sawn from thin plywood, hardboard or stiff card. The side that is drawn stands on the station.")
	var rows [][]string
	for _, t := range w.build.Templates {
		note := ""
		if t.Halves {
			note = "in two halves, pushed on from both sides"
		}
		size := boundsOf(t.Outline).Size()
		rows = append(rows, []string{"template-" + t.Name, t.Axis + " = " + number(float64(t.At)), "from " + t.From, number(size.X) + " × " + number(size.Y), note, draw.Tick})
	}
	w.Table(draw.Table{Columns: []draw.Column{{Head: "Drawing", Share: 2, Face: draw.Bold}, {Head: "At, mm", Share: 1.4}, {Head: "Seen", Share: 1.2}, {Head: "Size, mm", Share: 1.8}, {Head: "", Share: 3}, {Head: "Sawn", Share: 0.9, Align: draw.Centre}}, Rows: rows})
}

// gauges shows the radius gauges.
func (w *writer) gauges() {
	g := w.build.Gauges
	if len(g) == 0 {
		return
	}
	w.Heading("Gauges")
	w.Lead("One for each radius: the round end goes into the hollow, the hollow end over the edge.")
	const each, high = 4, 56
	for i := 0; i < len(g); i += each {
		for k, box := range draw.Split(w.Room(high), each, 5) {
			if i+k >= len(g) {
				break
			}
			one := g[i+k]
			room := box
			room.Min.Y += 8
			fit := draw.Fit(one.Outline.Bounds(), draw.Inset(room, 2))
			w.Draw(draw.Path{Points: fit.All(one.Outline), Closed: true, Fill: draw.Ground, Pen: draw.InkPen(draw.Medium)},
				draw.Text{At: r2.Vec{X: box.Center().X, Y: box.Min.Y + 6}, String: "gauge-" + one.Name, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.Below, Colour: draw.Ink},
				small(r2.Vec{X: box.Center().X, Y: box.Min.Y + 2.2}, "radius "+w.length(one.Radius), draw.Centre, draw.Below))
		}
	}
}
