package drape

import (
	"context"
	"errors"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// On a surface of more than mostEased vertices what the net does not reach is laid on
// a copy with coarser times fewer first, and there on a copy of that, down to
// mostCoarse: far from the net cloth finds its way on a coarse copy in a fraction of
// the time, and on the fine one only the triangles' own errors are left.
const (
	mostEased  = 6000
	mostCoarse = 2500
	coarser    = 8
)

// begin finds where a descent begins that the net does not tell, on a surface of more
// than most vertices by a coarse copy; then the places of what the net reaches may move
// a little too, as the rest draws them.
func (r *Result) begin(ctx context.Context, s *surface, o start, sh cloth, most int) error {
	if len(s.Vertices) > most {
		if ok, err := r.fromCoarse(ctx, s, o, sh); ok || err != nil {
			return err
		}
	}
	return r.ease(ctx, s, o)
}

// fromCoarse lays a coarse copy and takes the places from there. False where there is
// no such copy, or no way to lay it.
func (r *Result) fromCoarse(ctx context.Context, s *surface, o start, sh cloth) (bool, error) {
	c := s.topology.Coarsen(len(s.Vertices) / coarser)
	top, err := mesh.NewTopology(c.Mesh)
	if err != nil || top.Euler() != s.topology.Euler() {
		return false, nil
	}
	n := len(c.Vertex)
	few := start{flat: make([]r2.Vec, n), shear: make([]float64, n), rank: make([]int8, n), rounded: o.rounded}
	copied := &Result{Flat: make([]r2.Vec, n)}
	for i, v := range c.Vertex {
		few.flat[i], few.shear[i], few.rank[i] = o.flat[v], o.shear[v], o.rank[v]
		copied.Flat[i] = r.Flat[v]
	}
	var none *fault.NoSolution
	if err := copied.layCoarse(ctx, newSurface(top), few, sh); errors.As(err, &none) {
		return false, nil
	} else if err != nil {
		return false, err
	}
	for i, v := range c.Vertex {
		r.Flat[v] = copied.Flat[i]
	}
	r.refill(c, o)
	return true, nil
}

// layCoarse lays a coarse copy, held where the net is sure of it.
func (r *Result) layCoarse(ctx context.Context, s *surface, o start, sh cloth) error {
	if err := r.begin(ctx, s, o, sh, mostCoarse); err != nil {
		return err
	}
	var ties []tie
	for v := range int32(len(r.Flat)) {
		if o.sure(v) {
			ties = append(ties, heldAt(v, o.flat[v])...)
		}
	}
	p := newProblem(s, ties)
	p.trustNet(o)
	if ok, err := r.unfold(ctx, p, sh); err != nil {
		return err
	} else if !ok {
		return r.folded(turned(s, r.Flat))
	}
	return r.settle(ctx, p, sh)
}

// heldAt holds a vertex to a place.
func heldAt(v int32, q r2.Vec) []tie {
	return []tie{{from: v, to: v, axis: 0, value: q.X, weight: held}, {from: v, to: v, axis: 1, value: q.Y, weight: held}}
}

// refill places the vertices that a coarse copy lacks: among what the net has placed
// it is how far the cloth lies off the net that goes over to them, elsewhere the
// place itself.
func (r *Result) refill(c mesh.Coarse, o start) {
	c.Refill(func(v int32, ring []int32, weight []float64) {
		var at, off r2.Vec
		known := o.sure(v)
		for i, u := range ring {
			at = r2.Add(at, r2.Scale(weight[i], r.Flat[u]))
			known = known && o.sure(u)
			off = r2.Add(off, r2.Scale(weight[i], r2.Sub(r.Flat[u], o.flat[u])))
		}
		if known {
			at = r2.Add(o.flat[v], off)
		}
		r.Flat[v] = at
	})
}
