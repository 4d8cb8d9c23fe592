package duty

import "testing"

// The whole demo duty: six passes, each with its operating point and throttle.
func BenchmarkCompute(b *testing.B) {
	t := &testing.T{}
	set, spec := library(t), read(t, demist)
	fluid, fins := set.Fluids[spec.FluidName()], set.Fins[spec.FinsName()]
	for b.Loop() {
		if _, err := Compute(Input{Spec: spec, Fluid: &fluid, Fins: &fins}); err != nil {
			b.Fatal(err)
		}
	}
}
