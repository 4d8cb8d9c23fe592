package nest

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// alike are rolls with many copies of one piece, of our own making.
func alike() map[string]Roll {
	c := geom.Polygon{{}, {X: 0.13}, {X: 0.13, Y: 0.03}, {X: 0.035, Y: 0.03}, {X: 0.035, Y: 0.09}, {X: 0.13, Y: 0.09}, {X: 0.13, Y: 0.12}, {Y: 0.12}}
	one := func(p geom.Polygon) Roll {
		return Roll{Width: 1, Seed: 1, Pieces: []Piece{{Name: "a", Count: 60, Outline: p, Turns: halfTurns}}}
	}
	return map[string]Roll{
		"L":        one(geom.Polygon{{}, {X: 0.15}, {X: 0.15, Y: 0.045}, {X: 0.055, Y: 0.045}, {X: 0.055, Y: 0.11}, {Y: 0.11}}),
		"triangle": one(geom.Polygon{{}, {X: 0.17, Y: 0.02}, {X: 0.05, Y: 0.13}}),
		"C":        one(c),
		"kite":     one(geom.Polygon{{}, {X: 0.11, Y: -0.06}, {X: 0.16}, {X: 0.11, Y: 0.06}}),
		"bracket":  one(star3()),
	}
}

func star3() geom.Polygon {
	return geom.Polygon{{}, r2.Vec{X: 0.07, Y: 0.02}, r2.Vec{X: 0.15, Y: -0.01}, r2.Vec{X: 0.10, Y: 0.05}, r2.Vec{X: 0.12, Y: 0.11}, r2.Vec{X: 0.06, Y: 0.07}, r2.Vec{X: 0.01, Y: 0.09}}
}

func BenchmarkAlike(b *testing.B) {
	for name, r := range alike() {
		b.Run(name, func(b *testing.B) {
			r.Search = 10
			for b.Loop() {
				course(b, r)
			}
		})
	}
}
