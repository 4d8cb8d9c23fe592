package traveller

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/bag"
)

// bagKit lists what goes over the part.
func (t *writer) bagKit(add func(what, amount string)) {
	b := t.plan.Bag
	if b == nil {
		return
	}
	add("peel ply", show(t.words, b.PeelPlyArea)+t.offRoll("peel ply"))
	add("release film", show(t.words, b.FilmSheet)+t.offRoll("release film"))
	if b.BleederPlies > 0 {
		add("bleeder, "+layers(b.BleederPlies), show(t.words, b.BleederArea)+t.offRoll("bleeder"))
	}
	if b.BreatherArea > 0 {
		add("film without holes, between bleeder and breather", show(t.words, b.BarrierArea))
		add("breather, "+layers(1)+", a tongue of it under every port", show(t.words, b.BreatherArea))
	}
	add("bag film", length(t.words, b.FilmLong)+" × "+length(t.words, b.FilmWide))
	add("sealant tape", length(t.words, b.Tape))
	if pumps, gauges := portCount(b.Ports); pumps > 0 {
		add("ports", fmt.Sprintf("%d to the pump, %d for the gauge", pumps, gauges))
	}
}

func portCount(ports []bag.Port) (pumps, gauges int) {
	for _, p := range ports {
		if p.Use == bag.ForPump {
			pumps++
		} else {
			gauges++
		}
	}
	return pumps, gauges
}

// vacuum words a pressure as a gauge shows it.
func vacuum(p si.Pressure) string {
	return fmt.Sprintf("%.1f inHg (%.1f kPa)", float64(p/si.InchOfMercury), float64(p)/1000)
}

// bag is the bag and the leak record.
func (t *writer) bag() {
	b := t.plan.Bag
	if b == nil {
		return
	}
	t.Heading("Bag and vacuum")
	t.warn("vacuum")
	rows := [][]string{
		{"Vacuum on the gauge, far from the pump", "at least " + vacuum(b.Used), ""},
		{"Most that can be had at this barometer", vacuum(b.Available), ""},
	}
	if deepest := t.deepest(); deepest != "" {
		rows = append(rows, []string{"Deepest before the gel", deepest, ""})
	}
	if b.PumpDown != nil {
		rows = append(rows, []string{"Down to that, once the loose air is out", "in about " + minutes(*b.PumpDown), ""})
	}
	rows = append(rows,
		[]string{"Pleats", t.pleats(), ""},
		[]string{"Bleeder: mass before and after", "gains about " + grams(b.Bled), ""})
	if d := t.plan.Bench; d != nil && d.BagDown != nil && d.WetStart != nil {
		rows = append(rows, []string{"Vacuum on, after the first mixing", "planned " + minutes(*d.BagDown-*d.WetStart), ""})
	}
	if b.PressedIn != nil {
		rows = append(rows, []string{"Pressed home, after that", "in about " + minutes(*b.PressedIn), ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Check", Share: 4}, {Head: "Limit", Share: 3}, {Head: "Read, time, by", Share: 3}}, Rows: rows, MinRow: 9, Upright: true})
	t.where()
	t.leak()
}

// deepest is how deep the vacuum may be while the resin is wet, where that is less
// than the plan counts on or the cure is warm before the gel.
func (t *writer) deepest() string {
	b := t.plan.Bag
	for _, x := range b.Boiling {
		if b.Warmest != nil && x.Temperature >= *b.Warmest-0.01 {
			return fmt.Sprintf("%s at %s", vacuum(x.Deepest), show(t.words, x.Temperature))
		}
	}
	return ""
}

// pleats words number and height of the pleats; without a mesh, only how many.
func (t *writer) pleats() string {
	b := t.plan.Bag
	if len(b.PleatsAt) == 0 {
		return fmt.Sprintf("at least %d: every inside corner, both ends of a hollow", b.Pleats)
	}
	low, high := si.Length(math.Inf(1)), si.Length(0)
	for _, p := range b.PleatsAt {
		low, high = min(low, p.High), max(high, p.High)
	}
	tall := length(t.words, high) + " tall"
	if low < 0.95*high {
		tall = length(t.words, low) + " to " + tall
	}
	return fmt.Sprintf("at least %d, %s", b.Pleats, tall)
}

// where says where pleats and ports stand, as measured from the middle of the mould.
func (t *writer) where() {
	b := t.plan.Bag
	if len(b.PleatsAt) == 0 {
		return
	}
	var rows [][]string
	for _, p := range b.PleatsAt {
		rows = append(rows, []string{"pleat, " + length(t.words, p.High) + " tall", t.place(p.At), draw.Tick})
	}
	for _, p := range b.Ports {
		rows = append(rows, []string{"port for the " + string(p.Use), "beside the part's edge at " + t.place(p.At), draw.Tick})
	}
	t.Lead(fmt.Sprintf("Where they stand, as the mould's own x and y. Every place of the part is within %s of a port through the breather. Lay a tongue of dry breather under each port.", length(t.words, b.BreatherWay)))
	t.Table(draw.Table{Columns: []draw.Column{{Head: "What", Share: 3}, {Head: "Where", Share: 5}, {Head: "There", Share: 1, Align: draw.Centre}}, Rows: rows, MinRow: 6.5, Upright: true})
	if n := len(b.Hollows); n > 0 {
		t.Para(fmt.Sprintf("The bag must reach into %s, the deepest %s deep at %s: push the slack in by hand at a low vacuum, before all of it is drawn.",
			fault.Count(n, "hollow", "hollows"), length(t.words, b.Hollows[0].Deep), t.place(b.Hollows[0].At)))
	}
}

// place words a place in plan.
func (t *writer) place(at [3]float64) string {
	one := func(x float64) string {
		if math.Abs(x) < 0.5e-3 {
			return "0"
		}
		return length(t.words, si.Length(x))
	}
	return "x " + one(at[0]) + ", y " + one(at[1])
}

// leak is the leak check with its limits for this bag.
func (t *writer) leak() {
	b := t.plan.Bag
	text := fmt.Sprintf("Leaks: shut the valve and read. The vacuum may fall by %s in %s at most, or %s in 5 min; a sound bag stays under %s in 5 min.",
		vacuum(b.LeakLimit), minutes(b.LeakTime), vacuum(b.Leak5Min), vacuum(b.LeakLimit))
	if b.LeakFlow > 0 {
		how := " (assumed: felt, 3 m of hose, a catch pot)"
		if s := t.plan.Spec.Bag; s != nil && s.Volume > 0 {
			how = ""
		}
		text += fmt.Sprintf(" This bag and its hoses hold about %.1f litres when drawn down%s, so the limit is %.0f mL of outside air a minute; the same hole drops a smaller bag faster.", 1000*float64(b.Volume), how, 6e7*float64(b.LeakFlow))
	}
	t.Lead(text)
	t.form(3, "Gauge no.", "Valve shut at", "Reading", "After 1 min", "After 5 min", "Leak, mended")
	t.hold("Leak check passed")
}
