package dutydraw

import (
	"fmt"
	"math"
	"strconv"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/duty"
)

// nan breaks a line.
var nan = math.NaN()

func right(head string, share float64) draw.Column {
	return draw.Column{Head: head, Share: share, Align: draw.End}
}

func percent(f *si.Fraction) string {
	if f == nil {
		return ""
	}
	return fmt.Sprintf("%.0f %%", 100*float64(*f))
}

// passTable is the heater at every number of passes.
func (w words) passTable(h *duty.HeaterResult) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{right("passes", 1), right("air "+flow.shown(w), 1.1), right("air out "+warm.shown(w), 1.2), right("heat "+power.shown(w), 1.1),
		right("useful "+power.shown(w), 1.2), right("box "+drop.shown(w), 1.2), right("ducts "+drop.shown(w), 1.2), right("inside depth "+depth.shown(w), 1.3),
		right("in core s", 1.1), right("best gate", 1), right("useful then "+power.shown(w), 1.3), {Head: "limits", Share: 1}}}
	broken := false
	for _, r := range h.PassTable {
		broken = broken || !r.Holds
	}
	for _, r := range h.PassTable {
		time, limits := "", ""
		if r.Time > 0 {
			time = short(float64(r.Time))
		}
		if broken {
			limits = map[bool]string{true: "held", false: "broken"}[r.Holds]
		}
		ducts := &r.DuctLoss
		t.Rows = append(t.Rows, []string{fmt.Sprint(r.Passes), flow.text(w, &r.AirFlow), w.degrees(r.AirOut), power.text(w, &r.Heat), power.text(w, r.Useful),
			drop.text(w, r.Loss), drop.text(w, ducts), depth.text(w, r.BoxDepth), time, percent(r.Gate), power.text(w, r.BestHeat), limits})
	}
	return t.Filled()
}

// lossTable is where the pressure goes at the operating point.
func (w words) lossTable(h *duty.HeaterResult) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{right("core "+drop.shown(w), 1), right("turns "+drop.shown(w), 1), right("ducts "+drop.shown(w), 1), right("together "+drop.shown(w), 1), right("gate open", 1)},
		Rows: [][]string{{drop.text(w, h.CoreLoss), drop.text(w, h.TurnLoss), drop.text(w, &h.DuctLoss), drop.text(w, h.Loss), percent(h.Gate)}}}
	for _, o := range h.Outlets {
		t.Columns = append(t.Columns, right(o.Name+" "+flow.shown(w), 1))
		t.Rows[0] = append(t.Rows[0], flow.text(w, &o.Flow))
	}
	return t.Filled()
}

// pathTable is the heater pass by pass, from the air's inlet.
func (w words) pathTable(h *duty.HeaterResult) draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{right("pass", 0.7), right("air in "+warm.shown(w), 1), right("out", 1), right("liquid in "+warm.shown(w), 1.2), right("out", 1),
		right("UA W/K", 1), right("loss "+drop.shown(w), 1), right("in the fins "+speed.shown(w), 1.2), right("Reynolds", 1)}}
	for k, p := range h.Path {
		v, re := "", ""
		if p.Velocity > 0 {
			v, re = speed.text(w, &p.Velocity), fmt.Sprintf("%.0f", p.Reynolds)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(k + 1), w.degrees(p.AirIn), w.degrees(p.AirOut), draw.Number(warm.number(w, p.LiquidIn), 1), draw.Number(warm.number(w, p.LiquidOut), 1),
			short(float64(p.UA)), drop.text(w, &p.Loss), v, re})
	}
	return t.Filled()
}

// ducts is the heater with ducts of other sizes.
func (w words) ducts(f *draw.Flow, h *duty.HeaterResult) {
	if len(h.DuctTable) < 2 {
		return
	}
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{right("first bore "+depth.shown(w), 1), right("air "+flow.shown(w), 1), right("air out "+warm.shown(w), 1), right("heat "+power.shown(w), 1),
		right("useful "+power.shown(w), 1), right("ducts "+drop.shown(w), 1), {Head: "", Share: 1.6}}}
	for _, s := range h.DuctTable {
		word := ""
		if s.Chosen {
			word = "wider brings little more"
		}
		t.Rows = append(t.Rows, []string{depth.text(w, &s.Bore), flow.text(w, &s.AirFlow), w.degrees(s.AirOut), power.text(w, &s.Heat), power.text(w, s.Useful), drop.text(w, &s.Loss), word})
	}
	f.Heading("With ducts of another size")
	f.Table(t.Filled())
}

// cases sets the heater's case beside the other days.
func (w words) cases(f *draw.Flow, p job.Plan) {
	d := p.Duty
	if len(d.Days) == 0 {
		return
	}
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "case", Share: 2.2}, right("outside "+warm.shown(w), 1.1), right("air "+flow.shown(w), 1), right("air out "+warm.shown(w), 1.1), right("liquid out "+warm.shown(w), 1.2),
		right("useful "+power.shown(w), 1.1), right("margin "+power.shown(w), 1.2), right("settles at "+warm.shown(w), 1.2), {Head: "screen", Share: 1.1}, right("wall "+warm.shown(w), 1)}}
	first := duty.DayResult{Name: "as the job has it", Outside: d.Air.Temperature, Settles: d.Heater.Settles, Wall: d.Heater.AirOut,
		DayAir: &duty.DayAir{AirFlow: d.Heater.AirFlow, AirOut: d.Heater.AirOut, LiquidOut: d.Heater.LiquidOut, Useful: d.Heater.Useful}}
	if d.Cabin != nil {
		first.Margin, first.Demist = d.Cabin.Margin, d.Cabin.Demist
	}
	for _, day := range append([]duty.DayResult{first}, d.Days...) {
		t.Rows = append(t.Rows, w.caseRow(day))
	}
	f.Heading("In every case")
	f.Lead("Margin is what is left over the cabin's need. The wall is as hot as the air with the valve open, and as the liquid in a soak.")
	f.Table(t.Filled())
}

