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
	y      float64 // where the next thing's top comes
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

// Left is the room that remains on the page, in mm.
func (f *Flow) Left() float64 { return f.y - f.sheet.Margin - footerRoom }

// Keep begins a new page unless h millimetres remain.
func (f *Flow) Keep(h float64) {
	if f.Left() < h && f.y < f.sheet.H-f.sheet.Margin {
		f.Break()
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

// headingKeep is the room that must remain under a heading, so that none
// stands alone at the foot of a page.
const headingKeep = 28

// Heading writes a heading.
func (f *Flow) Heading(s string) {
	f.Keep(headingKeep)
	f.Space(3)
	f.lines(s, Bold, Head, 0, Ink)
	f.Space(1.5)
}

// Para writes a paragraph.
func (f *Flow) Para(s string) {
	f.lines(s, Regular, Body, 0, Ink)
	f.Space(2)
}

// Item writes a paragraph behind a mark: a number, a dash.
func (f *Flow) Item(mark, s string) {
	f.Keep(2 * Leading(Body))
	f.Draw(Text{At: r2.Vec{X: f.sheet.Margin, Y: f.y}, String: mark, Size: Body, Face: Bold, Rise: Below, Colour: Ink})
	f.lines(s, Regular, Body, 7, Ink)
	f.Space(1)
}

// Callout writes a boxed remark with its head. A grave one wears the accent.
func (f *Flow) Callout(grave bool, head, s string) {
	bar, ground := Soft, Wash
	if grave {
		bar, ground = Accent, Blush
	}
	const pad = 2.5
	wide := f.Width() - 2*pad - 2
	heads, body := Wrap(head, Bold, Body, wide), Wrap(s, Regular, Body, wide)
	if s == "" {
		body = nil
	}
	high := float64(len(heads)+len(body))*Leading(Body) + 2*pad - 1
	if high > f.sheet.H-2*f.sheet.Margin-footerRoom { // no page would hold the box
		f.Heading(head)
		f.Para(s)
		return
	}
	box := f.Room(high)
	f.Draw(Rect(box, Pen{}, ground), Rect(r2.NewBox(box.Min.X, box.Min.Y, box.Min.X+1.6, box.Max.Y), Pen{}, bar))
	at := r2.Vec{X: box.Min.X + pad + 2, Y: box.Max.Y - pad}
	for i, line := range append(heads, body...) {
		t := Text{At: at, String: line, Size: Body, Rise: Below, Colour: Ink}
		if i < len(heads) {
			t.Face = Bold
			if grave {
				t.Colour = Accent
			}
		}
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
	need := rows[0].height
	if len(rows) > 1 {
		need += rows[1].height
	}
	f.Keep(need)
	for i, r := range rows {
		if i > 0 && f.Left() < r.height {
			f.Break()
			if rows[0].head {
				f.tableRow(t, rows[0], widths)
			}
		}
		f.tableRow(t, r, widths)
	}
	f.Space(3)
}

func (f *Flow) tableRow(t Table, r row, widths []float64) {
	f.Draw(t.drawRow(r, widths, r2.Vec{X: f.sheet.Margin, Y: f.y})...)
	f.y -= r.height
}

// Pages ends the document and returns its pages with their numbers.
func (f *Flow) Pages() []Page {
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
