package draw

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
)

// Sheet is a size of paper with its margin, in millimetres.
type Sheet struct {
	Name   string
	W, H   float64
	Margin float64
}

// A4 is 210 x 297 mm. Source: [iso216].
func A4() Sheet { return Sheet{Name: "A4", W: 210, H: 297, Margin: 16} }

// Letter is 8 1/2 x 11 in. Source: [ansi-y14.1].
func Letter() Sheet { return Sheet{Name: "US Letter", W: 215.9, H: 279.4, Margin: 16} }

// A3 is 297 x 420 mm. Source: [iso216].
func A3() Sheet { return Sheet{Name: "A3", W: 297, H: 420, Margin: 16} }

// Tabloid is 11 x 17 in. Source: [ansi-y14.1].
func Tabloid() Sheet { return Sheet{Name: "US Tabloid", W: 279.4, H: 431.8, Margin: 16} }

// Turned lays the sheet on its side.
func (s Sheet) Turned() Sheet {
	s.W, s.H = s.H, s.W
	return s
}

// Flow lays headings, paragraphs, tables and figures one under the other and
// begins a new page where the next would not fit.
type Flow struct {
	sheet  Sheet
	footer string
	pages  []*Page
	y      float64   // where the next thing's top comes
	wait   []waiting // headings and leads, until what they stand over is known
}

// waiting is something that is drawn together with what follows it.
type waiting struct {
	high float64 // mm
	draw func()
}

// footerRoom is kept free above the lower margin for the page number, in mm.
const footerRoom = 8

// NewFlow begins a document; the footer stands on every page beside its number.
func NewFlow(sheet Sheet, footer string) *Flow {
	f := &Flow{sheet: sheet, footer: footer}
	f.Break()
	return f
}

// Break begins a new page.
func (f *Flow) Break() {
	f.pages = append(f.pages, NewPage(fmt.Sprintf("page %d", len(f.pages)+1), f.sheet.W, f.sheet.H))
	f.y = f.sheet.H - f.sheet.Margin
}

// Width is the room between the margins in mm.
func (f *Flow) Width() float64 { return f.sheet.W - 2*f.sheet.Margin }

// Left is the room that remains on the page, in mm, under the headings that
// wait.
func (f *Flow) Left() float64 {
	left := f.y - f.sheet.Margin - footerRoom
	for _, w := range f.wait {
		left -= w.high
	}
	return left
}

// hair is what rounding may make of a sum of line heights, in mm: lines that
// were measured to fit must not be broken off for it.
const hair = 1e-6

// Keep begins a new page unless h millimetres remain, and draws the headings
// that wait, so that none stands alone at the foot of a page.
func (f *Flow) Keep(h float64) {
	if f.Left() < h-hair && f.y < f.sheet.H-f.sheet.Margin {
		f.Break()
	}
	ready := f.wait
	f.wait = nil
	for _, w := range ready {
		w.draw()
	}
}

// Draw puts items on the page that is open.
func (f *Flow) Draw(items ...Item) { f.pages[len(f.pages)-1].Add(Paper, items...) }

// Space leaves h millimetres free, but not at the head of a page.
func (f *Flow) Space(h float64) {
	if f.y < f.sheet.H-f.sheet.Margin {
		f.y -= h
	}
}

// figureGap parts a figure from what follows, in mm.
const figureGap = 3

// Room takes a strip h millimetres high and returns it, for a figure.
func (f *Flow) Room(h float64) r2.Box {
	f.Keep(h)
	box := r2.NewBox(f.sheet.Margin, f.y-h, f.sheet.W-f.sheet.Margin, f.y)
	f.y -= h
	f.Space(figureGap)
	return box
}

// Split divides a box into n equal columns with a gap between.
func Split(box r2.Box, n int, gap float64) []r2.Box {
	w := (box.Size().X - gap*float64(n-1)) / float64(n)
	out := make([]r2.Box, n)
	for i := range out {
		x := box.Min.X + float64(i)*(w+gap)
		out[i] = r2.NewBox(x, box.Min.Y, x+w, box.Max.Y)
	}
	return out
}

