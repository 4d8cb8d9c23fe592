package traveller

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/wetout"
)

// plies is the ply table, from the mould face upwards.
func (t *writer) plies() {
	if t.plan.Laminate == nil {
		return
	}
	t.Heading("Plies, from the mould up")
	var rows [][]string
	cloths := 0
	var dry, wet si.Mass
	weighed := true
	for i, l := range t.plan.Laminate.Layers {
		area, pieces := t.layerArea(l, cloths)
		film := ""
		if l.Kind == laminate.Cloth {
			cloths++
			film = draw.Tick
		}
		row := []string{fmt.Sprint(i + 1), fmt.Sprintf("%s\n%.0f°", l.Name, l.Angle.Degrees()) + pieces, "", "", "", "", film, film, "", ""}
		if area > 0 && l.MassKnown {
			d, w := si.Mass(area*float64(l.Fibre+l.Solid)), si.Mass(area*float64(l.ArealMass()))
			dry, wet = dry+d, wet+w
			row[2], row[4] = grams(d), grams(w)
		} else {
			weighed = false
		}
		rows = append(rows, row)
	}
	if weighed && len(rows) > 1 {
		rows = append(rows, []string{"", "together", grams(dry), "", grams(wet), "", "", "", "", ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "No.", Share: 0.7}, {Head: "Cloth, angle, pieces", Share: 2.9}, {Head: "Dry", Share: 1.2, Align: draw.End}, {Head: "Weighed", Share: 1.4},
		{Head: "Wet", Share: 1.2, Align: draw.End}, {Head: "Weighed", Share: 1.4}, {Head: "Film A off", Share: 0.9, Align: draw.Centre}, {Head: "Film B off", Share: 0.9, Align: draw.Centre}, {Head: "Pot", Share: 0.8}, {Head: "By, time", Share: 1.4}},
		Rows: rows, MinRow: 9, Upright: true})
	if !t.made() {
		return
	}
	t.Para("The angle turns from the warp reference towards the weft, seen from the free side. Keep it within " + t.tolerance() + ".")
	t.laying()
	if cloths > 0 {
		t.hold(fmt.Sprintf("Plies complete; carrier films counted back: %d if both faces were covered. A film left in is a delamination", 2*cloths))
	}
}

// mostNamed is how many pieces of a ply are named one by one.
const mostNamed = 4

// layerArea is how much of a layer is laid, in square metres, and its pieces'
// names, each behind a dot. The cloth layers are the plies in order.
func (t *writer) layerArea(l laminate.Layer, cloth int) (area float64, pieces string) {
	if t.plan.Mould != nil {
		area = float64(t.plan.Mould.Area)
	}
	if l.Kind != laminate.Cloth || t.plan.Plies == nil || cloth >= len(t.plan.Plies.Plies) {
		return area, ""
	}
	p := t.plan.Plies.Plies[cloth]
	if len(p.Within) > 0 {
		pieces += " · doubler " + p.Within[0].What
	}
	if n := len(p.Within); n > 1 {
		pieces += fmt.Sprintf(" and %d more places", n-1)
	}
	if n := len(p.Pieces); n > mostNamed {
		pieces += " · " + p.Pieces[0].Name + " to " + p.Pieces[n-1].Name
	} else {
		for _, piece := range p.Pieces {
			pieces += " · " + piece.Name
		}
	}
	if n := len(p.Seams); n > 0 {
		pieces += " · " + fault.Count(n, "slit", "slits")
	}
	return float64(job.PlyArea(p)), pieces
}

// pots is a mix ticket a row.
func (t *writer) pots() {
	w := t.plan.Wetout
	if w == nil || len(w.Pots) == 0 {
		return
	}
	t.Heading("Before resin is opened")
	t.warn("resin-skin", "exotherm")
	t.Heading("Mix tickets")
	t.Lead("Write what the scale shows, to 0.1 g: the cup alone, then with resin, then with both. Stir two minutes and scrape the sides. Keep a little of each pot: it is the witness of the gel.")
	var rows [][]string
	for i, p := range w.Pots {
		rows = append(rows, t.ticket(i, p.Mass, p.UseBefore, p.At))
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Pot", Share: 0.7}, {Head: "Resin", Share: 1.1, Align: draw.End}, {Head: "Hardener", Share: 1.45, Align: draw.End}, {Head: "Both", Share: 1.1, Align: draw.End}, {Head: "Empty within", Share: 1.2, Align: draw.End},
		{Head: "Cup alone", Share: 1.2}, {Head: "with resin", Share: 1.2}, {Head: "with both", Share: 1.2}, {Head: "Mixed at", Share: 1.1}, {Head: "Gelled at", Share: 1.1}, {Head: "By", Share: 0.7}},
		Rows: rows, MinRow: 10, Upright: true})
	if peak := hottest(w.Pots); peak != nil {
		t.Para("A full pot left standing may reach " + show(t.words, *peak) + ".")
	}
}

func (t *writer) ticket(i int, mass si.Mass, before *si.Time, at si.Time) []string {
	w := t.plan.Wetout
	resin, hardener, within := "", "", ""
	if w.Hardener != nil && w.ToMix > 0 {
		share := float64(*w.Hardener / w.ToMix)
		hardener, resin = grams(mass*si.Mass(share)), grams(mass*si.Mass(1-share))
	}
	if before != nil {
		within = minutes(*before - at)
	}
	return []string{fmt.Sprint(i + 1), resin, hardener, grams(mass), within, "", "", "", "", "", ""}
}

// bag is the bag and the leak record.
func (t *writer) bag() {
	b := t.plan.Bag
	if b == nil {
		return
	}
	t.Heading("Bag and vacuum")
	t.warn("vacuum")
	in := func(pa float64) string { return fmt.Sprintf("%.1f inHg (%.1f kPa)", pa/3386.389, pa/1000) }
	rows := [][]string{
		{"Vacuum on the gauge, far from the pump", "at least " + in(float64(b.Used)), ""},
		{"Most that can be had at this barometer", in(float64(b.Available)), ""},
		{"Pleats: every inside corner, both ends of a hollow", fmt.Sprintf("at least %d", b.Pleats), ""},
		{"Bleeder: mass before and after", "gains about " + grams(b.Bled), ""},
	}
	if d := t.plan.Bench; d != nil && d.BagDown != nil && d.WetStart != nil {
		rows = append(rows, []string{"Vacuum on, after the first mixing", "planned " + minutes(*d.BagDown-*d.WetStart), ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Check", Share: 4}, {Head: "Limit", Share: 3}, {Head: "Read, time, by", Share: 3}}, Rows: rows, MinRow: 9, Upright: true})
	t.Lead(fmt.Sprintf("Leaks: shut the valve and read. The vacuum may fall by %s in %s at most. Note hose and bag too: the same hole drops a small bag faster.", in(float64(b.LeakLimit)), minutes(b.LeakTime)))
	t.form(3, "Gauge no.", "Valve shut at", "Reading", "After 1 min", "After 5 min", "Leak, mended")
	t.hold("Leak check passed")
}

// hottest is the highest peak of the pots; nil where it is not known.
func hottest(pots []wetout.Pot) (peak *si.Temperature) {
	for _, p := range pots {
		if p.Peak != nil && (peak == nil || *p.Peak > *peak) {
			peak = p.Peak
		}
	}
	return peak
}
