package shell

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkSolve makes, factors and solves a dome of so many unknowns.
func BenchmarkSolve(b *testing.B) {
	for _, unknowns := range []int{10_000, 20_000, 50_000, 100_000, 200_000} {
		n := int(math.Sqrt(float64(unknowns)/6)) + 1
		s := newSheet(n, n, true, func(u, v float64) r3.Vec {
			x, y := u-0.5, v-0.5
			return r3.Vec{X: x, Y: y, Z: 0.3 - x*x - 0.5*y*y}
		})
		m := s.model(isotropic(70e9, 0.3, 2e-3, 5), xDir)
		s.hold(m, Clamped, s.rim)
		b.Run(fmt.Sprint(unknowns), func(b *testing.B) {
			for b.Loop() {
				sv, err := New(context.Background(), m)
				if err != nil {
					b.Fatal(err)
				}
				load := sv.NoLoad()
				sv.Pressure(&load, 1000)
				sv.Solve(load)
				b.ReportMetric(float64(sv.Unknowns()), "unknowns")
			}
		})
	}
}

// BenchmarkLarge lays pressure on a flat panel until it moves by some thicknesses.
func BenchmarkLarge(b *testing.B) {
	s := newSheet(70, 70, true, flat(0.3, 0.3))
	m := s.model(isotropic(70e9, 0.3, 1e-3, 5), xDir)
	s.hold(m, Clamped, s.rim)
	for b.Loop() {
		sv, err := New(context.Background(), m)
		if err != nil {
			b.Fatal(err)
		}
		moved, err := sv.Large(context.Background(), Push{Load: sv.NoLoad(), Follow: 20e3}, 4)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(sv.Unknowns()), "unknowns")
		b.ReportMetric(float64(moved.Iterations), "iterations")
		b.ReportMetric(1e3*moved.Move[s.at(35, 35)].Z, "mm")
	}
}
