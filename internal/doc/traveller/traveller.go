// Package traveller lays out the sheet that goes through the shop with the part:
// what to have ready, each step with its numbers and limits, boxes to tick and
// lines to write on, hold points to sign, and each danger at the place where the
// work meets it. It is drawn from a finished plan and works nothing out.
// Quantities are shown in the job's units; masses in grams, as a scale shows them.
package traveller

import (
	"fmt"
	"strings"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// Pages lays the traveller out.
func Pages(p job.Plan, sheet draw.Sheet) []draw.Page {
	t := &writer{Flow: draw.NewFlow(sheet, footer(p)), plan: p, words: wordsOf(p), warned: map[string]bool{},
		album: plydraw.Open(p), page: sheet.H - 2*sheet.Margin - footerRoom}
	t.Title(title(p), subtitle(p))
	t.identity()
	t.findings()
	t.duty()
	t.kit()
	t.mould()
	t.plies()
	t.pots()
	t.films()
	t.over()
	t.bag()
	t.cure()
	t.steps()
	t.inspect()
	t.install()
	t.deviations()
	t.accept()
	t.log()
	t.otherCautions()
	return t.Pages()
}

// footerRoom is what the flow keeps free over the lower margin, and a little, in mm.
const footerRoom = 9

type writer struct {
	*draw.Flow
	page   float64 // height of what a whole page holds, mm
	plan   job.Plan
	album  *plydraw.Album
	words  words
	warned map[string]bool // codes of the cautions that stand on the sheet
}

// made tells whether the job makes a part, and does not only ask a question.
func (t *writer) made() bool {
	return t.plan.Wetout != nil || t.plan.Plies != nil || t.plan.Bag != nil
}

func title(p job.Plan) string {
	if p.Job.Name == "" {
		return "Traveller"
	}
	return p.Job.Name + ": traveller"
}

func subtitle(p job.Plan) string {
	var parts []string
	add := func(head, s string) {
		if s != "" {
			parts = append(parts, head+s)
		}
	}
	add("", p.Job.Aircraft)
	add("part ", p.Job.Part)
	add("revision ", p.Job.Revision)
	if p.Job.Quantity > 1 {
		add("", fmt.Sprintf("%d parts, this is no. ____", p.Job.Quantity))
	}
	return strings.Join(parts, " · ")
}

func footer(p job.Plan) string {
	words := []string{p.Job.Part, p.Job.Name}
	if p.Job.Revision != "" {
		words = append(words, "rev "+p.Job.Revision)
	}
	head := strings.Join(strings.Fields(strings.Join(words, " ")), " ")
	if head != "" {
		head += " · "
	}
	return head + "plan is advice, no approval; strike errors through once, never erase"
}

func (t *writer) identity() {
	if t.plan.Job.Consequence != "" {
		t.Callout(true, "If this part fails: "+t.plan.Job.Consequence, "")
	}
	t.fields("Serial no.", "Begun (date)", "By", "Shop temperature", "Humidity")
	if t.made() {
		t.fields("Mould no.", "Scale checked", "Gauge checked", "Probes checked", "Fire extinguisher at")
	}
}

// fields draws labelled boxes to fill in by hand, side by side.
func (t *writer) fields(labels ...string) { t.form(1, labels...) }

// form draws empty rows under labels.
func (t *writer) form(rows int, labels ...string) {
	columns := make([]draw.Column, len(labels))
	for i, l := range labels {
		columns[i] = draw.Column{Head: l, Share: 1}
	}
	blank := make([][]string, rows)
	for i := range blank {
		blank[i] = make([]string, len(labels))
	}
	t.Table(draw.Table{Columns: columns, Rows: blank, MinRow: 9, Upright: true})
}

// hold is a place where the work waits for a signature.
func (t *writer) hold(what string) {
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Hold: go on when signed", Share: 3.4}, {Head: "Name", Share: 2}, {Head: "Date, time", Share: 1.5}, {Head: "Signature", Share: 2}},
		Rows: [][]string{{what, "", "", ""}}, MinRow: 10, Upright: true})
}

// duty is what the part must do and bear, to look back at when it is fitted.
func (t *writer) duty() {
	d := t.plan.Duty
	if d == nil {
		return
	}
	var rows [][]string
	add := func(what, number string) { rows = append(rows, []string{what, number, ""}) }
	if h := d.Heater; h != nil {
		add("Heat to the air", show(t.words, h.Heat)+fmt.Sprintf(", air going %s through", times(h.Passes)))
		add("Air out", show(t.words, h.AirOut))
		if h.Gate != nil {
			add("Gate in the first duct, open", fmt.Sprintf("%.0f %%", 100*float64(*h.Gate)))
		}
		for _, o := range h.Outlets {
			add("Air at "+o.Name, show(t.words, o.Flow))
		}
		if h.BoxDepth != nil {
			add("Depth inside the box, core and plenums", length(t.words, *h.BoxDepth))
		}
	}
	if l := d.Loads; l != nil {
		if l.Pressure > 0 {
			add("Pressure from inside", show(t.words, l.Pressure))
		}
		if l.Suction > 0 {
			add("Suction", show(t.words, l.Suction))
		}
		if l.Wall != nil {
			add("Hottest wall", show(t.words, *l.Wall))
		}
	}
	if len(rows) == 0 {
		return
	}
	t.Heading("What it must do")
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Duty", Share: 3}, {Head: "Planned", Share: 3}, {Head: "Found in use: number, date", Share: 3}}, Rows: rows, Upright: true})
}

// acceptHigh is the room of the last signatures, in mm: what they stand under
// belongs on the same page.
const acceptHigh = 85

// accept ends the record.
func (t *writer) accept() {
	if !t.made() {
		return
	}
	t.Keep(acceptHigh)
	t.Heading("Signatures")
	t.warn("not-an-approval")
	t.Lead("Signing says that the work was done and looked at; it says nothing about airworthiness.")
	t.Table(draw.Table{MinRow: 10, Upright: true, Columns: []draw.Column{{Head: "", Share: 3.4}, {Head: "Name", Share: 2}, {Head: "Date", Share: 1.5}, {Head: "Signature", Share: 2}},
		Rows: [][]string{{"Made as written here; every change is under deviations"}, {"Part looked at: use, mend, or scrap (ring one)"}, {"Fitted"}}})
}

// log is what shows later who made the part.
func (t *writer) log() {
	if !t.made() {
		return
	}
	t.Heading("Hours and help")
	t.Table(draw.Table{MinRow: 9, Upright: true, Columns: []draw.Column{{Head: "Date", Share: 1.3}, {Head: "What was done", Share: 4}, {Head: "Hours", Share: 0.9}, {Head: "By; who helped, paid or not", Share: 2.6}, {Head: "Photos", Share: 1.2}},
		Rows: make([][]string, 6)})
}
