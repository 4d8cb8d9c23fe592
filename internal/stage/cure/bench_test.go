package cure

import (
	"context"
	"testing"
)

// BenchmarkStack takes a laminate of 6 mm on 18 mm of board through 48 h.
func BenchmarkStack(b *testing.B) {
	in := onBoard(load(b, "heat_wet_laminate_on_mdf_6mm"))
	in.Law, _ = class(b, "laminating-epoxy-slow")
	in.Spec.Schedule = given(0, 21, 1440, 21, 1680, 60, 2640, 60, 2880, 21)
	for b.Loop() {
		if _, err := Simulate(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
