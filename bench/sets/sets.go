// Package sets holds rolls to measure the nesting with: published ones, read
// from a folder that is no part of this project, and some of our own making.
package sets

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/stage/nest"
)

// HalfTurns lets a piece lie both ways along the roll.
var HalfTurns = []si.Angle{0, si.Angle(math.Pi)}

// Read reads NAME.json, an instance of the published packing benchmarks,
// scaled to a roll 1 m wide. A piece without a list of turns may lie in any of
// the four quarter turns.
func Read(folder, name string) (nest.Roll, error) {
	b, err := os.ReadFile(filepath.Join(folder, name+".json"))
	if err != nil {
		return nest.Roll{}, err
	}
	var in struct {
		Height float64 `json:"strip_height"`
		Items  []struct {
			ID     int       `json:"id"`
			Demand int       `json:"demand"`
			Turns  []float64 `json:"allowed_orientations"`
			Shape  struct {
				Data [][2]float64 `json:"data"`
			} `json:"shape"`
		} `json:"items"`
	}
	if err := json.Unmarshal(b, &in); err != nil {
		return nest.Roll{}, fmt.Errorf("%s: %w", name, err)
	}
	r := nest.Roll{Material: name, Width: 1, Seed: 1}
	for _, it := range in.Items {
		if it.Turns == nil {
			it.Turns = []float64{0, 90, 180, 270}
		}
		p := nest.Piece{Name: fmt.Sprint(it.ID), Count: it.Demand}
		for _, t := range it.Turns {
			p.Turns = append(p.Turns, si.Degrees(t))
		}
		for _, v := range it.Shape.Data {
			p.Outline = append(p.Outline, r2.Vec{X: v[0] / in.Height, Y: v[1] / in.Height})
		}
		r.Pieces = append(r.Pieces, p)
	}
	return r, nil
}

// Own is a set of our own making: 60 copies of one outline, or 400 pieces of
// 60 corners, all different.
func Own(name string) (nest.Roll, bool) {
	one := map[string]geom.Polygon{
		"60L":         {{}, {X: 0.15}, {X: 0.15, Y: 0.045}, {X: 0.055, Y: 0.045}, {X: 0.055, Y: 0.11}, {Y: 0.11}},
		"60triangles": {{}, {X: 0.17, Y: 0.02}, {X: 0.05, Y: 0.13}},
		"60C":         {{}, {X: 0.13}, {X: 0.13, Y: 0.03}, {X: 0.035, Y: 0.03}, {X: 0.035, Y: 0.09}, {X: 0.13, Y: 0.09}, {X: 0.13, Y: 0.12}, {Y: 0.12}},
	}
	r := nest.Roll{Material: name, Width: 1, Seed: 1}
	if p, known := one[name]; known {
		r.Pieces = []nest.Piece{{Name: "a", Count: 60, Outline: p, Turns: HalfTurns}}
		return r, true
	}
	if name != "400many" {
		return nest.Roll{}, false
	}
	rng := rand.New(rand.NewPCG(400, 60))
	for k := range 400 {
		r.Pieces = append(r.Pieces, nest.Piece{Name: fmt.Sprint(k), Count: 1, Outline: Star(rng, 60, 0.03, 0.08), Turns: HalfTurns})
	}
	return r, true
}

// Star is a ring of n corners about the origin that never crosses itself, with
// radii from lo to hi.
func Star(rng *rand.Rand, n int, lo, hi float64) geom.Polygon {
	p := make(geom.Polygon, n)
	for i := range p {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.6*rng.Float64()) / float64(n))
		r := lo + (hi-lo)*rng.Float64()
		p[i] = r2.Vec{X: r * c, Y: r * s}
	}
	return p
}
