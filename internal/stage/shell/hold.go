package shell

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
	"laywright/internal/base/sparse"
	"laywright/internal/base/wall"
)

// Spring ties a vertex's motion to the ground: along an axis of length 1, and
// across it, alike in all directions.
type Spring struct {
	Vertex        int32
	Axis          r3.Vec
	Along, Across si.Stiffness
}

// Pulls returns what it holds a vertex that has moved by u back with, N.
//
//	K·u    K = k_a·n·nᵀ + k_c·(1 − n·nᵀ)
func (p *Spring) Pulls(u r3.Vec) r3.Vec {
	along := r3.Scale(r3.Dot(u, p.Axis), p.Axis)
	return r3.Add(r3.Scale(float64(p.Along), along), r3.Scale(float64(p.Across), r3.Sub(u, along)))
}

func (p *Spring) stiffness() (k [9]float64) {
	for i, e := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		c := p.Pulls(e)
		k[i], k[3+i], k[6+i] = c.X, c.Y, c.Z
	}
	return k
}

// addSprings adds the springs' stiffness to a matrix.
func (s *Solver) addSprings(to *sparse.Matrix) {
	for _, p := range s.model.Springs {
		k := p.stiffness()
		to.Add(s.index[6*p.Vertex:6*p.Vertex+3], k[:])
	}
}

// anchored tells which vertices a hold or a spring ties to the ground.
func (m *Model) anchored() []bool {
	out := make([]bool, len(m.Held))
	for v, h := range m.Held {
		out[v] = h != 0
	}
	for _, p := range m.Springs {
		out[p.Vertex] = true
	}
	return out
}

// Free is what strains a structure without a force: a change of temperature, and
// growth of the ground that holds it, alike in all directions.
//
// Motions and strains of a structure are told beside its ground, which moves by
// g·(x − x₀): holds then stay at 0, and the wall would of itself strain by what it
// grows more than the ground,
//
//	N = ΔT·Nᵀ + (δ/h)·Mᵀ − g·A·(1, 1, 0)    M = ΔT·Mᵀ + (δ/h)·Pᵀ − g·B·(1, 1, 0)
//
// δ being spread evenly over the thickness h. What a ply feels is the strain told and
// g besides.
//
// Source: [kaw2006] (thermal resultants), and superposition.
type Free struct {
	DT     si.TemperatureDifference // of the wall's middle
	Across si.TemperatureDifference // by which the face on the outward side is warmer than the other
	Ground float64                  // g
}

// Times returns the same in another size.
func (f Free) Times(x float64) Free {
	t := si.TemperatureDifference(x)
	return Free{f.DT * t, f.Across * t, f.Ground * x}
}

// Plus adds another.
func (f Free) Plus(g Free) Free {
	return Free{f.DT + g.DT, f.Across + g.Across, f.Ground + g.Ground}
}

// At returns what a ply feels besides the strain told, and its change of
// temperature, at height z in a wall of thickness h.
func (f Free) At(z, h float64) (strain wall.Vec, dT si.TemperatureDifference) {
	return wall.Vec{f.Ground, f.Ground}, f.DT + f.Across*si.TemperatureDifference(z/h)
}

// resultants are the forces and moments per width that would hold the wall.
func (f Free) resultants(w *wall.Stiffness) (l wall.Load) {
	t, slope := float64(f.DT), float64(f.Across)/w.Thickness
	for i := range 3 {
		l.N[i] = t*w.NT[i] + slope*w.MT[i] - f.Ground*(w.A[i][0]+w.A[i][1])
		l.M[i] = t*w.MT[i] + slope*w.PT[i] - f.Ground*(w.B[i][0]+w.B[i][1])
	}
	return l
}

// Carry returns what a wall bears that is strained so.
func (f Free) Carry(w *wall.Stiffness, e wall.Strain) wall.Load {
	return less(w.Carry(e, 0), f.resultants(w))
}

// Respond returns how a wall is strained that bears so much, the inverse of
// [Free.Carry].
func (f Free) Respond(w *wall.Stiffness, l wall.Load) wall.Strain {
	own := f.resultants(w)
	for k := range l.N {
		l.N[k] += own.N[k]
		l.M[k] += own.M[k]
	}
	return w.Respond(l)
}
