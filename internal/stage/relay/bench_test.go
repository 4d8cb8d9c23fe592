package relay

import (
	"context"
	"testing"
)

// A box of 100 000 triangles with four slits, under twelve plies.
func BenchmarkTwelvePlies(b *testing.B) {
	top, p := box(b, 130)
	in := Input{Surface: top, Lap: lap, Allowance: beyond}
	for k := range 12 {
		q := p
		q.Outline = append([][2]float64{}, p.Outline...)
		q.Outline[0][0] += 1e-7 * float64(k) // no two plies are alike
		in.Plies = append(in.Plies, plyOf(k+1, q))
	}
	b.ResetTimer()
	for range b.N {
		if _, err := Lay(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
