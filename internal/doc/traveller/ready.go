package traveller

import (
	"fmt"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
)

// kit lists what must lie ready before resin is opened.
func (t *writer) kit() {
	rows := [][]string{}
	add := func(what, amount string) { rows = append(rows, []string{what, amount, "", "", draw.Tick}) }
	if r := t.plan.Roll; r != nil {
		for _, roll := range r.Rolls {
			add(roll.Named(), t.off(roll))
		}
	}
	if w := t.plan.Wetout; w != nil {
		name := "resin"
		if t.plan.Spec.Laminate != nil {
			name = t.plan.Spec.Laminate.Resin
		}
		if w.Resin != nil && w.Hardener != nil {
			add(name+", resin", grams(*w.Resin))
			add(name+", hardener", grams(*w.Hardener))
		} else {
			add(name+", mixed", grams(w.ToMix))
		}
	}
	if d := t.plan.Dress; d != nil && d.Carrier != nil {
		add(d.Carrier.Film+", to wet out between", length(t.words, d.Carrier.Length)+" of a "+length(t.words, d.Carrier.Width)+" roll")
	}
	t.bagKit(add)
	if len(rows) == 0 {
		return
	}
	t.Heading("Have ready")
	if n := t.plan.Job.Quantity; n > 1 && t.plan.Roll != nil {
		t.Lead(fmt.Sprintf("The cloth is for all %d parts, everything else for one.", n))
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "What", Share: 3}, {Head: "How much", Share: 2.6}, {Head: "Lot, roll", Share: 2}, {Head: "Opened, use by", Share: 2}, {Head: "There", Share: 0.9, Align: draw.Centre}},
		Rows: rows, MinRow: 7, Upright: true})
	t.cloth()
}

// mould is how the part comes off, and the release record.
func (t *writer) mould() {
	m := t.plan.Mould
	if m == nil || m.Surface == nil {
		return
	}
	t.Heading("Mould and release")
	if len(m.Coats) == 0 {
		t.Para(plydraw.Sentence(m.Out))
		return
	}
	t.Lead(plydraw.Sentence(m.Out))
	t.Para(t.landWords(m))
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Coat", Share: 3.6}, {Head: "How much", Share: 1.3}, {Head: "Dry at least", Share: 1.5}, {Head: "Put on (time)", Share: 1.6}, {Head: "Temperature, humidity", Share: 2}, {Head: "Dry", Share: 0.8, Align: draw.Centre}},
		Rows: coatRows(m.Coats), MinRow: 6.5, Upright: true})
	t.Para(t.workWords(m))
	t.hold("Mould dry; a taped test patch came off clean")
}

func coatName(what string, i, n int) string {
	if n == 1 {
		return what
	}
	return fmt.Sprintf("%s, coat %d of %d", what, i, n)
}
