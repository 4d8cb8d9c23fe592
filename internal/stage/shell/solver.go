package shell

import (
	"context"
	"errors"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/sparse"
	"laywright/internal/base/wall"
)

// Solver is a structure whose stiffness is factored: each load costs little.
type Solver struct {
	model    *Model
	elements []element
	index    []int32 // of each vertex's six: its unknown, -1 where held
	matrix   *sparse.Matrix
	factor   *sparse.Cholesky
}

// New factors the stiffness of a structure. A structure that can move without
// strain is refused: more of it must be held.
func New(ctx context.Context, m *Model) (*Solver, error) {
	elements, err := m.elements()
	if err != nil {
		return nil, err
	}
	s := &Solver{model: m, elements: elements}
	s.number()
	for i := range s.elements {
		e := &s.elements[i]
		rows := e.strainRows()
		k := e.stiffness(&rows)
		s.matrix.Add(s.unknowns(e), k[:])
	}
	s.addSprings(s.matrix)
	s.factor, err = sparse.Factor(ctx, s.matrix, m.Mesh.Vertices)
	var loose *sparse.Indefinite
	if errors.As(err, &loose) {
		return nil, &fault.Input{Field: "part.held", What: fmt.Sprintf("the part is not held: vertex %d can move without strain", s.vertexOf(loose.Unknown)),
			Do: "hold an edge, and see that the mesh hangs together"}
	}
	return s, err
}

// number gives unknowns to what is not held; a vertex without a triangle has none.
func (s *Solver) number() {
	used := make([]bool, len(s.model.Held))
	for i := range s.elements {
		for _, v := range s.elements[i].nodes {
			used[v] = true
		}
	}
	s.index = make([]int32, 6*len(used))
	counts := make([]int, len(used))
	next := int32(0)
	for v, held := range s.model.Held {
		for d := range 6 {
			s.index[6*v+d] = -1
			if used[v] && held&(1<<d) == 0 {
				s.index[6*v+d] = next
				next++
				counts[v]++
			}
		}
	}
	s.matrix = sparse.New(counts, s.model.Mesh.Triangles)
}

func (s *Solver) unknowns(e *element) []int32 {
	var out [18]int32
	for c, v := range e.nodes {
		copy(out[6*c:], s.index[6*v:6*v+6])
	}
	return out[:]
}

func (s *Solver) vertexOf(unknown int) int {
	for i, u := range s.index {
		if int(u) == unknown {
			return i / 6
		}
	}
	return -1
}

// Unknowns returns how many unknowns there are.
func (s *Solver) Unknowns() int { return s.matrix.Size() }

// Load is what acts on the vertices, N and N·m, with what the whole wall would grow
// by of itself.
type Load struct {
	Force, Moment []r3.Vec
	Free
}

// NoLoad returns a load of nothing, to be added to.
func (s *Solver) NoLoad() Load {
	n := len(s.model.Held)
	return Load{Force: make([]r3.Vec, n), Moment: make([]r3.Vec, n)}
}

// Pressure adds p, Pa, along the outward normal, a third of each triangle's
// share at each corner.
func (s *Solver) Pressure(to *Load, p si.Pressure) {
	for i := range s.elements {
		e := &s.elements[i]
		f := r3.Scale(float64(p)*e.area/3, e.axes[2])
		for _, v := range e.nodes {
			to.Force[v] = r3.Add(to.Force[v], f)
		}
	}
}

// Inertia adds the wall's own mass times a, m/s²: for weight, the acceleration
// of fall; for a manoeuvre, the opposite of the part's own acceleration.
func (s *Solver) Inertia(to *Load, a r3.Vec) {
	for i := range s.elements {
		e := &s.elements[i]
		f := r3.Scale(e.section.Mass*e.area/3, a)
		for _, v := range e.nodes {
			to.Force[v] = r3.Add(to.Force[v], f)
		}
	}
}

// Mass returns the structure's mass, kg.
func (s *Solver) Mass() float64 {
	var sum float64
	for i := range s.elements {
		sum += s.elements[i].area * s.elements[i].section.Mass
	}
	return sum
}

// Motion is how the vertices move, m, and turn, rad.
type Motion struct{ Move, Turn []r3.Vec }

// Solve returns the motion under a load.
func (s *Solver) Solve(l Load) Motion {
	return s.spread(s.factor.Solve(s.gather(l)))
}

