package traveller

import (
	"fmt"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/laminate"
)

// kit lists what must lie ready before resin is opened.
func (t *writer) kit() {
	rows := [][]string{}
	add := func(what, amount string) { rows = append(rows, []string{what, amount, "", draw.Tick}) }
	if r := t.plan.Roll; r != nil {
		for _, roll := range r.Rolls {
			add(roll.Material, show(t.words, roll.Length)+" of a "+show(t.words, roll.Width)+" roll")
		}
	}
	if w := t.plan.Wetout; w != nil {
		name := "resin, mixed"
		if t.plan.Spec.Laminate != nil {
			name = t.plan.Spec.Laminate.Resin + ", mixed"
		}
		add(name, grams(w.ToMix))
		if w.Hardener != nil {
			add("of that hardener", grams(*w.Hardener))
		}
	}
	if b := t.plan.Bag; b != nil {
		add("peel ply", show(t.words, b.PeelPlyArea))
		add("release film", show(t.words, b.FilmSheet))
		add(fmt.Sprintf("bleeder, %d layer(s)", b.BleederPlies), show(t.words, b.BleederArea))
		add("bag film", show(t.words, b.FilmLong)+" × "+show(t.words, b.FilmWide))
		add("sealant tape", show(t.words, b.Tape))
	}
	if len(rows) == 0 {
		return
	}
	t.Heading("Have ready")
	t.Table(draw.Table{Columns: []draw.Column{{Head: "What", Share: 3}, {Head: "How much", Share: 3}, {Head: "Lot, expiry", Share: 3}, {Head: "There", Share: 0.8, Align: draw.Centre}}, Rows: rows, Upright: true})
}

func (t *writer) mould() {
	m := t.plan.Mould
	if m == nil || m.Surface == nil {
		return
	}
	t.Heading("Mould")
	t.Para(sentence(m.Out))
	if len(m.Coats) == 0 {
		return
	}
	var rows [][]string
	for _, c := range m.Coats {
		for i := range c.Coats {
			rows = append(rows, []string{fmt.Sprintf("%s, coat %d of %d", c.What, i+1, c.Coats), minutes(c.Dry), "", "", draw.Tick})
		}
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Coat", Share: 4}, {Head: "Dry at least", Share: 1.6}, {Head: "Put on (time)", Share: 1.8}, {Head: "Temperature, humidity", Share: 2.4}, {Head: "Dry", Share: 0.8, Align: draw.Centre}}, Rows: rows, Upright: true})
	t.Para("No resin before the last coat is dry and a taped test patch has come off clean.")
}

// plies is the ply table, from the mould face upwards.
func (t *writer) plies() {
	if t.plan.Laminate == nil {
		return
	}
	t.Heading("Plies, from the mould up")
	var rows [][]string
	cloth := 0
	for i, l := range t.plan.Laminate.Layers {
		pieces, dry, wet := "", "", ""
		area := 0.0
		if t.plan.Mould != nil {
			area = float64(t.plan.Mould.Area)
		}
		if l.Kind == laminate.Cloth {
			if t.plan.Plies != nil && cloth < len(t.plan.Plies.Plies) {
				p := t.plan.Plies.Plies[cloth]
				area = float64(job.PlyArea(p))
				for _, piece := range p.Pieces {
					pieces += piece.Name + " "
				}
			}
			cloth++
		}
		if area > 0 && l.MassKnown {
			dry = fmt.Sprintf("%.0f g", 1000*area*float64(l.Fibre+l.Solid))
			wet = fmt.Sprintf("%.0f g", 1000*area*float64(l.ArealMass()))
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), l.Name, fmt.Sprintf("%.0f°", l.Angle.Degrees()), pieces, dry, wet, "", draw.Tick, draw.Tick, ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "No.", Share: 0.7}, {Head: "Cloth", Share: 3}, {Head: "Angle", Share: 1}, {Head: "Pieces", Share: 1.3}, {Head: "Dry", Share: 1.1, Align: draw.End},
		{Head: "Wet", Share: 1.1, Align: draw.End}, {Head: "Wet, weighed", Share: 1.5}, {Head: "Film A off", Share: 0.9, Align: draw.Centre}, {Head: "Film B off", Share: 0.9, Align: draw.Centre}, {Head: "By, time", Share: 1.5}},
		Rows: rows, MinRow: 9, Upright: true})
	t.Para("The angle turns from the warp reference towards the weft, seen from the free side. Keep it within 3°. Count the carrier films back: a film left in is a delamination.")
}

// pots is a mix ticket a row.
func (t *writer) pots() {
	w := t.plan.Wetout
	if w == nil || len(w.Pots) == 0 {
		return
	}
	t.Heading("Mix tickets")
	mix := 0.0
	if w.Hardener != nil && w.ToMix > 0 {
		mix = float64(*w.Hardener / w.ToMix)
	}
	var rows [][]string
	for i, p := range w.Pots {
		resin, hardener, before := "", "", ""
		if mix > 0 {
			resin, hardener = fmt.Sprintf("%.1f g", 1000*float64(p.Mass)*(1-mix)), fmt.Sprintf("%.1f g", 1000*float64(p.Mass)*mix)
		}
		if p.UseBefore != nil {
			before = minutes(*p.UseBefore - p.At)
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), grams(p.Mass), resin, hardener, before, "", "", "", ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Pot", Share: 0.7}, {Head: "Mix", Share: 1.1, Align: draw.End}, {Head: "Resin", Share: 1.1, Align: draw.End}, {Head: "Hardener", Share: 1.3, Align: draw.End},
		{Head: "Empty within", Share: 1.4, Align: draw.End}, {Head: "Resin, weighed", Share: 1.6}, {Head: "Hardener, weighed", Share: 1.6}, {Head: "Mixed at", Share: 1.2}, {Head: "By", Share: 1}},
		Rows: rows, MinRow: 9, Upright: true})
	t.Para("Weigh to 0.1 g: the mix must be within half a percent. Stir two minutes, scrape the sides. Keep a little of each pot and watch it gel: it is the witness.")
}

func (t *writer) bag() {
	b := t.plan.Bag
	if b == nil {
		return
	}
	t.Heading("Bag and vacuum")
	in := func(pa float64) string { return fmt.Sprintf("%.1f inHg (%.1f kPa)", pa/3386.389, pa/1000) }
	rows := [][]string{
		{"Vacuum on the gauge, far from the pump", "at least " + in(float64(b.Used)), ""},
		{"Most that can be had here today", in(float64(b.Available)), ""},
		{fmt.Sprintf("Rise in %s with the valve shut", minutes(b.LeakTime)), "at most " + in(float64(b.LeakLimit)), ""},
		{"Pleats: every inside corner, both ends of a hollow", fmt.Sprintf("at least %d", b.Pleats), ""},
		{"Bleeder: mass before and after", "gains about " + grams(b.Bled), ""},
	}
	if d := t.plan.Bench; d != nil && d.BagDown != nil && d.WetStart != nil {
		rows = append(rows, []string{"Vacuum on, after the first mixing", "planned " + minutes(*d.BagDown-*d.WetStart), ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Check", Share: 4}, {Head: "Limit", Share: 3}, {Head: "Read, time, by", Share: 3}}, Rows: rows, MinRow: 9, Upright: true})
}
