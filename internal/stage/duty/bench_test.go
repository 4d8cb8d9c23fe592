package duty

import "testing"

// The whole duty of a box behind one hose: six passes, each with its operating
// point, and the sizes of duct.
func BenchmarkCompute(b *testing.B) {
	t := &testing.T{}
	compute := ready(t, read(t, demist))
	for b.Loop() {
		if _, err := compute(); err != nil {
			b.Fatal(err)
		}
	}
}

// The main demo's duty, with a wye and five other days.
func BenchmarkDemo(b *testing.B) {
	t := &testing.T{}
	compute := ready(t, demoSpec(t))
	for b.Loop() {
		if _, err := compute(); err != nil {
			b.Fatal(err)
		}
	}
}

func ready(t *testing.T, s Spec) func() (Result, error) {
	set := library(t)
	fluid, fins := set.Fluids[s.FluidName()], set.Fins[s.FinsName()]
	return func() (Result, error) { return Compute(Input{Spec: s, Fluid: &fluid, Fins: &fins}) }
}
