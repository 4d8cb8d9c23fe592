package job_test

import (
	"strings"
	"testing"

	"laywright/internal/job"
)

// A cup of resin without a part: the stages that need a laminate are left out, and
// those that need none run.
func TestMixAlone(t *testing.T) {
	p := mustMake(t, "laywright: 1\nwetout: {mix: \"300 g\", resin: laminating-epoxy-slow}\nbag: {vacuum: \"22 inHg\"}\ncure: {in: room, schedule: {unit: [h, degC], points: [[0, 20], [24, 20]]}}\nbench: {hands: 2}\n")
	if got := ran(p); got != "wetout bag cure" {
		t.Errorf("ran %s", got)
	}
	if p.Mass != nil || len(p.Wetout.Pots) != 3 || p.Wetout.Cup == nil {
		t.Errorf("mass %v, %d pots", p.Mass, len(p.Wetout.Pots))
	}
	checkJSON(t, p)
}

// One job has one resin.
func TestOneResin(t *testing.T) {
	for _, source := range []string{
		"wetout: {mix: \"300 g\", resin: laminating-epoxy-slow}\ncure: {resin: laminating-epoxy-fast}\n",
		"wetout: {resin: laminating-epoxy-slow}\nlaminate: {resin: laminating-epoxy-fast, stack: [{fabric: carbon-plain-193}]}\n",
	} {
		_, problems := job.Read([]byte("laywright: 1\n" + source))
		if len(problems) != 1 || !strings.Contains(problems[0].What, "or name the same") {
			t.Errorf("%s%v", source, problems)
		}
	}
}

// A part without an extent is refused where it is written.
func TestAreaIsMoreThanNone(t *testing.T) {
	for _, area := range []string{"0 m^2", "-3.8 ft^2"} {
		_, problems := job.Read([]byte("laywright: 1\npart: {area: \"" + area + "\"}\n"))
		if len(problems) != 1 || problems[0].Path != "part.area" || !strings.Contains(problems[0].What, "more than 0") {
			t.Errorf("%s: %v", area, problems)
		}
	}
}
