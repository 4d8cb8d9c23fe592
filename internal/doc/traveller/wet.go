package traveller

import (
	"fmt"
	"strings"

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
	if lines := t.standing(w); len(lines) > 0 {
		t.Para(strings.Join(lines, " "))
	}
	t.lost(w)
}

// standing says what becomes of a pot that is left alone, and how much may be.
func (t *writer) standing(w *wetout.Result) (out []string) {
	c, pot := w.Cup, w.Pots[0]
	if c == nil {
		return nil
	}
	if pot.Life != nil {
		line := fmt.Sprintf("Mixed at %s, a full pot is good for %s", show(t.words, c.Start), minutes(*pot.Life))
		if pot.LifeLow != nil && pot.LifeHigh != nil {
			line += fmt.Sprintf(", perhaps %s, perhaps %s: that is how well this resin is known", minutes(*pot.LifeLow), minutes(*pot.LifeHigh))
		}
		out = append(out, line+".")
	}
	if c.RunsOff != nil {
		out = append(out, fmt.Sprintf("Left standing it runs off after %s: it smokes, melts its cup and can set fire.", minutes(*c.RunsOff)))
	}
	may := "No cup of it may be left alone, however small"
	if c.SafeMass != nil && *c.SafeMass >= worthTelling {
		may = fmt.Sprintf("Up to %s of it may be left alone in a %s", grams(*c.SafeMass), c.Kind)
		if c.SafeAny {
			may = fmt.Sprintf("It stays tame in a %s", c.Kind)
		}
	}
	if c.Tray != nil {
		may += fmt.Sprintf("; poured into a tray, up to %s deep", length(t.words, c.Tray.Depth))
		if c.Tray.Life != nil {
			may += fmt.Sprintf(", it stays tame and lives %s", minutes(*c.Tray.Life))
		}
	}
	return append(out, may+". Reckoned with a third less cooling than usual.")
}

// worthTelling is the least mass that may stand of which a shop hears, kg.
const worthTelling = 0.005

// lost says where the resin goes that is mixed and does not come to the part.
func (t *writer) lost(w *wetout.Result) {
	if len(w.Losses) == 0 {
		return
	}
	rows := [][]string{{"in the part", grams(w.ResinInPart), ""}}
	if w.Absorbed > 0 {
		rows = append(rows, []string{"in peel ply and the like", grams(w.Absorbed), ""})
	}
	for _, l := range w.Losses {
		rows = append(rows, []string{l.To, grams(l.Mass), ""})
	}
	rows = append(rows, []string{"mixed together", grams(w.ToMix), ""})
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Where the resin goes", Share: 4}, {Head: "Planned", Share: 2, Align: draw.End}, {Head: "Weighed", Share: 3}}, Rows: rows, MinRow: 6.5, Upright: true})
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
