package drape

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/sparse"
)

// Where the net reaches less than mostlyCovered of the vertices, or some triangle
// lies turned over, what hangs out from the net is eased first: easings steps
// with the turn of each triangle held, which go down from anywhere, then as many
// of the faster kind. Steps below eased, against the mean side, end either.
const (
	mostlyCovered = 0.97
	easings       = 6
	eased         = 0.05
	held          = 10 // weight of the net's vertices meanwhile
	easedRings    = 4
)

// ease lays what the net does not reach like a film that hangs on the net: a
// start near to the least stretch, where unfolding it ring by ring would gather
// errors. Only what is not known or lies turned over, and easedRings round it, is
// worked on: the net holds the rest.
func (r *Result) ease(ctx context.Context, s *surface, o start) error {
	near := s.ringed(easedRings, func(f int) bool {
		t := s.Triangles[f]
		return !(o.known(t[0]) && o.known(t[1]) && o.known(t[2])) || s.turnedOver(f, r.Flat)
	})
	part, vertex := s.cutOut(near)
	var ties []tie
	flat := make([]r2.Vec, len(vertex))
	for i, v := range vertex {
		flat[i] = r.Flat[v]
		if o.known(v) {
			ties = append(ties, heldAt(int32(i), o.flat[v])...)
		}
	}
	if len(ties) == 0 {
		return nil
	}
	p := newProblem(part, ties)
	for _, sh := range []sheet{rigid{}, film{}} {
		for range easings {
			rep, err := p.descend(ctx, flat, sh, 1)
			if err != nil {
				return err
			}
			if rep.residual < eased {
				break
			}
		}
	}
	before := slices.Clone(r.Flat)
	for i, v := range vertex {
		r.Flat[v] = flat[i]
	}
	if turned(s, r.Flat) > turned(s, before) {
		copy(r.Flat, before)
	}
	return nil
}

// ringed lists the triangles that are meant and those of so many rings round
// them.
func (s *surface) ringed(rings int, is func(f int) bool) []int {
	in := make([]bool, len(s.Vertices))
	for f, t := range s.Triangles {
		if is(f) {
			in[t[0]], in[t[1]], in[t[2]] = true, true, true
		}
	}
	for range rings {
		wider := slices.Clone(in)
		for _, t := range s.Triangles {
			if in[t[0]] || in[t[1]] || in[t[2]] {
				wider[t[0]], wider[t[1]], wider[t[2]] = true, true, true
			}
		}
		in = wider
	}
	var out []int
	for f, t := range s.Triangles {
		if in[t[0]] && in[t[1]] && in[t[2]] {
			out = append(out, f)
		}
	}
	return out
}

// cutOut returns some triangles as a surface of their own, for an energy only,
// and the vertices that its vertices are.
func (s *surface) cutOut(faces []int) (*surface, []int32) {
	out := &surface{Mesh: &mesh.Mesh{}, edge: s.edge}
	number := make([]int32, len(s.Vertices)) // 1 + the new one
	var vertex []int32
	for _, f := range faces {
		t := s.Triangles[f]
		for k, v := range t {
			if number[v] == 0 {
				vertex = append(vertex, v)
				out.Vertices = append(out.Vertices, s.Vertices[v])
				number[v] = int32(len(vertex))
			}
			t[k] = number[v] - 1
		}
		out.Triangles = append(out.Triangles, t)
		out.local, out.slope = append(out.local, s.local[f]), append(out.slope, s.slope[f])
		out.area, out.none = append(out.area, s.area[f]), append(out.none, s.none[f])
		out.whole += s.area[f]
	}
	return out, vertex
}

// turns is how many steps of each kind are made to turn triangles back before
// they are counted again.
const turns = 4

// open makes sure that no triangle lies turned over. The start is the net with
// what it does not reach eased out from it; if that can't be opened, the sheet
// is unrolled from a circle.
func (r *Result) open(ctx context.Context, p *problem, sh cloth) error {
	if ok, err := r.unfold(ctx, p, sh); ok || err != nil {
		return err
	}
	if err := r.onCircle(ctx, p.s); err != nil {
		return err
	}
	if n := turned(p.s, r.Flat); n > 0 {
		return r.folded(n)
	}
	return nil
}

func (r *Result) folded(n int) error {
	return &fault.NoSolution{What: "a way to lay the sheet flat without folds", Steps: r.Steps,
		Residual: float64(n), Do: "trim the part, or lay it in smaller pieces"}
}

// unfold turns back triangles that lie turned over, and tells whether none is left.
func (r *Result) unfold(ctx context.Context, p *problem, sh cloth) (bool, error) {
	kinds := slices.Repeat([]sheet{unfolding{sh}}, 6)
	for ε := 0.1; ε > 1e-4; ε /= 3 {
		kinds = append(kinds, opening{sh, ε})
	}
	for _, kind := range kinds {
		if turned(p.s, r.Flat) == 0 {
			return true, nil
		}
		rep, err := p.descend(ctx, r.Flat, kind, turns)
		if err != nil {
			return false, err
		}
		r.Steps += rep.steps
	}
	return turned(p.s, r.Flat) == 0, nil
}

