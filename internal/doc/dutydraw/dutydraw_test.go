package dutydraw

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/svg"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
)

// heater is a job with everything that the pages show; arrangement and show as given.
const heater = `
laywright: 1
job: {name: Heater}
show: %s
duty:
  heater:
    core: {measured: [{air_flow: "0.03 kg/s", air_in: "15 degC", liquid_flow: "0.3 kg/s", liquid_in: "90 degC", heat: "1.6 kW", air_out: "68 degC", air_loss: "12 Pa"},
      {air_flow: "0.06 kg/s", air_in: "15 degC", liquid_flow: "0.3 kg/s", liquid_in: "90 degC", heat: "2.6 kW", air_loss: "30 Pa"}]}
    arrangement: %s
    passes: %s
    liquid: {fluid: glycol-50, flow: "18 L/min", inlet: "85 degC", least_outlet: "70 degC", available: "2 kW", case_loss: "5 W/K"}
    box: {face: {width: "240 mm", height: "150 mm"}, depth: "50 mm"}
    air: {outside: "-20 degC", altitude: "2000 m", ram: {speed: "90 kt"}, outlet_limit: "80 degC"}
    throttle: auto
    ducts: [{hose: "76 mm", length: "2 m"}]
    wye: {branches: [{name: screen, ducts: [{hose: "51 mm", length: "1 m"}]}, {name: feet, ducts: [{hose: "51 mm", length: "1 m"}]}]}
    days: [{name: dawn, kind: coldest, outside: "-29 degC"}, {name: parked, kind: soak, liquid_inlet: "100 degC"}]
  cabin: {target: "15 degC", skin: "7 m^2", people: 2, demist: {screen: {area: "0.8 m^2", layers: [{thickness: "5 mm", conductivity: "0.19 W/(m*K)"}]}, outlet: screen}}
`

func plan(t *testing.T, show, arrangement, passes string) job.Plan {
	t.Helper()
	return jobtest.Plan(t, fmt.Sprintf(heater, show, arrangement, passes), nil)
}

func printed(pages ...draw.Page) string {
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

// Every arrangement in either system: three pictures whose tables stand on the
// pages, every case in one table, no number that is none, nothing off the page.
func TestPages(t *testing.T) {
	for _, show := range []string{"metric", "us"} {
		for _, arrangement := range []string{"across-counter", "across-parallel", "along"} {
			p := plan(t, show, arrangement, "3")
			f := draw.NewFlow(draw.A4(), "foot")
			Write(f, p)
			pages := f.Pages()[1:]
			all := printed(pages...)
			for _, s := range []string{"What the heater does", "Heat by number of passes", "Where supply meets demand, in 3 passes", "Temperatures through the passes",
				"dawn (coldest)", "parked (soak)", "The screen", "Cabin: it needs", "Test points of the core", "Other ways to the same heat", "screen", "feet"} {
				if !strings.Contains(all, s) {
					t.Errorf("%s, %s: no %q", show, arrangement, s)
				}
			}
			for _, s := range []string{"NaN", "Inf", "%!"} {
				if strings.Contains(all, s) {
					t.Errorf("%s, %s: %s in %s", show, arrangement, s, all)
				}
			}
			for _, page := range pages {
				for _, it := range page.Layers[0].Items {
					if b := it.Bounds(); b.Min.X < 10 || b.Min.Y < 10 || b.Max.X > page.W-10 || b.Max.Y > page.H-10 {
						t.Errorf("%s, %s: %T at %v leaves the page's margin", show, arrangement, it, b)
					}
				}
			}
			for _, pic := range Pictures(p) {
				var b bytes.Buffer
				if err := svg.Write(&b, pic.Page()); err != nil || strings.Contains(b.String(), "NaN") {
					t.Errorf("%s: %v", pic.Name, err)
				}
			}
		}
	}
}

// A plan without a heater has no page of it.
func TestNothingToSay(t *testing.T) {
	f := draw.NewFlow(draw.A4(), "foot")
	Write(f, job.Plan{})
	if n := len(f.Pages()); n != 1 || Pictures(job.Plan{}) != nil {
		t.Errorf("%d pages", n)
	}
}
