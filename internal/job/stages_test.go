package job_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"laywright/internal/job"
)

// kit is a part without a mould: its area is told.
const kit = `
laywright: 1
part: {area: "0.35 m^2"}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.42
  stack: [{fabric: carbon-plain-193, angle: "0 deg"}, {fabric: carbon-plain-193, angle: "45 deg"}, {fabric: carbon-plain-193, angle: "0 deg"}]
`

// A section may stand alone: the stages whose inputs are there run, and each
// other says what it lacks.
func TestWhichStagesRun(t *testing.T) {
	const plies = `{E1: "181 GPa", E2: "10.3 GPa", G12: "7.17 GPa", nu12: 0.28, thickness: "1 mm"}`
	tests := []struct {
		name, source, ran string
		missing           map[string]string
	}{
		{"nothing", "laywright: 1\n", "", map[string]string{
			"duty": "duty", "mould": "mould or part.area", "laminate": "laminate", "plies": "mould, laminate.stack with cloth",
			"strength": "duty.loads, mould, laminate with known stiffness", "roll": "plies or roll.pieces",
			"wetout": "laminate.stack with cloth, laminate.resin, mould or part.area", "bag": "bag",
			"cure": "laminate.resin or cure.resin, cure", "bench": "bench, wet-out"}},
		{"air", "laywright: 1\nduty: {air: {altitude: \"10000 ft\"}}\n", "duty", map[string]string{"strength": "duty.loads, mould, laminate with known stiffness"}},
		{"measured plies", "laywright: 1\nmaterials: {plies: {p: " + plies + "}}\nlaminate: {stack: [{ply: p, angle: \"0 deg\"}]}\n",
			"laminate", map[string]string{"plies": "mould, laminate.stack with cloth", "wetout": "laminate.stack with cloth, laminate.resin, mould or part.area"}},
		{"area", "laywright: 1\npart: {area: \"1 m^2\"}\n", "mould", map[string]string{"plies": "mould, laminate.stack with cloth"}},
		{"plate", "laywright: 1\nmould: {kind: plug, solids: [{plate: {length: \"200 mm\", width: \"100 mm\"}}], pull: [0, 0, 1]}\n",
			"mould", map[string]string{"laminate": "laminate", "bench": "bench, wet-out"}},
		{"kit", kit, "mould laminate wetout", map[string]string{"plies": "mould", "bag": "bag", "cure": "cure", "bench": "bench"}},
		{"kit in a bag", kit + "bag: {style: envelope}\n", "mould laminate wetout bag", map[string]string{"cure": "cure", "bench": "bench"}},
		{"kit cured", kit + "cure: {in: room}\nbench: {hands: 2}\n", "mould laminate wetout cure bench", map[string]string{"bag": "bag"}},
		{"cure alone", "laywright: 1\ncure: {resin: laminating-epoxy-slow}\n", "cure", map[string]string{"laminate": "laminate"}},
		{"no kinetics", "laywright: 1\nmaterials: {resins: {r: {density: \"1150 kg/m^3\"}}}\ncure: {resin: r}\n",
			"", map[string]string{"cure": "materials.resins.r.kinetics"}},
		{"pieces", "laywright: 1\nroll: {search: \"0.1 s\", width: \"1 m\", pieces: [{name: a, count: 2, outline: {unit: mm, points: [[0,0],[300,0],[300,200],[0,200]]}}]}\n",
			"roll", map[string]string{"plies": "mould, laminate.stack with cloth"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := mustMake(t, test.source)
			if got := ran(p); got != test.ran {
				t.Errorf("ran %q, want %q", got, test.ran)
			}
			for stage, want := range test.missing {
				if got := strings.Join(missing(p, stage), ", "); got != want {
					t.Errorf("%s lacks %q, want %q", stage, got, want)
				}
			}
			checkStages(t, p)
		})
	}
}

// checkStages: every stage stands there once, in order, and either ran or lacked something.
func checkStages(t *testing.T, p job.Plan) {
	t.Helper()
	var names []string
	for _, s := range p.Stages {
		names = append(names, s.Name)
		if s.Ran != (len(s.Missing) == 0) || s.Missing == nil {
			t.Errorf("%s: ran %v, missing %v", s.Name, s.Ran, s.Missing)
		}
	}
	if !slices.Equal(names, job.StageNames[:]) {
		t.Errorf("stages %v, want %v", names, job.StageNames)
	}
}

// The caller is told of every stage when it begins, in order.
func TestWatchIsTold(t *testing.T) {
	var told []string
	in := job.Inputs{Library: library(t), Watch: func(name string) { told = append(told, name) }}
	if _, err := job.Make(t.Context(), mustRead(t, kit), in); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(told, job.StageNames[:]) {
		t.Errorf("told of %v", told)
	}
}

func TestCancelledBeforeItBegins(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := job.Make(ctx, mustRead(t, kit), job.Inputs{Library: library(t)}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
}

// Stopped while a stage runs, no later stage begins.
func TestCancelledOnTheWay(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	last := ""
	in := job.Inputs{Library: library(t), Watch: func(name string) {
		if last = name; name == "wetout" {
			cancel()
		}
	}}
	if _, err := job.Make(ctx, mustRead(t, kit), in); !errors.Is(err, context.Canceled) || last != "wetout" {
		t.Errorf("error %v after %s, want %v after wetout", err, last, context.Canceled)
	}
}

// A stage's refusal names the stage, and what came before it stays to be seen.
func TestRefusalNamesItsStage(t *testing.T) {
	source := strings.Replace(kit, "fibre_fraction: 0.42", "fibre_fraction: 0.95", 1)
	p, err := job.Make(t.Context(), mustRead(t, source), job.Inputs{Library: library(t)})
	if err == nil || !strings.HasPrefix(err.Error(), "laminate: ") {
		t.Errorf("error %v, want one of the laminate stage", err)
	}
	if p.Mould == nil || p.Laminate != nil || p.Wetout != nil {
		t.Errorf("after the refusal: mould %v, laminate %v, wet-out %v", p.Mould, p.Laminate, p.Wetout)
	}
}
