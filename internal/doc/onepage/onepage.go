// Package onepage draws the plan on one page: the numbers looked for first, the
// mould, the cloth's shear, the layout on the roll, the cure, and what to mind.
// It is drawn from a finished plan and works nothing out.
package onepage

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// Heights of the page's strips in millimetres.
const (
	pictureHigh = 62
	captionHigh = 6
	gap         = 5
)

// Page draws the summary.
func Page(p job.Plan, sheet draw.Sheet) []draw.Page {
	f := draw.NewFlow(sheet, "Plan, not an approval. Numbers come from plan.json; full-size patterns lie in patterns/.")
	f.Title(name(p), strings.Join(compact(p.Job.Aircraft, "part "+p.Job.Part, "revision "+p.Job.Revision), " · "))
	numbers(f, p)
	pictures := allPictures(p)
	for i := 0; i < len(pictures); i += 2 {
		row := pictures[i:min(i+2, len(pictures))]
		strip := f.Room(pictureHigh + captionHigh)
		for k, box := range draw.Split(strip, 2, gap) {
			if k < len(row) {
				frame(f, row[k], box)
			}
		}
	}
	findings(f, p)
	return f.Pages()
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
		rows = append(rows, []string{h.Name, pretty(h.Text)})
	}
	if p.Mass != nil && p.MassLow != nil && p.MassHigh != nil {
		rows = append(rows, []string{"mass band", fmt.Sprintf("%.0f to %.0f g", 1000*float64(*p.MassLow), 1000*float64(*p.MassHigh))})
	}
	half := (len(rows) + 1) / 2
	both := make([][]string, half)
	for i := range half {
		both[i] = append(both[i], rows[i]...)
		if half+i < len(rows) {
			both[i] = append(both[i], rows[half+i]...)
		}
	}
	f.Table(draw.Table{Columns: []draw.Column{{Share: 1.3, Face: draw.Bold}, {Share: 4}, {Share: 1.3, Face: draw.Bold}, {Share: 4}}, Rows: both, Size: draw.Small})
}

// pretty writes units as print does.
func pretty(s string) string {
	return strings.NewReplacer("delta_degF", "°F", "degC", "°C", "degF", "°F", "^2", "²", "^3", "³", "*", "·").Replace(s)
}

func frame(f *draw.Flow, pic picture, box r2.Box) {
	inside := r2.NewBox(box.Min.X, box.Min.Y, box.Max.X, box.Max.Y-captionHigh)
	f.Draw(draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(pic.caption, draw.Bold, draw.Body, box.Size().X), Size: draw.Body, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink})
	f.Draw(draw.Rect(inside, draw.Pen{}, draw.Ground))
	f.Draw(pic.draw(draw.Inset(inside, 2))...)
}

// findings fills what is left of the page with stops and cautions.
func findings(f *draw.Flow, p job.Plan) {
	var grave []fault.Finding
	for _, x := range p.Findings {
		if x.Severity != fault.Note {
			grave = append(grave, x)
		}
	}
	for i, x := range grave {
		text := pretty(x.What + number(x, p.Spec.Show) + " Do: " + x.Do + ".")
		lines := len(draw.Wrap(text, draw.Regular, draw.Body, f.Width()-7))
		if f.Left() < float64(lines+3)*draw.Leading(draw.Body) { // room for this and for one line more
			f.Item("", fmt.Sprintf("and %d more: see the traveller", len(grave)-i))
			return
		}
		mark := "!"
		if x.Severity == fault.Stop {
			mark = "!!"
		}
		f.Item(mark, text)
	}
}

func number(f fault.Finding, s si.System) string {
	if f.Value == nil || f.Limit == nil {
		return ""
	}
	value, _ := si.Localise(*f.Value, f.Unit, s)
	limit, unit := si.Localise(*f.Limit, f.Unit, s)
	return strings.TrimRight(fmt.Sprintf(" %s against %s %s", draw.Short(value), draw.Short(limit), unit), " ") + "."
}

// hours picks minutes or hours for a time axis as long as this.
func hours(end float64) (unit string, size float64) {
	switch {
	case end > 3*86400:
		return "d", 86400
	case end > 3*3600:
		return "h", 3600
	}
	return "min", 60
}

// shown is a temperature as a number in the job's unit.
func shown(s si.System, t si.Temperature) float64 {
	if s == si.US {
		return si.In(t, "degF")
	}
	return si.In(t, "degC")
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
