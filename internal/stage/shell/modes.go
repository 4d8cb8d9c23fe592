package shell

import (
	"context"
	"math"

	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// modeResidual is the residual allowed in a search for a mode: the buckling factor
// and the frequency squared then err by some ten thousandths, far less than the
// mesh does.
const modeResidual = 1e-2

// Mode is a shape in which a structure swings or buckles.
type Mode struct {
	Frequency si.Rate // Hz, of a swing
	Factor    float64 // on the load, of buckling
	Shape     Motion
	Steps     int     // of the search
	Residual  float64 // of the squared frequency's or the factor's inverse, relative
}

// Frequencies returns up to count lowest natural frequencies, rising, with a third of
// each triangle's mass at each corner and none for turning. A structure without mass
// has none. Of frequencies that are just the same it may find fewer.
//
//	K·x = ω²·M·x
func (s *Solver) Frequencies(ctx context.Context, count int) ([]Mode, error) {
	mass := make([]float64, s.Unknowns())
	for i := range s.elements {
		e := &s.elements[i]
		for _, v := range e.nodes {
			for _, u := range s.index[6*v : 6*v+3] {
				if u >= 0 {
					mass[u] += e.area * e.section.Mass / 3
				}
			}
		}
	}
	modes, err := s.factor.LargestModes(ctx, func(x, y []float64) {
		for i := range y {
			y[i] = mass[i] * x[i]
		}
	}, count, modeResidual)
	var out []Mode
	for _, m := range modes {
		hertz := si.Rate(1 / (2 * math.Pi * math.Sqrt(m.Value)))
		out = append(out, Mode{Frequency: hertz, Shape: s.spread(m.Shape), Steps: m.Steps, Residual: m.Residual})
	}
	return out, err
}

// Buckling returns the factor on a load, whose motion m is known, at which the
// structure buckles, and the shape. A load that only stretches never buckles it:
// +Inf. Linear: it knows no motion before buckling and no dents.
//
//	(K + λ·K_N)·x = 0    K_N: stiffness from the membrane forces of the load
//
// Source: [timoshenko1961].
func (s *Solver) Buckling(ctx context.Context, m Motion, dT si.TemperatureDifference) (Mode, error) {
	stress := s.matrix.Like()
	for i := range s.elements {
		e := &s.elements[i]
		var force [3]wall.Vec
		for p, strain := range s.Strains(i, m)[0].At {
			force[p] = e.resultant(strain, dT).N
		}
		k := e.stressStiffness(force)
		stress.Add(s.unknowns(e), k[:])
	}
	modes, err := s.factor.LargestModes(ctx, func(x, y []float64) {
		stress.Times(x, y)
		for i := range y {
			y[i] = -y[i]
		}
	}, 1, modeResidual)
	if err != nil || len(modes) == 0 {
		return Mode{Factor: math.Inf(1)}, err
	}
	found := &modes[0]
	return Mode{Factor: 1 / found.Value, Shape: s.spread(found.Shape), Steps: found.Steps, Residual: found.Residual}, nil
}
