// Package onepage draws the plan on one page: the numbers looked for first,
// pictures of the mould, the cloth's shear, the strength, the layout on the
// roll, the cure and the heater's passes as far as they were worked out, and
// what to mind; behind it whether the part holds, how it hardens and what the heater does, where they
// were worked out. It is drawn from a finished plan and works nothing out.
package onepage

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/curedraw"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dutydraw"
	"laywright/internal/doc/strengthdraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// Measures of the page's strips in millimetres.
const (
	captionHigh  = 6
	gap          = 5
	stripGap     = 3  // what the flow leaves under a strip
	lowest       = 42 // a picture lower than this can't be read
	highest      = 74
	findingsRoom = 48 // most that the pictures leave to the findings
	numbersRoom  = 70 // most that the table of numbers takes
)

// Page draws the summary: always one page, and those of the strength, of the search for a stack, of the cure and of the heater behind it.
func Page(p job.Plan, sheet draw.Sheet) []draw.Page {
	f := draw.NewFlow(sheet, "Plan, not an approval. Numbers come from plan.json; full-size patterns lie in patterns/.")
	f.Title(cropped(name(p), draw.Bold, draw.Title, f), cropped(strings.Join(compact(p.Job.Aircraft, "part "+p.Job.Part, "revision "+p.Job.Revision), " · "), draw.Regular, draw.Shop, f))
	numbers(f, p)
	says := sayings(p)
	pictures(f, allPictures(p), min(height(f, says), findingsRoom))
	findings(f, says)
	strengthdraw.Write(f, p)
	stacks(f, p)
	curedraw.Write(f, p)
	dutydraw.Write(f, p)
	return f.Pages()
}

// cropped keeps a heading on one line, so that no name pushes the page over.
func cropped(s string, face draw.Face, size float64, f *draw.Flow) string {
	return draw.Cropped(s, face, size, f.Width())
}

// pictures lays the pictures out in two columns as high as the page lets them
// be; an odd last one has the whole width.
func pictures(f *draw.Flow, list []picture, below float64) {
	const most = lowest + captionHigh + stripGap
	list = list[:min(len(list), 2*max(0, int(f.Left()/most)))]
	strips := float64((len(list) + 1) / 2)
	if strips == 0 {
		return
	}
	high := min(max((f.Left()-below)/strips-captionHigh-stripGap, lowest), highest)
	for i := 0; i < len(list); i += 2 {
		row := list[i:min(i+2, len(list))]
		strip := f.Room(high + captionHigh)
		for k, box := range draw.Split(strip, len(row), gap) {
			frame(f, row[k], box)
		}
	}
}

func name(p job.Plan) string {
	if p.Job.Name == "" {
		return "Plan"
	}
	return p.Job.Name + ": plan"
}

// compact drops what is empty or only a head without its number.
func compact(words ...string) (out []string) {
	for _, w := range words {
		if w != "" && !strings.HasSuffix(w, " ") {
			out = append(out, w)
		}
	}
	return out
}

func numbers(f *draw.Flow, p job.Plan) {
	var rows [][]string
	for _, h := range p.Headlines() {
		rows = append(rows, []string{h.Name, si.Typeset(h.Text)})
	}
	if p.Mass != nil && p.MassLow != nil && p.MassHigh != nil {
		rows = append(rows, []string{"mass band", fmt.Sprintf("%.0f to %.0f g", 1000*float64(*p.MassLow), 1000*float64(*p.MassHigh))})
	}
	half := (len(rows) + 1) / 2
	if most := int(numbersRoom / (2 * draw.Leading(draw.Small))); half > most {
		rows, half = append(rows[:2*most-1], []string{"and more", "see plan.json"}), most
	}
	both := make([][]string, half)
	for i := range half {
		both[i] = append(both[i], rows[i]...)
		if half+i < len(rows) {
			both[i] = append(both[i], rows[half+i]...)
		}
	}
	f.Table(draw.Table{Columns: []draw.Column{{Share: 1.3, Face: draw.Bold}, {Share: 4.4}, {Share: 1.3, Face: draw.Bold}, {Share: 3}}, Rows: both, Size: draw.Small})
}

