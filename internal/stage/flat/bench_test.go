package flat

import "testing"

// One piece of a rim of 400 vertices with one slit.
func BenchmarkCut(b *testing.B) {
	sheet := fan(&testing.T{}, 0.15, 40, 320, round(0.75), nil)
	for b.Loop() {
		Cut("P", sheet, Cloth{Lap: 0.015, Allowance: 0.02})
	}
}
