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

// Frequency returns the lowest natural frequency, Hz, and its shape, with a
// third of each triangle's mass at each corner and none for turning. A structure
// without mass has none: 0.
//
//	K·x = ω²·M·x
func (s *Solver) Frequency(ctx context.Context) (si.Rate, Motion, error) {
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
	mode, err := s.factor.LargestMode(ctx, func(x, y []float64) {
		for i := range y {
			y[i] = mass[i] * x[i]
		}
	}, modeResidual)
	if err != nil || mode.Value == 0 {
		return 0, Motion{}, err
	}
	return si.Rate(1 / (2 * math.Pi * math.Sqrt(mode.Value))), s.spread(mode.Shape), nil
}

// Buckling returns the factor on a load, whose motion m is known, at which the
// structure buckles, and the shape. A load that only stretches never buckles it:
// +Inf. Linear: it knows no motion before buckling and no dents.
//
//	(K + λ·K_N)·x = 0    K_N: stiffness from the membrane forces of the load
//
// Source: [timoshenko1961].
func (s *Solver) Buckling(ctx context.Context, m Motion, dT si.TemperatureDifference) (float64, Motion, error) {
	stress := s.matrix.Like()
	for i := range s.elements {
		e := &s.elements[i]
		var force [3]wall.Vec
		for p, strain := range s.Strains(i, m)[0].At {
			w := &e.section.Wall
			n, c := w.A.Times(strain.Mid), w.B.Times(strain.Curvature)
			for k := range 3 {
				force[p][k] = n[k] + c[k] - float64(dT)*w.NT[k]
			}
		}
		k := e.stressStiffness(force)
		stress.Add(s.unknowns(e), k[:])
	}
	mode, err := s.factor.LargestMode(ctx, func(x, y []float64) {
		stress.Times(x, y)
		for i := range y {
			y[i] = -y[i]
		}
	}, modeResidual)
	if err != nil {
		return 0, Motion{}, err
	}
	return 1 / mode.Value, s.spread(mode.Shape), nil
}
