package job_test

import (
	"strings"
	"testing"

	"laywright/internal/base/fault"
)

// Every part that is made is asked how hot it gets and what hurts if it fails,
// heated or not; one that says so is not.
func TestEveryPartIsAsked(t *testing.T) {
	silent := kit
	p := mustMake(t, silent)
	if f := finding(p, "hottest-not-told"); f == nil || f.Severity != fault.Caution {
		t.Errorf("nobody asks how hot the part gets: %+v", f)
	}
	if finding(p, "consequence-not-told") == nil {
		t.Error("nobody asks what happens if it fails")
	}
	told := mustMake(t, silent+"\nduty: {loads: {wall_temperature: \"40 degC\"}}\n")
	if finding(told, "hottest-not-told") != nil {
		t.Error("a part whose hottest case is told is asked for it")
	}
	if finding(mustMake(t, "laywright: 1\n"), "hottest-not-told") != nil {
		t.Error("a job without a part is asked how hot it gets")
	}
}

// An intake elbow believed good to 105 degC: a resin that ends at 95 degC however
// it is cured has at most 95 − 15 − 28 = 52 degC to give, [mil-hdbk-17-1f]. Where no
// cure is worked out the duty says so.
func TestNoGlassMargin(t *testing.T) {
	for wall, stopped := range map[string]bool{"105 degC": true, "45 degC": false} {
		p := mustMake(t, kit+"\nduty: {loads: {wall_temperature: \""+wall+"\"}}\n")
		if p.Cure != nil {
			t.Fatal("the job has a cure")
		}
		if f := finding(p, "no-glass-margin"); (f != nil) != stopped || f != nil && (f.Severity != fault.Stop || !strings.Contains(f.Why, "28 K of margin")) {
			t.Errorf("%s: %+v", wall, f)
		}
	}
}
