package job_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
)

const located = `laywright: 1
laminate:
  resin: r
  fibre_fraction: 0.45
  stack:
    - {fabric: a, angle: "0 deg"}
    - {fabric: b, angle: "0 deg"}
`

// An error is shown where its field stands, else at the nearest value round it,
// else at the file's beginning.
func TestLocate(t *testing.T) {
	f := mustRead(t, located)
	limits := &fault.Range{Field: "laminate.fibre_fraction", Value: 0.9, Min: 0.2, Max: 0.75, Why: "packing"}
	fabric := &fault.Input{Field: "laminate.stack[1].fabric", What: "b is not in the library"}
	within := &fault.Input{Field: "laminate.stack[1].resin_ratio", What: "is too low"}
	absent := &fault.Input{Field: "cure.resin", What: "is not told"}
	lost := &fault.NoSolution{What: "a schedule", Steps: 9}
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"input", fabric, "7:16"},
		{"range", limits, "4:19"},
		{"wrapped", fmt.Errorf("laminate: %w", fabric), "7:16"},
		{"nearest round it", within, "7:7"},
		{"no such section", absent, "1:1"},
		{"no field", lost, "1:1"},
		{"several, in their order in the file", errors.Join(fabric, limits), "4:19 7:16"},
		{"several within several", errors.Join(errors.Join(fabric, lost), limits), "1:1 4:19 7:16"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := places(f.Locate(test.err)); got != test.want {
				t.Errorf("at %s, want %s", got, test.want)
			}
		})
	}
}

// Several errors of one stage come wrapped in its name: each keeps its place and
// says its field.
func TestLocateSeveralOfOneStage(t *testing.T) {
	f := mustRead(t, located)
	err := fmt.Errorf("laminate: %w", errors.Join(&fault.Input{Field: "laminate.stack[1].fabric", What: "b is not in the library"},
		&fault.Input{Field: "laminate.resin", What: "r is not in the library"}))
	got := f.Locate(err)
	if places(got) != "3:10 7:16" {
		t.Fatalf("at %s, want 3:10 7:16", places(got))
	}
	for _, p := range got {
		if strings.Contains(p.What, "\n") || !strings.HasPrefix(p.What, "laminate.") {
			t.Errorf("%q is not one problem of the laminate stage", p.What)
		}
	}
}

func places(problems []bind.Problem) string {
	var out []string
	for _, p := range problems {
		out = append(out, fmt.Sprintf("%d:%d", p.Line, p.Column))
	}
	return strings.Join(out, " ")
}

// What Make refuses stands at the value that is at fault: the last place in the
// job where that text stands.
func TestRefusalsStandAtTheirValues(t *testing.T) {
	for _, c := range []struct{ name, source, at string }{
		{"fraction", strings.Replace(kit, "0.42", "0.95", 1), "0.95"},
		{"resin", strings.Replace(kit, "epoxy-slow", "epoxy-slo", 1), "laminating-epoxy-slo"},
		{"fabric", strings.Replace(kit, "{fabric: carbon-plain-193, angle: \"0 deg\"}]", "{fabric: carbon-plain-19, angle: \"0 deg\"}]", 1), "carbon-plain-19,"},
		{"bleeder", kit + "bag: {style: envelope, bleeder: peel-ply-80}\n", "peel-ply-80"},
		{"film", kit + "bag: {style: envelope, film: none-such}\n", "none-such"},
		{"place of cure", kit + "cure: {in: bread-oven}\n", "bread-oven"},
		{"mould material", plate + "\n  materials: [birch-ply, butter]\n", "butter"},
		{"how it is held", plate + "\nduty: {loads: {pressure: \"1 kPa\"}}\npart: {held: {edge: glued}}\n" + plies, "glued"},
		{"fluid", heater, "soup"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := refusal(t, c.source)
			if got, want := places(f.Locate(err)), placeOf(c.source, c.at); got != want {
				t.Errorf("%v stands at %s, want %s", err, got, want)
			}
		})
	}
}

const (
	plate = `laywright: 1
mould:
  kind: plug
  solids: [{plate: {length: "200 mm", width: "100 mm"}}]
  pull: [0, 0, 1]`
	plies = `
materials: {plies: {p: {E1: "181 GPa", E2: "10.3 GPa", G12: "7.17 GPa", nu12: 0.28, thickness: "1 mm", density: "1600 kg/m^3"}}}
laminate: {stack: [{ply: p, angle: "0 deg"}]}
`
	heater = `laywright: 1
duty:
  heater:
    core: {rated: {UA: "120 W/K"}}
    liquid: {fluid: soup, flow: "18 L/min", inlet: "85 degC"}
    air: {inlet: "0 degC", flow: "0.06 kg/s"}
`
)

// placeOf returns line and column of the last place where text stands.
func placeOf(source, text string) string {
	at := strings.LastIndex(source, text)
	before := source[:at]
	return fmt.Sprintf("%d:%d", 1+strings.Count(before, "\n"), at-strings.LastIndex(before, "\n"))
}
