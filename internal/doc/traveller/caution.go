package traveller

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// findings shows stops and cautions of this job; notes stand in the plan.
// Findings of one kind are one box with a list.
func (t *writer) findings() {
	for _, s := range []fault.Severity{fault.Stop, fault.Caution} {
		for _, alike := range kinds(t.plan.Findings, s) {
			t.finding(alike)
		}
	}
}

// kinds gathers findings of one severity by stage and code, in the order of the
// first of each.
func kinds(all []fault.Finding, s fault.Severity) (out [][]fault.Finding) {
	at := map[string]int{} // for looking up only
	for _, f := range all {
		if f.Severity != s {
			continue
		}
		key := f.Stage + " " + f.Code
		i, seen := at[key]
		if !seen {
			i, at[key] = len(out), len(out)
			out = append(out, nil)
		}
		out[i] = append(out[i], f)
	}
	return out
}

func (t *writer) finding(alike []fault.Finding) {
	f := alike[0]
	grave, head := false, "Mind: "
	if f.Severity == fault.Stop {
		grave, head = true, "Stop: "
	}
	if len(alike) == 1 {
		t.Callout(grave, head+si.Typeset(f.What), plydraw.Sentence(f.Why+t.against(f))+" "+plydraw.Sentence(f.Do))
		return
	}
	sameWhy, sameDo := true, true
	for _, g := range alike {
		sameWhy, sameDo = sameWhy && g.Why == f.Why, sameDo && g.Do == f.Do
	}
	var points []string
	for _, g := range alike {
		point := plydraw.Sentence(withoutStop(g.What) + t.against(g))
		if !sameWhy {
			point += " " + plydraw.Sentence(g.Why)
		}
		if !sameDo {
			point += " " + plydraw.Sentence(g.Do)
		}
		points = append(points, point)
	}
	under := ""
	if sameDo {
		under = plydraw.Sentence(f.Do)
	}
	if sameWhy {
		t.Callout(grave, head+plydraw.Sentence(f.Why), under, points...)
		return
	}
	t.Callout(grave, head+fmt.Sprintf("%d of one kind.", len(alike)), under, points...)
}

func (t *writer) against(f fault.Finding) string {
	if f.Value == nil || f.Limit == nil {
		return ""
	}
	value, _ := si.Localise(*f.Value, f.Unit, t.words.system)
	limit, unit := si.Localise(*f.Limit, f.Unit, t.words.system)
	return " (" + withUnit(draw.Short(value)+" against "+draw.Short(limit), unit) + ")"
}

// warn puts dangers of the plan's work where the work meets them. A code that
// the plan does not have is passed over.
func (t *writer) warn(codes ...string) {
	for _, code := range codes {
		for _, c := range t.plan.Cautions() {
			if c.Code == code && !t.warned[code] {
				t.warned[code] = true
				t.Callout(true, c.What, plydraw.Sentence(c.Why)+" "+plydraw.Sentence(c.Do))
			}
		}
	}
}

// otherCautions are those that no section has shown, so that none is lost.
func (t *writer) otherCautions() {
	headed := false
	for _, c := range t.plan.Cautions() {
		if t.warned[c.Code] {
			continue
		}
		if !headed {
			t.Heading("Cautions")
			headed = true
		}
		t.warn(c.Code)
	}
}
