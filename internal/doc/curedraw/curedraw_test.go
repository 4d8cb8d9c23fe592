package curedraw

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"laywright/internal/base/resin"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
)

const fromSheet = `
laywright: 1
job: {name: Cure}
show: %s
cure:
  resin: laminating-epoxy-slow
  schedule: {unit: [h, degC], points: [[0, 20], [24, 20], [26, 60], [34, 60]]}
`

func plan(t *testing.T, show string) job.Plan {
	t.Helper()
	return jobtest.Plan(t, fmt.Sprintf(fromSheet, show), nil)
}

func printed(pages []draw.Page) string {
	var all []string
	for _, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if x, ok := it.(draw.Text); ok {
					all = append(all, x.String)
				}
			}
		}
	}
	return strings.Join(all, " ")
}

// In either system: what is worked out stands on the pages in the job's units, no
// number is none, and nothing lies off the page.
func TestPages(t *testing.T) {
	for show, degree := range map[string]string{"metric": "°C", "us": "°F"} {
		p := plan(t, show)
		f := draw.NewFlow(draw.A4(), "")
		Write(f, p)
		pages := f.Pages()
		text := printed(pages)
		w := wordsOf(p)
		for _, want := range []string{"How it hardens", "gels", degree, w.warmText(p.Cure.Tg), w.warmText(p.Cure.ServiceLimit), "pot life"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is not on the pages", show, want)
			}
		}
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("%s: a number is none: %s", show, text)
		}
		for _, page := range pages {
			for _, l := range page.Layers {
				for _, it := range l.Items {
					if b := it.Bounds(); b.Min.X < -0.01 || b.Max.X > page.W+0.01 || b.Min.Y < -0.01 || b.Max.Y > page.H+0.01 {
						t.Errorf("%s: %T at %v lies off the page", show, it, b)
					}
				}
			}
		}
	}
}

func TestNothingWithoutCure(t *testing.T) {
	if got := Pictures(job.Plan{}); got != nil {
		t.Errorf("%d pictures of no cure", len(got))
	}
}

// Half and twice the time are the ends of the scale, the sheet's number its
// middle, and the bearable a quarter more.
func TestPlace(t *testing.T) {
	for _, c := range []struct {
		r    resin.Reading
		want float64
	}{
		{resin.Reading{Sheet: 100, Model: 100, Unit: "s"}, 0},
		{resin.Reading{Sheet: 100, Model: 200, Unit: "s"}, 1},
		{resin.Reading{Sheet: 100, Model: 50, Unit: "s"}, -1},
		{resin.Reading{Sheet: 60, Model: 50, Unit: "degC"}, -0.5},
	} {
		if at, _, _ := place(c.r); math.Abs(at-c.want) > 1e-12 {
			t.Errorf("%v lies at %g, not %g", c.r, at, c.want)
		}
	}
	if at, _, high := place(resin.Reading{Sheet: 100, Model: 125, Unit: "s"}); math.Abs(at-high) > 1e-12 {
		t.Errorf("a quarter more lies at %g, the end of the bearable at %g", at, high)
	}
}