func (s *Solver) gather(l Load) []float64 {
	b := make([]float64, s.Unknowns())
	for v := range s.model.Held {
		f, m := l.Force[v], l.Moment[v]
		for d, x := range [6]float64{f.X, f.Y, f.Z, m.X, m.Y, m.Z} {
			if u := s.index[6*v+d]; u >= 0 {
				b[u] += x
			}
		}
	}
	if l.Free == (Free{}) {
		return b
	}
	for i := range s.elements {
		e := &s.elements[i]
		rows := e.strainRows()
		f := e.pushed(&rows, l.Free)
		for d, u := range s.unknowns(e) {
			if u >= 0 {
				b[u] += f[d]
			}
		}
	}
	return b
}

func (s *Solver) spread(x []float64) Motion {
	n := len(s.model.Held)
	m := Motion{Move: make([]r3.Vec, n), Turn: make([]r3.Vec, n)}
	at := func(i int) float64 {
		if s.index[i] < 0 {
			return 0
		}
		return x[s.index[i]]
	}
	for v := range n {
		m.Move[v] = r3.Vec{X: at(6 * v), Y: at(6*v + 1), Z: at(6*v + 2)}
		m.Turn[v] = r3.Vec{X: at(6*v + 3), Y: at(6*v + 4), Z: at(6*v + 5)}
	}
	return m
}

func (e *element) motion(m Motion) row18 {
	var q row18
	for c, v := range e.nodes {
		u, t := m.Move[v], m.Turn[v]
		q[6*c], q[6*c+1], q[6*c+2] = u.X, u.Y, u.Z
		q[6*c+3], q[6*c+4], q[6*c+5] = t.X, t.Y, t.Z
	}
	return q
}

// Answer is how a triangle's wall answers a motion, in the axes of its wall.
type Answer struct {
	At    [3]wall.Strain // at the middles of the sides
	Shear [2]float64     // mean force across the wall along x and y, N/m
}

// Strains returns how triangle f answers each of the motions.
func (s *Solver) Strains(f int, motions ...Motion) []Answer {
	e := &s.elements[f]
	rows := e.strainRows()
	out := make([]Answer, len(motions))
	for n, m := range motions {
		q := e.motion(m)
		out[n] = e.strained(&rows, &q)
	}
	return out
}

// strained returns the answer of rows of strain to their unknowns.
func (e *element) strained(rows *[3][strains]row18, q *row18) (out Answer) {
	for p := range rows {
		for d, v := range q {
			for i := range 3 {
				out.At[p].Mid[i] += rows[p][i][d] * v
				out.At[p].Curvature[i] += rows[p][3+i][d] * v
			}
			for i := range 2 {
				out.Shear[i] += e.section.Wall.Shear[i] * rows[p][6+i][d] * v / 3
			}
		}
	}
	return out
}

// Side returns where the middle of side p of triangle f lies.
func (s *Solver) Side(f, p int) r3.Vec {
	t := s.model.Mesh.Triangles[f]
	return r3.Scale(0.5, r3.Add(s.model.Mesh.Vertices[t[p]], s.model.Mesh.Vertices[t[(p+1)%3]]))
}

// Reactions returns what holds and springs push the vertices with, N and N·m: the
// inner forces of the triangles there less the load. Other vertices have none.
func (s *Solver) Reactions(m Motion, l Load) (force, moment []r3.Vec) {
	anchored := s.model.anchored()
	force, moment = s.inner(m, l.Free, func(e *element) bool {
		return anchored[e.nodes[0]] || anchored[e.nodes[1]] || anchored[e.nodes[2]]
	})
	for v := range anchored {
		if !anchored[v] {
			force[v], moment[v] = r3.Vec{}, r3.Vec{}
			continue
		}
		force[v], moment[v] = r3.Sub(force[v], l.Force[v]), r3.Sub(moment[v], l.Moment[v])
	}
	return force, moment
}

// inner adds up the forces that hold the triangles that pass in a motion.
func (s *Solver) inner(m Motion, free Free, pass func(e *element) bool) (force, moment []r3.Vec) {
	n := len(s.model.Held)
	force, moment = make([]r3.Vec, n), make([]r3.Vec, n)
	for i := range s.elements {
		e := &s.elements[i]
		if !pass(e) {
			continue
		}
		rows := e.strainRows()
		k, q, own := e.stiffness(&rows), e.motion(m), row18{}
		if free != (Free{}) {
			own = e.pushed(&rows, free)
		}
		var f row18
		for a := range 18 {
			f[a] = -own[a]
			for b := range 18 {
				f[a] += k[a*18+b] * q[b]
			}
		}
		for c, v := range e.nodes {
			force[v] = r3.Add(force[v], r3.Vec{X: f[6*c], Y: f[6*c+1], Z: f[6*c+2]})
			moment[v] = r3.Add(moment[v], r3.Vec{X: f[6*c+3], Y: f[6*c+4], Z: f[6*c+5]})
		}
	}
	return force, moment
}
