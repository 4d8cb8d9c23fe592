package strengthdraw

import (
	"fmt"

	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/doc/draw"
)

func right(head string, share float64) draw.Column {
	return draw.Column{Head: head, Share: share, Align: draw.End}
}

// numbers is what the part does against what it may, and where.
func (s *sheet) numbers() draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "What", Share: 1.5, Face: draw.Bold}, right("Worked out", 1.4), right("Limit", 1), {Head: "Where", Share: 3.1}}}
	add := func(what, number, limit, where string) { t.Rows = append(t.Rows, []string{what, number, limit, where}) }
	limit := "none in the job"
	if l := s.limit(1); l != nil {
		limit = show(s.words, si.Length(*l))
	}
	add("moves at most", show(s.words, s.Deflection), limit, s.deepest()+"at "+s.words.Place(s.DeflectionAt))
	if s.Thermal != nil {
		add("moves by heat alone", show(s.words, *s.Thermal), "", "")
	}
	if s.broken() {
		add("strength used", "broken", "100 %", "by heat alone, before any load")
	}
	if s.Index != nil {
		where := ""
		if w := s.Worst; w != nil {
			where = fmt.Sprintf("%s, %s, by %s, in \"%s\", at %s", w.Layer, w.Mode, by(w.Criterion), w.Case, s.words.Place(w.At))
		}
		add("strength used", percent(*s.Index*s.Factor), "100 %", where)
	}
	if s.Margin != nil {
		add("margin", draw.Number(*s.Margin, 2), "0", "1/(failure index × factor) − 1")
	}
	if s.Snaps != nil {
		add("snaps", times(*s.Snaps)+" its load", times(s.Factor), "no rest was found near, beyond that")
	}
	if s.Buckling != nil {
		add("folds (buckles)", times(*s.Buckling)+" its load", times(s.Factor), "dents and uneven thickness lower it, often by half")
	}
	if s.Frequency != nil {
		where := "held as below, nothing hung on it"
		if s.OffOrder != nil {
			where += fmt.Sprintf("; %s off the nearest engine order", percent(*s.OffOrder))
		}
		add("swings first", hertz(*s.Frequency), "", where)
	}
	if i := s.weakestFastener(); i >= 0 {
		f := s.Fasteners[i]
		add("fasteners, margin", draw.Number(*f.Margin, 2), "0", fmt.Sprintf("no. %d, %s, in \"%s\"", i+1, f.Mode, f.Case))
	}
	if b := s.Bond; b != nil {
		add("bond line, margin", draw.Number(b.Margin, 2), "0", fmt.Sprintf("peaks of %s in shear and %s in peel, in \"%s\", at %s", show(s.words, b.Shear), show(s.words, b.Peel), b.Case, s.words.Place(b.At)))
	}
	return t
}

// deepest names the case that moves the wall most.
func (s *sheet) deepest() string {
	for _, c := range s.Cases {
		if c.Deflection == s.Deflection {
			return fmt.Sprintf("in \"%s\", ", c.Name)
		}
	}
	return ""
}

// caseTable lists what each case puts on the part and what that does.
func (s *sheet) caseTable() draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Case", Share: 2.4}, right("Pressure", 1.1), right("g", 0.6), right("Push", 0.9), right("Wall", 0.9),
		right("Moves", 1.1), right("Index", 0.9), right("Used", 0.9), right("Margin", 0.9)}}
	for i, c := range s.Cases {
		row := make([]string, len(t.Columns))
		row[0], row[5] = c.Name, show(s.words, c.Deflection)
		s.loadsOf(i, row)
		if c.Index != nil {
			row[6], row[7] = draw.Short(*c.Index), percent(*c.Index*s.Factor)
			if *c.Index > 0 {
				row[8] = draw.Number(1/(*c.Index*s.Factor)-1, 2)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t.Filled()
}

// loadsOf fills in what a case puts on the part.
func (s *sheet) loadsOf(i int, row []string) {
	d := s.plan.Duty
	if d == nil || d.Loads == nil || i >= len(d.Loads.Cases) {
		return
	}
	c := d.Loads.Cases[i]
	if c.Pressure != 0 {
		row[1] = show(s.words, c.Pressure)
	}
	if c.Inertia != 0 {
		row[2] = draw.Short(c.Inertia)
	}
	if c.Handling != 0 {
		row[3] = show(s.words, c.Handling)
	}
	if c.Wall != nil {
		row[4] = show(s.words, *c.Wall)
	}
}

// criteriaTable lists what each criterion finds.
func (s *sheet) criteriaTable() draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "By", Share: 1.5}, right("Index", 0.8), {Head: "Layer", Share: 2.2}, {Head: "How", Share: 1.6}, {Head: "Case", Share: 2.4}, {Head: "At", Share: 1.6}}}
	for _, c := range wall.Criteria {
		if w, known := s.ByCriterion[c]; known {
			t.Rows = append(t.Rows, []string{by(c), draw.Short(w.Index), w.Layer, w.Mode, w.Case, s.words.Place(w.At)})
		}
	}
	return t
}

// fastenerTable lists what each fastener bears, by the numbers on the map.
func (s *sheet) fastenerTable() draw.Table {
	t := draw.Table{Size: draw.Small, Columns: []draw.Column{{Head: "Fastener", Share: 0.9}, {Head: "At", Share: 1.7}, right("Pull", 0.9), right("Shear", 0.9), right("To the edge", 1.1),
		{Head: "Weakest in", Share: 1.2}, right("Margin", 0.8), {Head: "In the case", Share: 2.4}}}
	for i, f := range s.Fasteners {
		margin := ""
		if f.Margin != nil {
			margin = draw.Number(*f.Margin, 2)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), s.words.Place(f.At), show(s.words, f.Pull), show(s.words, f.Shear), s.words.Length(float64(f.Edge)), f.Mode, margin, f.Case})
	}
	return t.Filled()
}

// weakestFastener is the place in the list of the one of the least margin; -1: none is known.
func (s *sheet) weakestFastener() int {
	least := -1
	for i, f := range s.Fasteners {
		if f.Margin != nil && (least < 0 || *f.Margin < *s.Fasteners[least].Margin) {
			least = i
		}
	}
	return least
}