func (w words) caseRow(day duty.DayResult) []string {
	name := day.Name
	if day.Kind != "" && name != string(day.Kind) {
		name += " (" + string(day.Kind) + ")"
	}
	row := []string{name, w.degrees(day.Outside), "", "", "", "", power.text(w, day.Margin), "", "", w.degrees(day.Wall)}
	if day.Idle {
		row[6] = "no need"
	}
	if a := day.DayAir; a != nil {
		row[2], row[3], row[4], row[5] = flow.text(w, &a.AirFlow), w.degrees(a.AirOut), w.degrees(a.LiquidOut), power.text(w, a.Useful)
	}
	if day.Settles != nil {
		row[7] = w.degrees(*day.Settles)
	}
	if day.Demist != nil {
		row[8] = map[bool]string{true: "clear", false: "mists"}[day.Demist.Clear]
	}
	return row
}

// cabin says in a paragraph how the cabin fares.
func (w words) cabin(f *draw.Flow, p job.Plan) {
	c := p.Duty.Cabin
	if c == nil || c.Margin == nil || c.Need == 0 {
		return
	}
	says := "Cabin: it needs " + power.said(w, c.Need)
	if m := *c.Margin; m >= 0 {
		says += "; the heater leaves " + power.said(w, m) + " over"
	} else {
		says += "; the heater lacks " + power.said(w, -m)
	}
	if c.Warmup != nil {
		says += fmt.Sprintf(", and warms it from cold in %.0f min", math.Ceil(float64(*c.Warmup)/60))
	}
	if c.Settles != nil {
		says += fmt.Sprintf(". Wide open it would come to %s %s", w.degrees(*c.Settles), warm.shown(w))
	}
	f.Para(says + ".")
}

// screen says what keeping the screen clear takes.
func (w words) screen(f *draw.Flow, p job.Plan) {
	if p.Duty.Cabin == nil || p.Duty.Cabin.Demist == nil {
		return
	}
	d := p.Duty.Cabin.Demist
	needed := "no flow of this air is enough"
	if d.Needed != nil {
		needed = flow.said(w, *d.Needed) + " of it would do"
	}
	f.Heading("The screen")
	f.Para(fmt.Sprintf("The cabin's air mists at %s %s, so the pane must be %s %s inside. Bare it would be %s %s; with %s blown at it, %s %s; %s.",
		w.degrees(d.Dew), warm.shown(w), w.degrees(d.Limit), warm.shown(w), w.degrees(d.Bare), warm.shown(w), flow.said(w, d.Blown), w.degrees(d.Pane), warm.shown(w), needed))
}

// residuals shows how far test points lie from the core that was fitted to them.
func (w words) residuals(f *draw.Flow, h *duty.HeaterResult) {
	if len(h.Residuals) == 0 {
		return
	}
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{right("point", 0.6), right("UA measured W/K", 1), right("UA fitted W/K", 1), right("off by", 1), right("heats apart by", 1)}}
	for i, r := range h.Residuals {
		apart := ""
		if r.Balance != nil {
			apart = fmt.Sprintf("%.1f %%", 100**r.Balance)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), short(float64(r.UA)), short(float64(r.Fitted)), draw.Number(100*(float64(r.Fitted/r.UA)-1), 1) + " %", apart})
	}
	f.Heading("Test points of the core")
	f.Table(t.Filled())
}

// ways sets the heater beside other ways to the same heat.
func (w words) ways(f *draw.Flow, p job.Plan) {
	if len(p.Duty.Alternatives) == 0 {
		return
	}
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "way", Share: 1.2, Face: draw.Bold}, right("heat "+power.shown(w), 0.8), right("from the engine "+power.shown(w), 1), right("fuel kg/h", 0.8), right("mass "+mass.shown(w), 0.7), right("moving parts", 1),
		{Head: "what fails", Share: 2.6}, {Head: "needs", Share: 3}}}
	for _, a := range p.Duty.Alternatives {
		fuel := ""
		if a.Fuel != nil {
			fuel = strconv.FormatFloat(3600*float64(*a.Fuel), 'g', 2, 64)
		}
		t.Rows = append(t.Rows, []string{a.Name, power.text(w, a.Heat), power.text(w, a.Shaft), fuel, mass.text(w, &a.Mass), fmt.Sprint(a.Moving), si.Typeset(a.Fails), si.Typeset(a.Needs)})
	}
	f.Heading("Other ways to the same heat")
	f.Lead("Masses and efficiencies are rough and assumed. Whatever heats the air, fit a carbon monoxide alarm: an exhaust leaks into any cabin.")
	f.Table(t)
}
