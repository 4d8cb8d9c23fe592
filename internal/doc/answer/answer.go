package answer

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/job"
)

// Question is what is asked.
type Question string

// The questions.
const (
	Resin   Question = "resin"
	Cups    Question = "cups"
	Mass    Question = "mass"
	Vacuum  Question = "vacuum"
	Gel     Question = "gel"
	Demould Question = "demould"
	Hot     Question = "hot"
	Heat    Question = "heat"
)

// Answer is one screen.
type Answer struct {
	Says    []string // the answer, most wanted first
	Working []Row
	Taken   []Taken  // where nothing was told
	Minds   []string // dangers and findings, worst first
}

// Row is a number with how it was got.
type Row struct{ Name, Sum string }

// Taken is a value that stands where the person said nothing: under which word to
// say it, the value, and why that one.
type Taken struct{ Word, Text, Why string }

// The screen.
const (
	Lines = 24
	Wide  = 80
)

// kinds says how each question is answered, which stages' findings bear on it and
// which dangers of the work it must not leave out; a heater's stand among its findings.
var kinds = map[Question]struct {
	answer  func(*Answer, teller) error
	stages  []string
	dangers []string
}{
	Resin:   {resin, []string{"wetout", "bag", "laminate"}, []string{"resin-skin"}},
	Cups:    {cups, []string{"wetout"}, []string{"exotherm"}},
	Mass:    {mass, []string{"wetout", "bag", "laminate"}, []string{"not-an-approval"}},
	Vacuum:  {vacuum, []string{"bag"}, []string{"vacuum"}},
	Gel:     {gel, []string{"cure"}, []string{"not-an-approval"}},
	Demould: {demould, []string{"cure"}, []string{"oven-fire", "not-an-approval"}},
	Hot:     {hot, []string{"cure", "duty"}, []string{"oven-fire", "not-an-approval"}},
	Heat:    {heat, []string{"duty"}, nil},
}

// To answers a question from a plan that was made for it. The error says what the
// plan lacks.
func To(q Question, plan job.Plan) (Answer, error) {
	kind, known := kinds[q]
	if !known {
		return Answer{}, fmt.Errorf("no question is called %s", q)
	}
	var a Answer
	if err := kind.answer(&a, newTeller(plan)); err != nil {
		return a, err
	}
	a.Minds = append(a.Minds, minded(plan.Findings, kind.stages, kind.dangers)...)
	return a, nil
}

// minded lists the findings of some stages but for notes: the worst, then the
// dangers of this work, then the others.
func minded(findings []fault.Finding, stages, dangers []string) (out []string) {
	var mind []string
	for _, f := range findings {
		text := f.What + sentence(f.Do)
		switch {
		case slices.Contains(dangers, strings.TrimPrefix(f.Code, "caution-")):
			mind = append(mind, "MIND: "+text)
		case f.Severity != fault.Note && slices.Contains(stages, f.Stage):
			out = append(out, strings.ToUpper(string(f.Severity))+": "+text)
		}
	}
	return slices.Insert(out, min(1, len(out)), mind...)
}

// sentence makes a clause a sentence, with a blank before it.
func sentence(clause string) string {
	if clause == "" {
		return ""
	}
	return " " + strings.ToUpper(clause[:1]) + clause[1:] + "."
}

// Write lays the answer out. What to mind that finds no room is counted.
func (a Answer) Write(w io.Writer) error {
	var lines []string
	for i, s := range a.Says {
		indent := "  "
		if i == 0 {
			indent = ""
		}
		lines = append(lines, wrap(indent, indent, si.Typeset(s))...)
	}
	for _, r := range a.Working {
		lines = append(lines, wrap(fmt.Sprintf("  %-17s ", r.Name), strings.Repeat(" ", 20), r.Sum)...)
	}
	if len(a.Taken) > 0 {
		var taken []string
		for _, x := range a.Taken {
			taken = append(taken, fmt.Sprintf("%s %s (%s)", x.Word, x.Text, x.Why))
		}
		lines = append(lines, wrap("Taken, not told: ", "  ", strings.Join(taken, ", "))...)
	}
	for i, m := range a.Minds {
		more := wrap("", "  ", si.Typeset(m))
		room := Lines - len(lines)
		if left := len(a.Minds) - i; len(more) > room || left > 1 && len(more) == room {
			lines = append(lines, fmt.Sprintf("And %s more: keep it with --job and plan that.", fault.Count(left, "finding", "findings")))
			break
		}
		lines = append(lines, more...)
	}
	_, err := io.WriteString(w, strings.Join(lines, "\n")+"\n")
	return err
}

// wrap breaks a text into lines, the first behind a head, the others indented. A
// unit stays with its number.
func wrap(head, indent, text string) (lines []string) {
	line, empty := head, true
	for _, word := range glued(strings.Fields(text)) {
		if !empty && utf8.RuneCountInString(line+" "+word) > Wide {
			lines = append(lines, line)
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	return append(lines, line)
}

// measures are what stays with the number before it.
var measures = strings.Fields("°C °F K g kg oz lb mL % mm in ft cm² m² in² ft² h min s days inHg kPa psi W/K J/g g/m² kW Pa BTU/h degC degF mol")

// glued joins each unit to its number.
func glued(words []string) (out []string) {
	for _, w := range words {
		n := len(out)
		if n > 0 && slices.Contains(measures, strings.Trim(w, "(),.;:'")) && strings.ContainsAny(out[n-1][len(out[n-1])-1:], "0123456789") {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}
