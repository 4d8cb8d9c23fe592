package traveller

import (
	"cmp"
	"fmt"

	"laywright/internal/doc/draw"
	"laywright/internal/stage/nest"
)

// off says what comes off a roll, or that a remnant is used.
func (t *writer) off(r nest.Laid) string {
	if len(r.Outline) > 0 {
		return "this remnant"
	}
	out := length(t.words, r.Length) + " of a " + length(t.words, r.Width) + " roll"
	if r.Bought > r.Length {
		out += "; buy " + length(t.words, r.Bought)
	}
	return out
}

// cloth says where the cloth goes, and what is kept of it.
func (t *writer) cloth() {
	if len(t.plan.Cloth) == 0 {
		return
	}
	rows := [][]string{}
	for _, c := range t.plan.Cloth {
		bought, price, stock := "–", "", "–"
		if c.Stock > 0 {
			stock = show(t.words, c.Stock)
		}
		if c.Bought > 0 {
			bought = length(t.words, c.Bought)
		}
		if c.Cost != nil && c.Bought > 0 {
			price = fmt.Sprintf("%.0f", *c.Cost)
		}
		rows = append(rows, []string{cmp.Or(c.Material, "cloth"), show(t.words, c.Pieces), show(t.words, c.Waste), show(t.words, c.Kept), stock, bought, price})
	}
	right := func(head string, share float64) draw.Column {
		return draw.Column{Head: head, Share: share, Align: draw.End}
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Where the cloth goes", Share: 2.4}, right("Pieces", 1.2), right("Waste", 1.2), right("Worth keeping", 1.5), right("From stock", 1.3), right("Buy", 1.1), right("Price", 0.8)},
		Rows: rows})
	t.blanks()
	if len(t.plan.Roll.Shelf) > 0 {
		t.Para("Write name and lot on what is kept. shelf.yaml lists it for the next job. How to cut: documents/cutting.pdf; labels for the pieces: documents/labels.pdf.")
	}
}

// blanks lists what is cut across the roll first where cloth is cut by hand.
func (t *writer) blanks() {
	for _, r := range t.plan.Roll.Rolls {
		if len(r.Blanks) == 0 {
			continue
		}
		rows := [][]string{}
		for _, b := range r.Blanks {
			rows = append(rows, []string{cmp.Or(b.Group, "all pieces"), length(t.words, b.From), length(t.words, b.To), fmt.Sprint(b.Pieces), fmt.Sprintf("%.0f %%", 100*(1-b.Use)), draw.Tick})
		}
		t.Table(draw.Table{Columns: []draw.Column{{Head: "Cut straight across " + r.Named(), Share: 3}, {Head: "from", Share: 1, Align: draw.End}, {Head: "to", Share: 1, Align: draw.End}, {Head: "pieces", Share: 0.8, Align: draw.End}, {Head: "waste", Share: 0.8, Align: draw.End}, {Head: "Cut", Share: 0.7, Align: draw.Centre}},
			Rows: rows, Upright: true})
	}
}
