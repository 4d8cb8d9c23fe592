// Package traveller lays out the sheet that goes through the shop with the part:
// what to have ready, each step with its numbers and limits, boxes to tick and
// lines to sign, and the cautions. It is drawn from a finished plan and works
// nothing out. Quantities are shown in the job's units.
package traveller

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// Pages lays the traveller out.
func Pages(p job.Plan, sheet draw.Sheet) []draw.Page {
	t := &writer{Flow: draw.NewFlow(sheet, footer(p)), plan: p, words: wordsOf(p)}
	t.Title(title(p), subtitle(p))
	t.approval()
	t.findings()
	t.cautions()
	t.kit()
	t.mould()
	t.plies()
	t.pots()
	t.bag()
	t.cure()
	t.steps()
	t.inspect()
	t.signatures()
	return t.Pages()
}

type writer struct {
	*draw.Flow
	plan  job.Plan
	words words
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
	return strings.TrimSpace(strings.Join([]string{p.Job.Part, p.Job.Name, "rev", p.Job.Revision}, " ")) +
		" · plan is advice, no approval; strike errors through once, never erase"
}

func (t *writer) approval() {
	if t.plan.Job.Consequence != "" {
		t.Callout(true, "If this part fails: "+t.plan.Job.Consequence, "")
	}
	t.fields("Serial no.", "Begun (date)", "By", "Shop temperature", "Humidity")
}

// fields draws labelled lines to fill in by hand, side by side.
func (t *writer) fields(labels ...string) {
	columns := make([]draw.Column, len(labels))
	for i, l := range labels {
		columns[i] = draw.Column{Head: l, Share: 1}
	}
	t.Table(draw.Table{Columns: columns, Rows: [][]string{make([]string, len(labels))}, MinRow: 9, Upright: true})
}

// findings shows stops and cautions; notes stand in the plan.
func (t *writer) findings() {
	for _, f := range t.plan.Findings {
		if f.Severity == fault.Note {
			continue
		}
		head := "Mind: " + pretty(f.What)
		if f.Severity == fault.Stop {
			head = "Stop: " + pretty(f.What)
		}
		t.Callout(f.Severity == fault.Stop, head, sentence(f.Why+t.against(f))+" "+sentence(f.Do))
	}
}

func (t *writer) against(f fault.Finding) string {
	if f.Value == nil || f.Limit == nil {
		return ""
	}
	value, _ := si.Localise(*f.Value, f.Unit, t.words.system)
	limit, unit := si.Localise(*f.Limit, f.Unit, t.words.system)
	return fmt.Sprintf(" (%s against %s %s)", draw.Short(value), draw.Short(limit), pretty(unit))
}

func (t *writer) cautions() {
	t.Heading("Cautions")
	for _, c := range t.plan.Cautions() {
		t.Item("!", c.What+" "+sentence(c.Why)+" "+sentence(c.Do))
	}
}

// signatures ends the sheet.
func (t *writer) signatures() {
	t.Heading("Signatures")
	t.Para("Signing says that the step was done and looked at. It says nothing about airworthiness: that is for those licensed for it, by your country's rules.")
	t.Table(draw.Table{MinRow: 9, Upright: true, Columns: []draw.Column{{Head: "Hold point", Share: 3}, {Head: "Name", Share: 2}, {Head: "Date", Share: 1.2}, {Head: "Signature", Share: 2}},
		Rows: [][]string{{"Mould released, test patch came off"}, {"Plies complete, film count right"}, {"Leak check passed"}, {"Cure within limits"}, {"Part inspected, mass within its band"}}})
}
