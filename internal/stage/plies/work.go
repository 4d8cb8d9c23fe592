package plies

import (
	"context"
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/slits"
)

// work is one call of [Lay]: the surface in parts that hang together, each with
// its own seed.
type work struct {
	in    Input
	top   *mesh.Topology
	areas []float64 // of vertices
	parts []slits.Part
	lost  int // drawn slits that could not be cut
}

func newWork(in Input) (*work, error) {
	top, err := mesh.NewTopology(in.Surface)
	if err != nil {
		return nil, err
	}
	parts, err := slits.Parts(in.Surface)
	return &work{in: in, top: top, areas: in.Surface.VertexAreas(), parts: parts}, err
}

// key names plies that lie alike. limit is the shear over which they are slit,
// rad; it differs from locking where the record has none.
type key struct{ angle, locking, limit float64 }

// kind names plies that lie alike and are slit along the same lines: by is how
// far their slits are moved to the left of the best lines, m.
type kind struct {
	key
	by float64
}

// sheets is what the solver found for one kind, by part.
type sheets struct {
	laid *Laid
	beds []*slits.Bed
	err  error
}

// slit tells whether the kind of ply is slit anywhere.
func (s *sheets) slit() bool {
	for _, b := range s.beds {
		if len(b.Slits) > 0 {
			return true
		}
	}
	return false
}

// hands is how many kinds are solved at the same time; the result does not
// depend on it.
const hands = 2

// layAll solves each kind of ply once: whole, and where that locks with slits.
func (w *work) layAll(ctx context.Context) ([]*sheets, error) {
	kinds := make([]kind, len(w.in.Plies))
	for i, p := range w.in.Plies {
		locking, _ := bounds(p)
		kinds[i].key = key{float64(p.Angle), float64(p.Fabric.Locking.Or(0)), locking}
	}
	for i := range w.parts {
		for _, k := range kinds {
			w.parts[i].Prepare(k.limit)
		}
	}
	found := map[kind]*sheets{}
	err := w.each(ctx, kinds, found, func(k kind, s *sheets) error { return w.layWhole(ctx, k, s) })
	if err != nil {
		return nil, err
	}
	whole := make([]*sheets, len(kinds))
	slitted := map[kind]*sheets{}
	for i, k := range kinds {
		whole[i] = found[k]
		kinds[i].by = w.side(i)
	}
	if w.in.Spec.Slits.None {
		return w.gathered(whole), nil
	}
	err = w.each(ctx, kinds, slitted, func(k kind, s *sheets) error { return w.laySlit(ctx, k, found[kind{key: k.key}], s) })
	if err != nil {
		return nil, err
	}
	for i, k := range kinds {
		whole[i] = slitted[k]
	}
	for _, b := range whole[0].beds {
		w.lost += b.Unreachable
	}
	return w.gathered(whole), nil
}

// side returns how far the slits of ply i are moved: neighbours to either side,
// half the stagger each and half a triangle more, since they are moved from
// vertex to vertex.
func (w *work) side(i int) float64 {
	stagger := float64(or(w.in.Spec.Stagger, usualStagger))
	if len(w.in.Plies) == 1 || stagger == 0 {
		return 0
	}
	by := stagger/2 + w.in.Surface.MeanEdge()/2
	if i%2 == 0 {
		return -by
	}
	return by
}

// each works on the distinct kinds, [hands] at a time.
func (w *work) each(ctx context.Context, kinds []kind, found map[kind]*sheets, work func(kind, *sheets) error) error {
	var order []kind
	for _, k := range kinds {
		if found[k] == nil {
			found[k] = &sheets{}
			order = append(order, k)
		}
	}
	var group sync.WaitGroup
	room := make(chan struct{}, hands)
	for _, k := range order {
		group.Add(1)
		go func(s *sheets) {
			defer group.Done()
			room <- struct{}{}
			s.err = work(k, s)
			<-room
		}(found[k])
	}
	group.Wait()
	for i, p := range w.in.Plies {
		if err := found[kinds[i]].err; err != nil {
			return fmt.Errorf("ply %d, %s at %.0f°: %w", p.Number, p.Name, p.Angle.Degrees(), err)
		}
	}
	return nil
}

// layWhole lays a kind of ply without slits; parts on which it is sure to be
// slit are left out.
func (w *work) layWhole(ctx context.Context, k kind, s *sheets) error {
	for i := range w.parts {
		p := &w.parts[i]
		if len(w.in.Spec.Slits.Drawn) > 0 || !w.in.Spec.Slits.None && p.SureToLock(k.limit) {
			s.beds = append(s.beds, nil)
			continue
		}
		b, err := p.Lay(ctx, cut.Uncut(p.Top), w.ask(k))
		if err != nil {
			return err
		}
		s.beds = append(s.beds, b)
	}
	return nil
}

// laySlit lays a kind of ply with slits where it needs them.
func (w *work) laySlit(ctx context.Context, k kind, whole, s *sheets) error {
	for i := range w.parts {
		p, b := &w.parts[i], whole.beds[i]
		var err error
		switch {
		case len(w.in.Spec.Slits.Drawn) > 0:
			b, err = p.Drawn(ctx, w.drawnOn(p), w.ask(k))
		case b == nil || len(b.Locked(k.limit, w.trifle())) > 0:
			b, err = p.Cut(ctx, w.ask(k), b)
			if err != nil && b == nil && ctx.Err() == nil {
				b, err = p.Lay(ctx, cut.Uncut(p.Top), w.ask(k))
			}
		}
		if err != nil {
			return err
		}
		s.beds = append(s.beds, b)
	}
	return nil
}

// gathered fills in, for each of the sheets, what lies on the vertices of the
// whole surface. At a slit that is the side to the right of it.
func (w *work) gathered(all []*sheets) []*sheets {
	n := len(w.in.Surface.Vertices)
	for _, s := range all {
		if s.laid != nil {
			continue
		}
		s.laid = &Laid{Flat: make([]r2.Vec, n), Shear: make([]float64, n), Warp: make([]r3.Vec, n), Weft: make([]r3.Vec, n)}
		for i, b := range s.beds {
			for j, v := range w.parts[i].Vertices {
				s.laid.Flat[v], s.laid.Shear[v] = b.Flat[j], b.Shear[j]
				s.laid.Warp[v], s.laid.Weft[v] = b.Warp[j], b.Weft[j]
			}
			s.laid.Steps += b.Steps
			s.laid.Residual = max(s.laid.Residual, si.Length(b.Residual))
		}
	}
	return all
}

// ask puts a kind into the words of the search for slits.
func (w *work) ask(k kind) slits.Ask {
	return slits.Ask{Angle: k.angle, Locking: k.locking, Limit: k.limit, By: k.by, Trifle: w.trifle()}
}

func (w *work) trifle() float64 { return trifle * w.in.Surface.Area() }

// drawnOn returns the drawn slits that are nearest to a part.
func (w *work) drawnOn(p *slits.Part) (out []slits.Line) {
	for _, line := range w.in.Spec.Slits.Drawn {
		if w.nearestPart(line.From.V) == p {
			out = append(out, slits.Line{From: line.From.V, To: line.To.V})
		}
	}
	return out
}

func (w *work) nearestPart(at r3.Vec) *slits.Part {
	best, out := math.Inf(1), &w.parts[0]
	for i := range w.parts {
		if hit, ok := w.parts[i].Locator.Closest(at); ok && hit.Distance < best {
			best, out = hit.Distance, &w.parts[i]
		}
	}
	return out
}