// onCircle is a start without folds for any surface with an outer rim and holes:
// the longest rim lies on a circle of the surface's area, and every other vertex
// in the mean of its neighbours, where each hole is closed by triangles about a
// vertex of its own. It is far from how cloth lies, but no triangle is turned
// over.
//
// Source: [tutte1963].
func (r *Result) onCircle(ctx context.Context, s *surface) error {
	outer, holes := s.rims()
	m := s.filled(holes)
	t, err := mesh.NewTopology(m)
	if err != nil {
		return err
	}
	n := len(m.Vertices)
	sum := sparse.New(slices.Repeat([]int{1}, n), m.Triangles)
	for _, e := range t.Edges {
		sum.Add(e[:], []float64{1, -1, -1, 1})
	}
	u, v := make([]float64, n), make([]float64, n)
	const pin = 1e7 // against 1 a side
	for i, q := range s.circle(outer) {
		a := outer[i]
		sum.AddDiagonal(a, pin)
		u[a], v[a] = pin*q.X, pin*q.Y
	}
	for a := range int32(n) {
		if sum.AddDiagonal(a, 0) == 0 {
			sum.AddDiagonal(a, 1) // of no triangle
		}
	}
	c, err := sparse.Factor(ctx, sum, m.Vertices)
	if err != nil {
		return err
	}
	u, v = c.Solve(u), c.Solve(v)
	for a := range r.Flat {
		r.Flat[a] = r2.Vec{X: u[a], Y: v[a]}
	}
	r.align()
	return nil
}

// filled returns the surface with each hole closed by triangles about a vertex in
// its middle, which come after the surface's own.
func (s *surface) filled(holes [][]int32) *mesh.Mesh {
	m := s.Clone()
	for _, hole := range holes {
		var middle r3.Vec
		for i, v := range hole {
			middle = r3.Add(middle, r3.Scale(1/float64(len(hole)), s.Vertices[v]))
			m.Triangles = append(m.Triangles, [3]int32{hole[(i+1)%len(hole)], v, int32(len(m.Vertices))})
		}
		m.Vertices = append(m.Vertices, middle)
	}
	return m
}

// circle spreads a rim over a circle of the surface's area by the lengths of its
// sides.
func (s *surface) circle(rim []int32) []r2.Vec {
	far := make([]float64, len(rim)+1)
	for i, v := range rim {
		far[i+1] = far[i] + r3.Norm(r3.Sub(s.Vertices[rim[(i+1)%len(rim)]], s.Vertices[v]))
	}
	radius := math.Sqrt(s.whole / math.Pi)
	out := make([]r2.Vec, len(rim))
	for i := range rim {
		sin, cos := math.Sincos(2 * math.Pi * far[i] / far[len(rim)])
		out[i] = r2.Vec{X: radius * cos, Y: radius * sin}
	}
	return out
}

// rims returns the vertices of the longest rim, with the surface on its left,
// and those of the others.
func (s *surface) rims() (outer []int32, holes [][]int32) {
	most, best := 0.0, -1
	loops := s.topology.RimLoops()
	for i, loop := range loops {
		var long float64
		for _, h := range loop {
			a, b := s.Vertices[s.topology.From(int(h))], s.Vertices[s.topology.To(int(h))]
			long += r3.Norm(r3.Sub(b, a))
		}
		if long > most {
			most, best = long, i
		}
	}
	for i, loop := range loops {
		if list := s.topology.LoopVertices(loop); i == best {
			outer = list
		} else {
			holes = append(holes, list)
		}
	}
	return outer, holes
}

// align turns and shifts the flat places so that the seed's triangle lies where
// the warp wants it, as near as can be.
func (r *Result) align() {
	seed := r.Net.Nodes[0]
	t := r.Net.s.Triangles[r.Net.home.Face]
	warp := seed.toward[0]
	weft := r3.Cross(r.Net.s.normal[r.Net.home.Face], warp)
	var want, have [3]r2.Vec
	var w, h r2.Vec
	for k, v := range t {
		d := r3.Sub(r.Net.s.Vertices[v], seed.At)
		want[k], have[k] = r2.Vec{X: r3.Dot(d, warp), Y: r3.Dot(d, weft)}, r.Flat[v]
		w, h = r2.Add(w, r2.Scale(1.0/3, want[k])), r2.Add(h, r2.Scale(1.0/3, have[k]))
	}
	var x, y float64
	for k := range t {
		a, b := r2.Sub(have[k], h), r2.Sub(want[k], w)
		x, y = x+r2.Dot(a, b), y+r2.Cross(a, b)
	}
	sin, cos := math.Sincos(math.Atan2(y, x))
	for v, q := range r.Flat {
		d := r2.Sub(q, h)
		r.Flat[v] = r2.Add(w, r2.Vec{X: cos*d.X - sin*d.Y, Y: sin*d.X + cos*d.Y})
	}
}
