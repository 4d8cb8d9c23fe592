package strength

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/stage/shell"
)

// gravity is the standard acceleration of fall, m/s², exact by convention.
const gravity = 9.80665

// The unit loads that cases are put together from: 1 Pa, 1 g along each axis, a
// push of 1 N, 1 K.
const (
	unitPressure = iota
	unitX
	unitY
	unitZ
	unitPush
	unitHeat
	units
)

// blend is a case in one of its directions: how much of each unit load.
type blend struct {
	of    int // the case
	share [units]float64
}

// blends lists the cases, one with inertia once for each direction.
func blends(cases []Case) []blend {
	var out []blend
	for i, c := range cases {
		b := blend{of: i}
		b.share[unitPressure], b.share[unitPush], b.share[unitHeat] = float64(c.Pressure), float64(c.Handling), float64(c.DT)
		if c.Inertia == 0 {
			out = append(out, b)
			continue
		}
		for axis := unitX; axis <= unitZ; axis++ {
			for _, sign := range []float64{1, -1} {
				d := b
				d.share[axis] = sign * c.Inertia
				out = append(out, d)
			}
		}
	}
	return out
}

// mechanical tells whether anything but heat loads the part.
func (b *blend) mechanical() bool {
	for u, s := range b.share {
		if u != unitHeat && s != 0 {
			return true
		}
	}
	return false
}

// unitLoad is a unit load with the motion it brings.
type unitLoad struct {
	load shell.Load
	shell.Motion
}

// solveUnits works out the motion under each unit load that some case uses.
func (in *Input) solveUnits(s *shell.Solver, all []blend) (out [units]*unitLoad, err error) {
	used := func(u int) bool {
		for _, b := range all {
			if b.share[u] != 0 {
				return true
			}
		}
		return false
	}
	solve := func(l shell.Load) *unitLoad { return &unitLoad{l, s.Solve(l)} }
	if used(unitPressure) || used(unitPush) && in.At == nil {
		l := s.NoLoad()
		s.Pressure(&l, 1)
		out[unitPressure] = solve(l)
	}
	for i, axis := range []r3.Vec{{X: gravity}, {Y: gravity}, {Z: gravity}} {
		if used(unitX + i) {
			l := s.NoLoad()
			s.Inertia(&l, axis)
			out[unitX+i] = solve(l)
		}
	}
	if used(unitHeat) {
		l := s.NoLoad()
		l.DT = 1
		out[unitHeat] = solve(l)
	}
	if used(unitPush) {
		l := s.NoLoad()
		if err := in.push(&l, in.softest(out[unitPressure])); err != nil {
			return out, err
		}
		out[unitPush] = solve(l)
	}
	return out, nil
}

// softest is where the hand pushes: as given, or where even pressure moves the
// wall most.
func (in *Input) softest(even *unitLoad) r3.Vec {
	if in.At != nil {
		return *in.At
	}
	at, _ := largest(even.Move)
	return in.Mesh.Vertices[at]
}

func largest(v []r3.Vec) (at int, size float64) {
	for i, x := range v {
		if s := r3.Norm(x); s > size {
			at, size = i, s
		}
	}
	return at, size
}

// moved adds up the motion of a blend, with or without heat.
func (b *blend) moved(unit *[units]*unitLoad, heat bool) shell.Motion {
	var out shell.Motion
	for u, m := range unit {
		if m == nil || b.share[u] == 0 || (u == unitHeat) != heat {
			continue
		}
		if out.Move == nil {
			out.Move, out.Turn = make([]r3.Vec, len(m.Move)), make([]r3.Vec, len(m.Move))
		}
		for v := range m.Move {
			out.Move[v] = r3.Add(out.Move[v], r3.Scale(b.share[u], m.Move[v]))
			out.Turn[v] = r3.Add(out.Turn[v], r3.Scale(b.share[u], m.Turn[v]))
		}
	}
	return out
}

// share is 1 over a strength ratio; a ratio of 0 gives +Inf.
func share(ratio float64) float64 {
	if ratio == 0 {
		return math.Inf(1)
	}
	return 1 / ratio
}
