package cure

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// A part that is not ready when the schedule ends is ready when a schedule that
// goes on at the same temperature says so.
func TestLeftAsItIs(t *testing.T) {
	day := func(hours float64) Result {
		in := Input{Law: slow(), Shop: si.Celsius(35)}
		in.Spec.In = Room
		in.Spec.Schedule = given(0, 35, hours*60, 35)
		return simulate(t, in)
	}
	whole := day(2000)
	if whole.Gel == nil || whole.Demould == nil || whole.Left != nil {
		t.Fatalf("gel %v, demould %v, left %v", whole.Gel, whole.Demould, whole.Left)
	}
	early := day(float64(*whole.Gel) / 3600 / 2)
	near(t, "gel", float64(*early.Left.Gel), float64(*whole.Gel), 1e-3*float64(*whole.Gel))
	near(t, "demould", float64(*early.Left.Demould), float64(*whole.Demould), 1e-3*float64(*whole.Demould))
	between := day(math.Sqrt(float64(*whole.Gel)*float64(*whole.Demould)) / 3600)
	if between.Left.Gel != nil {
		t.Error("it has gelled, and is said to gel later")
	}
	near(t, "demould from between", float64(*between.Left.Demould), float64(*whole.Demould), 1e-3*float64(*whole.Demould))

	in := Input{Law: slow(), Shop: si.Celsius(-5)}
	in.Spec.In, in.Spec.Schedule = Room, given(0, -5, 60, -5)
	if cold := simulate(t, in); cold.Left == nil || cold.Left.Demould != nil {
		t.Errorf("in the frost it is said to stand by itself: %+v", cold.Left)
	}
}
