package traveller

import (
	"fmt"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// cutOut is the label of the field for the second cut-out, with where it belongs.
func (t *writer) cutOut() string {
	if o := t.plan.Cure.Oven; o != nil {
		return "Second cut-out set to " + show(t.words, o.CutOut) + ", tried"
	}
	return "Second cut-out at"
}

// oven adds what the oven does to the forecast.
func (t *writer) oven(add func(what, value string)) {
	o := t.plan.Cure.Oven
	if o == nil {
		return
	}
	switch {
	case o.Reach == nil:
		add("Oven's air at "+show(t.words, o.Asked), "not reached")
	case o.Late != nil && *o.Late >= 60:
		add("Oven's air at "+show(t.words, o.Asked), minutes(*o.Reach)+" after mixing, "+minutes(*o.Late)+" late")
	default:
		add("Oven's air at "+show(t.words, o.Asked), minutes(*o.Reach)+" after mixing")
	}
	if o.On != nil && o.Off != nil {
		add("Heater on and off while it holds", minutes(*o.On)+" and "+minutes(*o.Off))
	}
	if c, h := o.Cold, o.Hot; c != nil && h != nil {
		add("Glass transition, oven's coldest to hottest place", show(t.words, c.Tg)+" to "+show(t.words, h.Tg))
		if c.Demould != nil {
			add("Off the mould at the coldest place, not before", minutes(*c.Demould)+" after mixing")
		}
	}
	add("Where it ends if the thermostat sticks", show(t.words, o.Ceiling))
}

// stands is what each thing in the stack sees and stands.
func (t *writer) stands() {
	c := t.plan.Cure
	weakest, ok := c.Weakest()
	if !ok {
		return
	}
	var rows [][]string
	for _, l := range c.Limits {
		if l.Limit != nil {
			rows = append(rows, []string{plydraw.Capital(l.Of) + ", " + l.Name, show(t.words, *l.Limit), show(t.words, l.Seen), show(t.words, *l.Margin), ""})
		}
	}
	t.Lead(fmt.Sprintf("What has a limit. The nearest to it is %s (%s): %s left.", weakest.Name, weakest.Of, show(t.words, *weakest.Margin)))
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Material", Share: 3.4}, {Head: "Stands", Share: 1.2, Align: draw.End}, {Head: "Forecast", Share: 1.2, Align: draw.End}, {Head: "Left", Share: 1.2, Align: draw.End}, {Head: "Seen", Share: 1.6}},
		Rows: rows, Upright: true})
}

// steady is the post-cure for an oven that can't ramp by itself.
func (t *writer) steady() {
	p := t.plan.Cure.PostCure
	if p == nil {
		return
	}
	t.Lead(fmt.Sprintf("If the oven can't ramp: after the first hold set it to these one after another, %s in all. Each stays at least %s below the part's glass transition.", minutes(p.Total), show(t.words, p.Lead)))
	var rows [][]string
	const across = 2 // steps in a row
	half := (len(p.Steps) + across - 1) / across
	for i := range half {
		row := []string{}
		for k := i; k < i+half+1; k += half {
			if k >= len(p.Steps) {
				row = append(row, "", "", "", "")
				break
			}
			s := p.Steps[k]
			row = append(row, show(t.words, s.At), minutes(s.For), show(t.words, s.Tg), "")
		}
		rows = append(rows, row)
	}
	head := []draw.Column{{Head: "Set to", Share: 1}, {Head: "Hold", Share: 1}, {Head: "Glass transition by then", Share: 1.8}, {Head: "Clock", Share: 1.1}}
	t.Table(draw.Table{Columns: append(head, head...), Rows: rows, MinRow: 7, Upright: true})
}

// instead are gentler schedules that do as well.
func (t *writer) instead() {
	c := t.plan.Cure
	if len(c.Choices) < 2 {
		return
	}
	t.Lead("Other schedules that do. Change the plan's to one of these (cure.schedule) before resin is opened, not on the way.")
	var rows [][]string
	for _, x := range c.Choices[1:] {
		rows = append(rows, []string{plydraw.Capital(x.Name), minutes(x.Total) + longer(x.Total-c.Total), show(t.words, x.Peak), show(t.words, x.Tg), plydraw.Sentence(x.Why)})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "", Share: 1.1, Face: draw.Bold}, {Head: "In all", Share: 1.5}, {Head: "Warmest", Share: 1}, {Head: "Glass transition", Share: 1.2}, {Head: "How", Share: 5}}, Rows: rows, Upright: true})
}

func longer(by si.Time) string {
	if by <= 0 {
		return ""
	}
	return ", " + minutes(by) + " longer"
}