// Inset shrinks a box by d millimetres on every side.
func Inset(box r2.Box, d float64) r2.Box {
	v := r2.Vec{X: d, Y: d}
	return r2.Box{Min: r2.Add(box.Min, v), Max: r2.Sub(box.Max, v)}
}

// lines draws wrapped words from the left margin plus an indent.
func (f *Flow) lines(s string, face Face, size, indent float64, ink Colour) {
	for _, line := range Wrap(s, face, size, f.Width()-indent) {
		f.Keep(Leading(size))
		f.Draw(Text{At: r2.Vec{X: f.sheet.Margin + indent, Y: f.y}, String: line, Size: size, Face: face, Rise: Below, Colour: ink})
		f.y -= Leading(size)
	}
}

// Title writes the document's name and a line under it.
func (f *Flow) Title(title, under string) {
	f.lines(title, Bold, Title, 0, Ink)
	f.Space(0.5)
	if under != "" {
		f.lines(under, Regular, Shop, 0, Soft)
	}
	f.Space(1)
	f.Draw(Line(InkPen(Strong), r2.Vec{X: f.sheet.Margin, Y: f.y}, r2.Vec{X: f.sheet.W - f.sheet.Margin, Y: f.y}))
	f.y -= 4
}

// Space above and under a heading and under a paragraph, in mm.
const (
	overHead  = 3
	underHead = 1.5
	underPara = 2
)

// Heading writes a heading over what comes next.
func (f *Flow) Heading(s string) {
	high := overHead + float64(len(Wrap(s, Bold, Head, f.Width())))*Leading(Head) + underHead
	f.wait = append(f.wait, waiting{high, func() {
		f.Space(overHead)
		f.lines(s, Bold, Head, 0, Ink)
		f.Space(underHead)
	}})
}

// Lead writes a paragraph that stays with what comes next: the words over a table.
func (f *Flow) Lead(s string) {
	f.wait = append(f.wait, waiting{f.paraHigh(s, 0) + underPara, func() {
		f.lines(s, Regular, Body, 0, Ink)
		f.Space(underPara)
	}})
}

// paraHigh is the height of a paragraph's lines in mm.
func (f *Flow) paraHigh(s string, indent float64) float64 {
	return float64(len(Wrap(s, Regular, Body, f.Width()-indent))) * Leading(Body)
}

// longestWhole is the highest paragraph or table that is moved to the next
// page whole and not broken, in mm.
const longestWhole = 62

// Para writes a paragraph.
func (f *Flow) Para(s string) {
	f.Keep(min(f.paraHigh(s, 0), longestWhole))
	f.lines(s, Regular, Body, 0, Ink)
	f.Space(underPara)
}

// itemIndent is the room of the mark before a paragraph, in mm.
const itemIndent = 7

// Item writes a paragraph behind a mark: a number, a dash, a box to tick.
func (f *Flow) Item(mark, s string) {
	f.Keep(min(f.paraHigh(s, itemIndent), longestWhole))
	if mark == Tick {
		top := f.y - CapHeight(Body)/2
		f.Draw(Rect(r2.NewBox(f.sheet.Margin, top-tickSide/2, f.sheet.Margin+tickSide, top+tickSide/2), InkPen(Medium), 0))
	} else {
		f.Draw(Text{At: r2.Vec{X: f.sheet.Margin, Y: f.y}, String: mark, Size: Body, Face: Bold, Rise: Below, Colour: Ink})
	}
	f.lines(s, Regular, Body, itemIndent, Ink)
	f.Space(1)
}

