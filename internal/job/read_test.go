package job_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/si"
	"laywright/internal/job"
)

// The manners of writing a value; sizes of units by NIST SP 811.
func TestReadsTheMannersOfTheForm(t *testing.T) {
	f := mustRead(t, `
laywright: 1
job: {name: Demist box, quantity: 2, seed: 7}
show: us
shop: {temperature: "61 degF ± 4 degF", humidity: "55 %", elevation: "4300 ft", barometer: "25.6 inHg"}
duty: {loads: {pressure: "5 kPa", deflection_limit: "2 mm"}}
part: {area: "0.35 m^2 +/- 100 cm^2"}
laminate:
  fibre_fraction: 0.45
  stack: [{fabric: carbon-plain-193, angle: "45 deg", resin_ratio: "85 %"}]
  load: {Nx: "1000 N/m", dT: "54 delta_degF"}
cure: {resin: r, schedule: {unit: [min, degC], points: [[0, 20], [60, 60]]}}
materials: {resins: {r: {density: {value: "1150 kg/m^3", at: "23 degC", origin: measured, source: mine, spread: "2 %"}}}}
`)
	s := f.Spec
	stack := s.Laminate.Stack.Value
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"61 degF", float64(s.Shop.Temperature), (61 + 459.67) / 1.8},
		{"55 %", float64(s.Shop.Humidity), 0.55},
		{"4300 ft", float64(s.Shop.Elevation), 4300 * 0.3048},
		{"25.6 inHg", float64(s.Shop.Barometer), 25.6 * 3386.389},
		{"4 degF either way", f.Tolerances["shop.temperature"], 4 / 1.8},
		{"100 cm^2 either way", f.Tolerances["part.area"], 0.01},
		{"0.45", float64(*s.Laminate.FibreFraction), 0.45},
		{"45 deg", float64(stack[0].Angle), math.Pi / 4},
		{"85 %", float64(*stack[0].ResinRatio), 0.85},
		{"1000 N/m", float64(s.Laminate.Load.Nx), 1000},
		{"54 delta_degF", float64(s.Laminate.Load.DT), 30},
		{"60 min", float64(s.Cure.Schedule.Value.X[1]), 3600},
		{"60 degC", float64(s.Cure.Schedule.Value.Y[1]), 333.15},
		{"1150 kg/m^3", float64(s.Materials.Resins["r"].Density.Value), 1150},
		{"2 % of it", float64(s.Materials.Resins["r"].Density.Spread), 23},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-6*math.Abs(c.want)) {
			t.Errorf("%s is read as %v, want %v", c.what, c.got, c.want)
		}
	}
	if s.Show != si.US || s.Job.Quantity != 2 || s.Job.Seed != 7 || s.Job.Name != "Demist box" {
		t.Errorf("head is read as %+v, show %q", s.Job, s.Show)
	}
}

// A person mends a file once, not once a problem.
func TestReportsEveryProblemOfForm(t *testing.T) {
	_, problems := job.Read([]byte(`laywright: 2
show: imperial
shop: {temperature: "20", humidity: "155 %"}
laminat: {stack: auto}
job: {quantity: -1}
part: {area: "0.35 m"}
laminate: {fibre_fraction: "forty", stack: [{fabric: a, angel: "0 deg"}]}
roll: {pieces: {name: a}}
`))
	want := []string{
		"1:12 laywright", "2:7 show", "3:24 shop.temperature", "3:37 shop.humidity", "4:1 laminat", "5:17 job.quantity",
		"6:20 part.area", "7:29 laminate.fibre_fraction", "7:57 laminate.stack[0].angel", "8:16 roll.pieces",
	} // columns counted by hand: the value's first letter, or where a unit goes wrong
	var got []string
	for _, p := range problems {
		got = append(got, fmt.Sprintf("%d:%d %s", p.Line, p.Column, p.Path))
	}
	if !slices.Equal(got, want) {
		t.Errorf("problems\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A refusal says what to write instead.
func TestProblemsSayWhatToWrite(t *testing.T) {
	for _, c := range []struct{ source, says string }{
		{"", "laywright: 1"},
		{"part: {area: \"1 m^2\"}\n", "laywright: 1"},
		{"laywright: 1\nshow: imperial\n", "us or metric"},
		{"laywright: 1\nlaminat: {}\n", "laminate"},
		{"laywright: 1\npart: {area: 0.35}\n", "unit"},
		{"laywright: 1\npart: {area: \"0.35 mm\"}\n", "area"},
		{"laywright: 1\nshop: {humidity: \"155 %\"}\n", "at most 1 (100 %)"},
		{"laywright: 1\njob: {quantity: -2}\n", "at least 1"},
		{"laywright: 1\npart: [\n", "YAML"},
		{"laywright: 1\npart:\n", "give it a value"},
		{"laywright: 1\npart: {area: \"1 m^2\"}\npart: {area: \"2 m^2\"}\n", "twice"},
	} {
		_, problems := job.Read([]byte(c.source))
		if len(problems) == 0 {
			t.Errorf("%q is read without a problem", c.source)
			continue
		}
		if p := problems[0]; !strings.Contains(p.What, c.says) || p.Line < 1 || p.Column < 1 {
			t.Errorf("%q: %d:%d %s; want it to say %q", c.source, p.Line, p.Column, p.What, c.says)
		}
	}
}
