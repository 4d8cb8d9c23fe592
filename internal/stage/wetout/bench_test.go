package wetout

import "testing"

// The search of what may stand, with a slow resin whose cups are watched long.
func BenchmarkWeigh(b *testing.B) {
	in := kit()
	in.Law, in.Shop, in.Humidity = brisk(8), 293.15, 0.5
	for i := range in.Layers {
		in.Layers[i].Work = 600
	}
	for range 6 {
		in.Ends = append(in.Ends, *in.Law)
	}
	for b.Loop() {
		if _, err := Weigh(in); err != nil {
			b.Fatal(err)
		}
	}
}
