package traveller

import (
	"fmt"
	"strings"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/stage/bench"
)

// cure is the cure record.
func (t *writer) cure() {
	c := t.plan.Cure
	if c == nil {
		return
	}
	t.Heading("Cure")
	t.warn("oven-fire")
	if c.Chosen != "" {
		t.Para(plydraw.Sentence(c.Chosen))
	}
	probes := []string{"Recorder", "Probe 1 at (coldest)", "Probe 2 at (thickest)", "Probe 3 in the air"}
	if t.warned["oven-fire"] {
		probes = append(probes, t.cutOut())
	}
	t.fields(probes...)
	followed := "Air"
	if c.State != nil {
		followed = "Log, then air"
	}
	var rows [][]string
	for i := range c.Schedule.Time {
		rows = append(rows, []string{minutes(si.Time(c.Schedule.Time[i])), show(t.words, c.Schedule.Temperature[i]), t.ramp(i), "", "", "", "", ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "After mixing", Share: 1.5}, {Head: followed, Share: 1}, {Head: "Change an hour", Share: 1.3}, {Head: "Clock", Share: 1.1}, {Head: "Probe 1", Share: 1.1}, {Head: "Probe 2", Share: 1.1}, {Head: "Probe 3", Share: 1.1}, {Head: "Vacuum", Share: 1.1}},
		Rows: rows, MinRow: 8, Upright: true})
	facts := [][]string{}
	add := func(what, value string) { facts = append(facts, []string{what, value, ""}) }
	if c.Gel != nil {
		add("Gels", minutes(*c.Gel)+" after mixing")
	}
	if c.Demould != nil {
		add("Off the mould, not before", minutes(*c.Demould)+" after mixing")
	}
	add("Warmest place of the laminate", show(t.words, c.Peak))
	if c.Vitrify != nil && (c.Demould == nil || *c.Vitrify < *c.Demould) {
		add("Turns to glass, and hardly goes on at that warmth", minutes(*c.Vitrify)+" after mixing")
	}
	add("Glass transition, dry, at the end", show(t.words, c.Tg))
	add("Warmest service, moist", show(t.words, c.ServiceLimit))
	t.oven(add)
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Forecast", Share: 3}, {Head: "Number", Share: 2}, {Head: "Found", Share: 2}}, Rows: facts, MinRow: 7, Upright: true})
	t.stands()
	t.steady()
	t.instead()
	if t.made() {
		t.hold("Cure within limits, record kept")
	}
}

// ramp is how fast the air goes to the schedule's point i from the one before.
func (t *writer) ramp(i int) string {
	s := t.plan.Cure.Schedule
	if i == 0 {
		return ""
	}
	hours := (s.Time[i] - s.Time[i-1]) / 3600
	change := float64(s.Temperature[i] - s.Temperature[i-1])
	if hours <= 0 || change == 0 {
		return "hold"
	}
	unit := "°C"
	if t.words.system == si.US {
		change, unit = 1.8*change, "°F"
	}
	sign := "+"
	if change < 0 {
		sign = ""
	}
	return sign + draw.Number(change/hours, 0) + " " + unit
}

// steps is the sequence with its clock.
func (t *writer) steps() {
	b := t.plan.Bench
	if b == nil || len(b.Steps) == 0 {
		return
	}
	t.Heading("Steps")
	t.Lead("Times count from the first step; drying and cure run on over night. Wet time left is what remains before the first pot's resin gels when the step is done.")
	var rows [][]string
	for i, s := range gathered(b.Steps) {
		left := ""
		if s.GelLeft != nil {
			left = minutes(*s.GelLeft)
			if *s.GelLeft < 0 {
				left = "too late"
			}
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), plydraw.Capital(si.Typeset(s.Name)), minutes(s.Start), minutes(s.Seconds), left, draw.Tick, ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "", Share: 0.6}, {Head: "Step", Share: 6}, {Head: "Begins", Share: 1.5, Align: draw.End}, {Head: "Takes", Share: 1.3, Align: draw.End},
		{Head: "Wet time left", Share: 1.4, Align: draw.End}, {Head: "Done", Share: 1, Align: draw.Centre}, {Head: "Time, by", Share: 1.8}}, Rows: rows, MinRow: 7.5, Upright: true})
}

// gathered makes one step of the coats of one thing: each coat has its line in
// the release record.
func gathered(steps []bench.Step) (out []bench.Step) {
	coats := 0
	for _, s := range steps {
		what, _, coat := strings.Cut(s.Name, ", coat ")
		if n := len(out); coat && coats > 0 && strings.HasPrefix(out[n-1].Name, what+", ") {
			coats++
			out[n-1].Seconds += s.Seconds
			out[n-1].Name = fmt.Sprintf("%s, %d coats: see the release record", what, coats)
			continue
		}
		coats = 0
		if coat {
			coats = 1
		}
		out = append(out, s)
	}
	return out
}

func (t *writer) inspect() {
	if !t.made() {
		return
	}
	t.Heading("Trim and inspection")
	t.warn("dust")
	rows := [][]string{}
	if p := t.plan; p.Mass != nil && p.MassLow != nil && p.MassHigh != nil {
		rows = append(rows, []string{"Mass", fmt.Sprintf("%s (%s to %s)", grams(*p.Mass), grams(*p.MassLow), grams(*p.MassHigh)), ""})
	}
	switch {
	case t.plan.Bag != nil && t.plan.Bag.Thickness > 0:
		rows = append(rows, []string{"Wall, at three places away from laps", show(t.words, t.plan.Bag.Thickness), ""})
	case t.plan.Laminate != nil:
		rows = append(rows, []string{"Wall, at three places away from laps", show(t.words, t.plan.Laminate.Thickness), ""})
	}
	rows = append(rows, []string{"Coin tap: dull spots on the sketch below", "none", ""}, []string{"White or dry spots, bridged corners, pinholes", "none", ""},
		[]string{"Witness coupon: same pots, same bag, same cure", "kept with this sheet", ""})
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Look at", Share: 4}, {Head: "Expected", Share: 3}, {Head: "Found", Share: 3}}, Rows: rows, MinRow: 9, Upright: true})
	t.Lead("Tap map and defects: mark the place, the size, and what was done.")
	t.sketch()
}

// sketch is the part seen aslant and along z, in outline, to draw on.
func (t *writer) sketch() {
	box := t.Room(70)
	t.Draw(draw.Rect(box, draw.InkPen(draw.Fine), draw.Ground))
	m := t.plan.Mould
	if m == nil || m.Surface == nil {
		return
	}
	scene := draw.Scene{Vertices: m.Surface.Vertices, Triangles: m.Surface.Triangles, Edges: true}
	for i, half := range draw.Split(draw.Inset(box, 4), 2, 6) {
		s := scene
		if i == 1 {
			s.Eye.Z = 1
		}
		t.Draw(s.Draw(half)...)
	}
}
