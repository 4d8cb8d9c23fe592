package plies

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/drape"
	"laywright/internal/stage/slits"
)

// sheets is what was found for one kind: a bed for each piece of cloth.
type sheets struct {
	laid *Laid
	beds []bed
	err  error
}

// bed is one piece of cloth as it lies on its part.
type bed struct {
	*slits.Bed
	part *slits.Part
}

// on returns the beds on a part.
func (s *sheets) on(p *slits.Part) (out []*slits.Bed) {
	for _, b := range s.beds {
		if b.part == p {
			out = append(out, b.Bed)
		}
	}
	return out
}

// cut tells whether the kind of ply is cut anywhere.
func (s *sheets) cut() bool {
	for _, b := range s.beds {
		if len(b.Slits) > 0 {
			return true
		}
	}
	return false
}

// hands is how many kinds or plies are worked on at the same time; the result does
// not depend on it.
const hands = 2

// sideBySide calls do for each of n things, [hands] at a time. What do writes must
// belong to its thing alone.
func sideBySide(n int, do func(i int)) {
	var group sync.WaitGroup
	room := make(chan struct{}, hands)
	for i := range n {
		room <- struct{}{}
		group.Go(func() {
			do(i)
			<-room
		})
	}
	group.Wait()
}

// layAll solves each kind of ply once: whole first, and then cut.
func (w *work) layAll(ctx context.Context) ([]*sheets, error) {
	w.room = new(drape.Room)
	defer func() { w.room = nil }()
	kinds := w.kinds()
	for i := range w.parts {
		for _, k := range kinds {
			w.parts[i].Prepare(k.limit)
		}
	}
	plain := make([]kind, len(kinds))
	for i, k := range kinds {
		plain[i] = kind{key: k.key}
	}
	whole, err := w.each(plain, func(k kind) *sheets { return w.layWhole(ctx, k) })
	if err != nil {
		return nil, err
	}
	found, err := w.each(kinds, func(k kind) *sheets { return w.layCut(ctx, k, whole[kind{key: k.key}]) })
	if err != nil {
		return nil, err
	}
	out := make([]*sheets, len(kinds))
	for i, k := range kinds {
		out[i] = found[k]
		w.gather(out[i])
	}
	return out, nil
}

// each works on the distinct kinds, [hands] at a time.
func (w *work) each(kinds []kind, work func(kind) *sheets) (map[kind]*sheets, error) {
	found := map[kind]*sheets{}
	var order []kind
	for _, k := range kinds {
		if _, known := found[k]; !known {
			found[k] = nil
			order = append(order, k)
		}
	}
	results := make([]*sheets, len(order))
	sideBySide(len(order), func(i int) { results[i] = work(order[i]) })
	for i, k := range order {
		found[k] = results[i]
	}
	for i, p := range w.in.Plies {
		if err := found[kinds[i]].err; err != nil {
			return nil, fmt.Errorf("ply %d, %s at %.0f°: %w", p.Number, p.Name, p.Angle.Degrees(), err)
		}
	}
	return found, nil
}

// layWhole lays a kind of ply without cuts; parts on which it is sure to be cut
// are left out.
func (w *work) layWhole(ctx context.Context, k kind) *sheets {
	s := &sheets{beds: make([]bed, len(w.parts))}
	for i := range w.parts {
		p := &w.parts[i]
		s.beds[i].part = p
		if k.drawn != "" || !w.in.Spec.Slits.None && p.SureToLock(w.ask(k, p)) {
			continue
		}
		bed, err := p.Lay(ctx, cut.Uncut(p.Top), w.ask(k, p))
		var none *fault.NoSolution
		switch {
		case err == nil:
			s.beds[i].Bed = bed
		case w.in.Spec.Slits.None || !errors.As(err, &none):
			s.err = err
			return s
		} // what does not lie whole may lie cut
	}
	return s
}

// layCut lays a kind of ply with cuts where it needs them.
func (w *work) layCut(ctx context.Context, k kind, whole *sheets) *sheets {
	s := &sheets{}
	for _, b := range whole.beds {
		beds, err := b.part.Beds(ctx, w.ask(k, b.part), b.Bed)
		if err != nil {
			s.err = err
			return s
		}
		for _, laid := range beds {
			s.beds = append(s.beds, bed{laid, b.part})
		}
	}
	return s
}

// gather fills in what lies on the vertices of the whole surface. At a cut that
// is the side to the right of it, or that of the first piece.
func (w *work) gather(s *sheets) {
	if s.laid != nil {
		return
	}
	n := len(w.in.Surface.Vertices)
	s.laid = &Laid{Flat: make([]r2.Vec, n), Shear: make([]float64, n), Warp: make([]r3.Vec, n), Weft: make([]r3.Vec, n)}
	done := make([]bool, n)
	for _, b := range s.beds {
		for j, v := range b.onSurface() {
			if v < 0 || done[v] {
				continue
			}
			done[v] = true
			s.laid.Flat[v], s.laid.Shear[v] = b.Flat[j], b.Shear[j]
			s.laid.Warp[v], s.laid.Weft[v] = b.Warp[j], b.Weft[j]
		}
		s.laid.Steps += b.Steps
		s.laid.Residual = max(s.laid.Residual, si.Length(b.Residual))
	}
}

// onSurface returns the vertex of the whole surface of each of the bed's own, −1
// where a cut crosses a side.
func (b bed) onSurface() []int32 {
	out := make([]int32, len(b.From))
	for j, u := range b.From {
		if out[j] = -1; u >= 0 {
			out[j] = b.part.Vertices[u]
		}
	}
	return out
}
