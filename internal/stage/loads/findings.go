package loads

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func finding(s fault.Severity, code, what, why, do string) fault.Finding {
	return fault.Finding{Stage: "duty", Severity: s, Code: code, What: what, Why: why, Do: do}
}

func lowPressure(needed, given float64) fault.Finding {
	return finding(fault.Caution, "pressure-too-low", "The duty can put more pressure on the part than it is made for.",
		"with the valve shut the whole of ram, blower or speed stands on the wall", "raise duty.loads.pressure").Against(needed, given, "Pa")
}

func lowSuction(needed, given float64) fault.Finding {
	return finding(fault.Caution, "suction-too-low", "The duty can pull harder at the part than it is made for.",
		"with the way in shut the blower and the cabin's exit draw on the wall", "raise duty.loads.suction").Against(needed, given, "Pa")
}

// strongPull is a pull that a hose needs more than its own grip against, N. Judgement.
const strongPull = 10

// untold asks for the loads that a heater's part has and the job does not give.
func (l Spec) untold(pull si.Force) (out []fault.Finding) {
	var lacks []string
	if l.Inertia == 0 {
		lacks = append(lacks, "inertia (in g; 6 for the airframe's own, 9 to 15 for what must not break loose in a crash)")
	}
	if l.Handling == nil {
		lacks = append(lacks, "handling (100 N of a hand on a spigot is usual)")
	}
	if len(lacks) > 0 {
		out = append(out, finding(fault.Note, "loads-not-told", "Some loads of the part are not told.",
			"the job is silent about "+strings.Join(lacks, " and "), "give them under duty.loads"))
	}
	if pull > strongPull {
		out = append(out, finding(fault.Note, "hose-pull", fmt.Sprintf("Pressure pulls each hose off with up to %.0f N, and its clamp squeezes the spigot.", float64(pull)),
			"a smooth laminate lets a hose slip, and creeps under a clamp when warm", "bead the spigot 1.5 to 2 mm high, clamp behind the bead, and bond a metal sleeve inside"))
	}
	return out
}

func soakAssumed(t si.Temperature) fault.Finding {
	return finding(fault.Note, "wall-at-liquid", fmt.Sprintf("The wall is taken as hot as the liquid, %.0f degC.", t.Celsius()),
		"with the air shut off the box soaks to the core's temperature; a red-hot exhaust near by adds to it",
		"give duty.loads.wall_temperature for the hottest credible case, soak after shut-down included")
}

func wallTooCool(given, soak si.Temperature) fault.Finding {
	return finding(fault.Caution, "wall-below-soak", "The wall may get hotter than it is made for.",
		"with the air shut off the box soaks to the liquid's temperature", "take the liquid's highest temperature as wall_temperature, or shield the wall and measure it").
		Against(soak.Celsius(), given.Celsius(), "degC")
}
