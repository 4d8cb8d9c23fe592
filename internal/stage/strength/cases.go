package strength

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/stage/shell"
)

// gravity is the standard acceleration of fall, m/s², exact by convention.
const gravity = 9.80665

// The unit loads that cases are put together from: 1 Pa, 1 g along each axis, a
// push of 1 N; and what warms: 1 K, 1 K from one face to the other, a growth by 1 of
// what holds the part.
const (
	unitPressure = iota
	unitX
	unitY
	unitZ
	unitPush
	unitHeat
	unitAcross
	unitGround
	units
)

// warms tells the units of what strains a wall without pushing it.
func warms(u int) bool { return u >= unitHeat }

// freeOf is so much of a unit that warms; of another one it is nothing.
func freeOf(u int, size float64) shell.Free {
	switch u {
	case unitHeat:
		return shell.Free{DT: si.TemperatureDifference(size)}
	case unitAcross:
		return shell.Free{Across: si.TemperatureDifference(size)}
	case unitGround:
		return shell.Free{Ground: size}
	}
	return shell.Free{}
}

// free is what strains the wall in a blend besides its loads.
func (b *blend) free() (f shell.Free) {
	for u := unitHeat; u < units; u++ {
		f = f.Plus(freeOf(u, b.share[u]))
	}
	return f
}

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
		b.share[unitPressure], b.share[unitPush] = float64(c.Pressure), float64(c.Handling)
		b.share[unitHeat], b.share[unitAcross], b.share[unitGround] = float64(c.DT), float64(c.Across), c.growth
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
		if !warms(u) && s != 0 {
			return true
		}
	}
	return false
}

// times is a blend's share of a unit with the load grown by a factor: what warms does
// not grow with it, unless it is all there is.
func (b *blend) times(u int, factor float64) float64 {
	if warms(u) && b.mechanical() {
		return b.share[u]
	}
	return factor * b.share[u]
}

// unitLoad is a unit load with the motion it brings.
type unitLoad struct {
	load shell.Load
	shell.Motion
	force, moment []r3.Vec // that hold the part
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
	solve := func(l shell.Load) *unitLoad { return &unitLoad{load: l, Motion: s.Solve(l)} }
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
	for u := unitHeat; u < units; u++ {
		if used(u) {
			l := s.NoLoad()
			l.Free = freeOf(u, 1)
			out[u] = solve(l)
		}
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
		if m == nil || b.share[u] == 0 || warms(u) != heat {
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