// Callout writes a boxed remark with its head, and under it what it holds for,
// one point after the other. A grave one wears the accent.
func (f *Flow) Callout(grave bool, head, s string, points ...string) {
	bar, ground, ink := Soft, Wash, Ink
	if grave {
		bar, ground, ink = Accent, Blush, Accent
	}
	const pad, dash = 2.5, 4.0
	wide := f.Width() - 2*pad - 2
	var lines []Text // at: x from the text's edge, y unused
	add := func(s string, face Face, indent float64, ink Colour) {
		for _, line := range Wrap(s, face, Body, wide-indent) {
			lines = append(lines, Text{At: r2.Vec{X: indent}, String: line, Size: Body, Face: face, Rise: Below, Colour: ink})
		}
	}
	add(head, Bold, 0, ink)
	if s != "" {
		add(s, Regular, 0, Ink)
	}
	first := map[int]bool{} // lines that a dash stands before
	for _, p := range points {
		first[len(lines)] = true
		add(p, Regular, dash, Ink)
	}
	high := float64(len(lines))*Leading(Body) + 2*pad - 1
	if high > f.sheet.H-2*f.sheet.Margin-footerRoom { // no page would hold the box
		f.Heading(head)
		f.Para(s)
		for _, p := range points {
			f.Item("–", p)
		}
		return
	}
	box := f.Room(high)
	f.Draw(Rect(box, Pen{}, ground), Rect(r2.NewBox(box.Min.X, box.Min.Y, box.Min.X+1.6, box.Max.Y), Pen{}, bar))
	at := r2.Vec{X: box.Min.X + pad + 2, Y: box.Max.Y - pad}
	for i, t := range lines {
		if first[i] {
			f.Draw(Text{At: at, String: "–", Size: Body, Rise: Below, Colour: Ink})
		}
		t.At = r2.Add(t.At, at)
		f.Draw(t)
		at.Y -= Leading(Body)
	}
}

// Table writes a table; a row is never broken and the head stands again on
// every page that the table reaches.
func (f *Flow) Table(t Table) {
	widths := t.widths(f.Width())
	rows := t.laid(widths)
	if len(rows) == 0 {
		return
	}
	f.Keep(keptTogether(rows))
	for i, r := range rows {
		need := r.height
		if i == len(rows)-2 && i > 0 { // the last row is not left alone
			need += rows[i+1].height
		}
		if i > 0 && f.Left() < need-hair {
			f.Break()
			if rows[0].head {
				f.tableRow(t, rows[0], widths)
			}
		}
		f.tableRow(t, r, widths)
	}
	f.Space(3)
}

// keptTogether is the height of the rows that must not be parted: all of a
// short table, or the head with the first two.
func keptTogether(rows []row) float64 {
	all, first := 0.0, 0.0
	for i, r := range rows {
		all += r.height
		if i < 3 {
			first += r.height
		}
	}
	if all <= longestWhole {
		return all
	}
	return first
}

func (f *Flow) tableRow(t Table, r row, widths []float64) {
	f.Draw(t.drawRow(r, widths, r2.Vec{X: f.sheet.Margin, Y: f.y})...)
	f.y -= r.height
}

// Pages ends the document and returns its pages with their numbers.
func (f *Flow) Pages() []Page {
	if len(f.wait) > 0 { // else the room under the last thing may be less than none
		f.Keep(0)
	}
	out := make([]Page, len(f.pages))
	m, foot := f.sheet.Margin, f.sheet.Margin
	for i, p := range f.pages {
		number := fmt.Sprintf("Page %d of %d", i+1, len(f.pages))
		room := f.Width() - Width(number, Regular, Small) - 6
		p.Add(Paper,
			Line(Pen{Width: Fine, Colour: Faint}, r2.Vec{X: m, Y: foot + 3}, r2.Vec{X: f.sheet.W - m, Y: foot + 3}),
			Text{At: r2.Vec{X: m, Y: foot}, String: Cropped(f.footer, Regular, Small, room), Size: Small, Rise: OnBase, Colour: Soft},
			Text{At: r2.Vec{X: f.sheet.W - m, Y: foot}, String: number, Size: Small, Align: End, Colour: Soft})
		out[i] = *p
	}
	return out
}