func frame(f *draw.Flow, pic picture, box r2.Box) {
	inside := r2.NewBox(box.Min.X, box.Min.Y, box.Max.X, box.Max.Y-captionHigh)
	f.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(pic.caption, draw.Bold, draw.Body, box.Size().X), Size: draw.Body, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
	f.Draw(draw.Rect(inside, draw.Pen{}, draw.Ground))
	f.Draw(pic.draw(draw.Inset(inside, 2))...)
}

// saying is a finding, or several of one kind, as a paragraph.
type saying struct{ mark, text string }

// sayings lists stops, then cautions. Of findings of one kind only the worst is
// told, with how many there are.
func sayings(p job.Plan) (out []saying) {
	var codes []string
	alike := map[string][]fault.Finding{} // for looking up only
	for _, x := range slices.Concat(of(p, fault.Stop), of(p, fault.Caution)) {
		key := string(x.Severity) + " " + x.Stage + " " + x.Code
		if len(alike[key]) == 0 {
			codes = append(codes, key)
		}
		alike[key] = append(alike[key], x)
	}
	for _, c := range codes {
		x := worst(alike[c])
		text := x.What + number(x, p.Spec.Show)
		if n := len(alike[c]); n > 1 {
			text += fmt.Sprintf(" That is the worst of %d alike.", n)
		}
		s := saying{"!", si.Typeset(text + " Do: " + strings.TrimSuffix(x.Do, ".") + ".")}
		if x.Severity == fault.Stop {
			s.mark = "!!"
		}
		out = append(out, s)
	}
	return out
}

// worst is the finding farthest beyond its limit; the first where none has numbers.
func worst(alike []fault.Finding) fault.Finding {
	beyond := func(x fault.Finding) float64 {
		if x.Value == nil || x.Limit == nil {
			return 0
		}
		return math.Abs(*x.Value - *x.Limit)
	}
	best := alike[0]
	for _, x := range alike[1:] {
		if beyond(x) > beyond(best) {
			best = x
		}
	}
	return best
}

func of(p job.Plan, s fault.Severity) (out []fault.Finding) {
	for _, x := range p.Findings {
		if x.Severity == s {
			out = append(out, x)
		}
	}
	return out
}

// lines is how many lines a paragraph behind a mark takes.
func lines(f *draw.Flow, s saying) int {
	return len(draw.Wrap(s.text, draw.Regular, draw.Body, f.Width()-7))
}

// height is the room that all findings would take, in mm.
func height(f *draw.Flow, says []saying) (sum float64) {
	for _, s := range says {
		sum += float64(lines(f, s))*draw.Leading(draw.Body) + 1
	}
	return sum + 1
}

// findings fills what is left of the page.
func findings(f *draw.Flow, says []saying) {
	for i, s := range says {
		need := float64(lines(f, s)) * draw.Leading(draw.Body)
		if i+1 < len(says) {
			need += 1 + draw.Leading(draw.Body) // the line that says how many more
		}
		if f.Left() < need {
			if f.Left() >= draw.Leading(draw.Body) {
				f.Item("", fmt.Sprintf("and %d more: see the traveller", len(says)-i))
			}
			return
		}
		f.Item(s.mark, s.text)
	}
}

func number(f fault.Finding, s si.System) string {
	if f.Value == nil || f.Limit == nil {
		return ""
	}
	value, _ := si.Localise(*f.Value, f.Unit, s)
	limit, unit := si.Localise(*f.Limit, f.Unit, s)
	gap := " "
	if unit == "deg" {
		unit, gap = "°", ""
	}
	return strings.TrimRight(fmt.Sprintf(" %s against %s%s%s", draw.Short(value), draw.Short(limit), gap, unit), " ") + "."
}
