package draw

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Wherever on the page it comes, a heading and its lead stand on the page where
// the table under them begins, with its first two rows.
func TestHeadingStaysWithWhatFollows(t *testing.T) {
	table := Table{Columns: []Column{{Head: "What", Share: 1}}, MinRow: 9}
	for i := range 20 {
		table.Rows = append(table.Rows, []string{fmt.Sprintf("row %d", i+1)})
	}
	for above := range 250 {
		f := NewFlow(A4(), "")
		f.Room(float64(above))
		f.Heading("Heading")
		f.Lead("Lead.")
		f.Table(table)
		at := pageOf(f.Pages())
		for _, s := range []string{"Lead.", "What", "row 1", "row 2"} {
			if at[s] != at["Heading"] {
				t.Fatalf("%d mm above: the heading is on page %d, %q on page %d", above, at["Heading"], s, at[s])
			}
		}
		if at["row 19"] != at["row 20"] {
			t.Fatalf("%d mm above: the last row is alone on page %d", above, at["row 20"])
		}
	}
}

// A short table and a box are never broken; a heading that nothing follows is
// still written.
func TestKeptWhole(t *testing.T) {
	for above := range 250 {
		f := NewFlow(Letter(), "")
		f.Room(float64(above))
		f.Table(Table{Columns: []Column{{Share: 1}}, MinRow: 9, Rows: [][]string{{"first"}, {"b"}, {"c"}, {"last"}}})
		f.Callout(true, "head", "body", "one", "two")
		f.Heading("end")
		at := pageOf(f.Pages())
		if at["first"] != at["last"] || at["head"] != at["two"] || at["end"] == 0 {
			t.Fatalf("%d mm above: %v", above, at)
		}
	}
}

// pageOf tells on which page words stand first, from 1.
func pageOf(pages []Page) map[string]int {
	at := map[string]int{}
	for i, p := range pages {
		for _, it := range p.Layer(Paper) {
			if x, ok := it.(Text); ok && at[x.String] == 0 {
				at[x.String] = i + 1
			}
		}
	}
	return at
}

// A settled axis has its ticks at the round values that it was rounded to, and
// at least two of them however short the chart. −95 to 270 in two steps is
// rounded to −200 to 400 by 200.
func TestAxisKeepsItsStep(t *testing.T) {
	a := Axis{}.over([]float64{-95, 270}, 2)
	got, _ := a.ticks(2)
	if fmt.Sprint(got) != "[-200 0 200 400]" {
		t.Errorf("ticks %v from %g to %g", got, a.Low, a.High)
	}
	if a := (Axis{Tight: true}).over([]float64{0, 41}, 5); a.High != 41 {
		t.Errorf("a tight axis ends at %g", a.High)
	}
}

// A word too long for its line breaks behind a hyphen.
func TestSplitAtHyphen(t *testing.T) {
	got := Wrap("carbon-twill-200", Regular, Body, Width("carbon-twill-2", Regular, Body))
	if fmt.Sprint(got) != "[carbon-twill- 200]" {
		t.Errorf("%q", got)
	}
}

// Label and limit of a legend never overlap and stay in its box, however narrow
// it is and wherever the limit lies.
func TestLegendWordsKeepApart(t *testing.T) {
	for _, wide := range []float64{32, 40, 90} {
		for _, limit := range []float64{0, 0.2, 1, 40} {
			r := Range{Ramp: Sequential(), High: 1, Limit: &limit, Label: "strength used"}
			box := r2.NewBox(10, 10, 10+wide, 10+LegendHeight)
			var label, words r2.Box
			for _, it := range r.Legend(box) {
				x, ok := it.(Text)
				switch {
				case ok && x.String == r.Label:
					label = x.Bounds()
				case ok && x.Colour == Accent:
					words = x.Bounds()
				}
			}
			apart := words.Min.X >= label.Max.X || words.Max.Y <= label.Min.Y
			if !apart || words.Min.Y < 9 || words.Max.X > box.Max.X+0.1 || words.Min.X < box.Min.X-0.1 {
				t.Errorf("%g mm, limit %g: %v beside %v", wide, limit, words, label)
			}
		}
	}
}
