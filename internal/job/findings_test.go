package job_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// bagged is a whole kit under vacuum: its resin bleeds.
const bagged = kit + `
shop: {temperature: "20 degC", humidity: "50 %", elevation: "1300 m"}
wetout: {cup_limit: "100 g", lost: "20 %"}
bag: {style: envelope, vacuum: "22 inHg"}
cure: {in: room}
bench: {hands: 1}
`

func TestFindingsAreTidy(t *testing.T) {
	for name, source := range map[string]string{"nothing": "laywright: 1\n", "kit": kit, "bagged": bagged,
		"too much vacuum": strings.Replace(bagged, "22 inHg", "30 inHg", 1)} {
		t.Run(name, func(t *testing.T) { checkFindings(t, mustMake(t, source)) })
	}
}

var kebab = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checkFindings holds what every reader of findings counts on.
func checkFindings(t *testing.T, p job.Plan) {
	t.Helper()
	if p.Findings == nil {
		t.Error("the list of findings is nil, which JSON shows as null")
	}
	rank := map[fault.Severity]int{fault.Stop: 1, fault.Caution: 2, fault.Note: 3}
	last := 0
	for _, f := range p.Findings {
		switch r := rank[f.Severity]; {
		case r == 0:
			t.Errorf("%s: severity is %q", f.Code, f.Severity)
		case r < last:
			t.Errorf("%s: a %s stands after one less bad", f.Code, f.Severity)
		default:
			last = r
		}
		if !kebab.MatchString(f.Code) {
			t.Errorf("code %q is not in kebab case", f.Code)
		}
		if f.Stage != "job" && !slices.Contains(job.StageNames[:], f.Stage) {
			t.Errorf("%s: %q is no stage", f.Code, f.Stage)
		}
		if !strings.HasSuffix(f.What, ".") || strings.HasSuffix(f.What, "..") || len(f.What) < 2 {
			t.Errorf("%s: what is no sentence: %q", f.Code, f.What)
		}
		if f.Why == "" || strings.HasSuffix(f.Why, ".") || strings.HasSuffix(f.Do, ".") || f.Do == "" && f.Severity != fault.Note {
			t.Errorf("%s: why %q, do %q", f.Code, f.Why, f.Do)
		}
		for _, x := range []*float64{f.Value, f.Limit} {
			if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
				t.Errorf("%s: value or limit is %v", f.Code, *x)
			}
		}
	}
}

// Every plan says that it is no approval, and dangers come with the work that has them.
func TestCautionsGoWithTheWork(t *testing.T) {
	for _, c := range []struct {
		source string
		codes  string
	}{
		{"laywright: 1\n", "not-an-approval"},
		{plate + plies, "flammability not-an-approval"},
		{kit, "resin-skin exotherm dust flammability not-an-approval"},
		{bagged, "resin-skin exotherm dust vacuum flammability not-an-approval"},
		{strings.Replace(bagged, "room", "box-oven, schedule: {unit: [h, degC], points: [[0, 20], [24, 20], [26, 60], [34, 60]]}", 1),
			"resin-skin exotherm dust vacuum oven-fire flammability not-an-approval"},
		{strings.Replace(heater, "soup", "glycol-50", 1), "cabin-air not-an-approval"},
	} {
		p := mustMake(t, c.source)
		var codes []string
		for _, x := range p.Cautions() {
			codes = append(codes, x.Code)
			if !slices.ContainsFunc(p.Findings, func(f fault.Finding) bool { return f.Code == "caution-"+x.Code }) {
				t.Errorf("caution %s is not among the findings", x.Code)
			}
		}
		if got := strings.Join(codes, " "); got != c.codes {
			t.Errorf("cautions %q, want %q", got, c.codes)
		}
	}
}

// The part weighs what was laid less what the bleeder takes.
func TestMassIsLaidLessBled(t *testing.T) {
	p := mustMake(t, bagged)
	if p.Bag.Bled <= 0 {
		t.Fatalf("nothing bleeds: %v kg", p.Bag.Bled)
	}
	near := func(what string, got, want float64) {
		if !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("%s is %v kg, want %v", what, got, want)
		}
	}
	bled := float64(p.Bag.Bled)
	near("mass", float64(*p.Mass), float64(p.Wetout.PartMass)-bled)
	near("least mass", float64(*p.MassLow), float64(p.Wetout.MassLow)-bled)
	near("most mass", float64(*p.MassHigh), float64(p.Wetout.MassHigh)-bled)
	if !(*p.MassLow < *p.Mass && *p.Mass < *p.MassHigh) {
		t.Errorf("mass %v is not between %v and %v", *p.Mass, *p.MassLow, *p.MassHigh)
	}
	dry := mustMake(t, kit)
	near("mass without a bag", float64(*dry.Mass), float64(dry.Wetout.PartMass))
	if none := mustMake(t, "laywright: 1\n"); none.Mass != nil {
		t.Errorf("a plan without cloth weighs %v", *none.Mass)
	}
	// dry fibre of three plies of 193 g/m2 on 0.35 m2, by hand
	near("cloth", float64(p.Wetout.Cloth), 3*0.193*0.35)
}
