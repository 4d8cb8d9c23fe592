package tracefile

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// synthetic is a log that no oven wrote: nine hours at 3 min of a part that lags
// behind an oven's air with time constants of 25 and 55 min, from the evening over
// midnight, with noise, three spikes, an open lead and 39 min without readings.
func synthetic() string {
	var b strings.Builder
	b.WriteString("# synthetic log, made by internal/store/tracefile/synthetic_test.go\n")
	b.WriteString("Date,Time,TC1 flange (F),TC2 crown (F),TC3 oven air (F),Vacuum (inHg)\n")
	chance := uint32(1)
	noise := func() float64 { // even, ±0.15
		chance = chance*1664525 + 1013904223
		return (float64(chance>>8)/(1<<24) - 0.5) * 0.3
	}
	air, crown, flange := 18.0, 18.0, 18.0
	const step = 3.0 // min
	for i := range 181 {
		minute := step * float64(i)
		goal := 18 + math.Min(42, math.Max(0, (minute-120)/6))
		air += (goal - air) * (1 - math.Exp(-step/8))
		crown += (air - crown) * (1 - math.Exp(-step/25))
		flange += (air - 3.5*(air-18)/42 - flange) * (1 - math.Exp(-step/55))
		cell := func(c float64) string { return fmt.Sprintf("%.1f", (c+noise())*1.8+32) }
		clock := 20*60 + 5 + int(minute)
		one, two, three := cell(flange), cell(crown), cell(air)
		switch {
		case i >= 95 && i <= 106: // the logger's battery was changed
			continue
		case i == 30 || i == 77:
			two = "412.0"
		case i == 60:
			three = "32.0"
		case i == 12:
			one = "OL"
		}
		fmt.Fprintf(&b, "5/%d/2024,%d:%02d,%s,%s,%s,%.1f\n", 1+clock/1440, clock/60%24, clock%60, one, two, three, 24.6+noise())
	}
	return b.String()
}

// The log of the picture of docs is the synthetic one, and read as it was meant.
func TestSyntheticLog(t *testing.T) {
	const name = "../../../docs/pictures/oven-log.csv"
	if *update {
		if err := os.WriteFile(name, []byte(synthetic()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	source, err := os.ReadFile(name)
	if err != nil || string(source) != synthetic() {
		t.Fatalf("%s is another log (%v); run with -update", name, err)
	}
	log, err := Read(strings.NewReader(synthetic()), Asked{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(log.Times); n != 169 || log.Times[n-1] != 9*3600 || len(log.Channels) != 3 || log.Channels[2].Name != "TC3 oven air" || len(log.Doubts) != 0 {
		t.Errorf("%d readings to %g s, %d probes; %q", n, log.Times[n-1], len(log.Channels), log.Doubts)
	}
	if last := log.Channels[1].Values[168] - 273.15; math.Abs(last-59.97) > 0.3 {
		t.Errorf("the crown ends at %.2f degC, want some 60", last)
	}
}
