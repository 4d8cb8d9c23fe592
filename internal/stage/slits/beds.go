package slits

import (
	"context"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// fineWork is how many vertices may be laid again, in rounds, to mend on the part
// itself cuts that were planned on its model: one round at least, and no more than
// mostRounds.
const fineWork = 50000

// mostTries is the work, as in [mostWork], after which no other lines are tried on
// the part itself while there are some on which all of it could be laid.
const mostTries = mostWork * 3 / 2

// Beds finds the cuts that a ply needs on a part, and lays it: one bed a piece of
// cloth. Bed 0 holds the part's own seed. whole is the ply without cuts, if that
// was laid.
func (p *Part) Beds(ctx context.Context, k Ask, whole *Bed) ([]*Bed, error) {
	w := newPlanner(ctx, p, k)
	if whole != nil && (k.Forbid || len(k.Drawn) == 0 && !w.faulty(whole)) {
		return []*Bed{whole}, nil
	}
	if k.Forbid {
		b, err := p.Lay(ctx, cut.Uncut(p.Top), k)
		return []*Bed{b}, err
	}
	if len(k.Drawn) > 0 {
		return w.drawnBeds()
	}
	tries, enough, err := p.planned(ctx, k, whole)
	if err != nil {
		return nil, err
	}
	l, _, err := w.bestOf(tries, enough)
	if err != nil {
		return nil, err
	}
	if l, err = w.polished(l); err != nil {
		return nil, err
	}
	return w.finished(l)
}

// bestOf lays lines, mended, one after the other, until one layout lies with no more
// cuts than are enough, and returns the best and how many were laid.
func (w *planner) bestOf(tries []lines, enough int) (best *layout, tried int, err error) {
	for ; tried < len(tries); tried++ {
		lies := best != nil && w.worst(best) < 0
		if lies && best.count() <= enough || best != nil && w.spent > mostTries && !slices.Contains(best.beds, nil) {
			break
		}
		l, err := w.mendedOn(tries[tried])
		if err != nil {
			return nil, 0, err
		}
		if best == nil || l.cost < best.cost && (!lies || l.count() < best.count()) {
			best = l
		}
	}
	return best, tried, nil
}

// mendedOn lays planned lines on the part itself. Where cloth locks that did not on
// the model, it takes the slits as they were before they were shortened, and mends what
// costs less. Pieces are laid down where the plan lays them, even if the lines are moved.
func (w *planner) mendedOn(on lines) (*layout, error) {
	w.middles = on.middles
	l, err := w.lay(on.cuts, on.slits)
	if err != nil || w.worst(l) < 0 {
		return l, err
	}
	if len(on.longer) > 0 {
		longer, err := w.lay(on.cuts, on.longer)
		if err != nil || w.worst(longer) < 0 {
			return longer, err
		}
		if longer.cost < l.cost {
			l = longer
		}
	}
	return w.mended(l, max(1, min(mostRounds, fineWork/len(w.p.Top.Mesh.Vertices))))
}

// drawnBeds lays a ply with the cuts that the person drew.
func (w *planner) drawnBeds() ([]*Bed, error) {
	routes, lost := w.p.drawn(w.k.Drawn)
	var cuts, slits []route
	for _, r := range routes {
		if r.rims {
			cuts = append(cuts, r)
		} else {
			slits = append(slits, r)
		}
	}
	_, closed := w.p.open(append(copied(cuts), slits...))
	l, err := w.lay(cuts, slits)
	if err != nil {
		return nil, fmt.Errorf("with the drawn cuts: %w", err)
	}
	if w.k.More && w.worst(l) >= 0 {
		if l, err = w.mended(l, mostRounds); err != nil {
			return nil, err
		}
	}
	beds, err := w.finished(l)
	if err != nil {
		return nil, fmt.Errorf("with the drawn cuts: %w", err)
	}
	beds[0].Unreachable = lost + len(closed)
	return beds, nil
}

// finished returns the beds of a layout, the one with the part's seed first. A
// piece that could not be laid is tried once more for its error.
func (w *planner) finished(l *layout) ([]*Bed, error) {
	order := []int{l.own}
	for i := range l.ready {
		if i != l.own {
			order = append(order, i)
		}
	}
	var out []*Bed
	trespass := 0.0
	for _, i := range order {
		b := l.beds[i]
		if b == nil {
			var err error
			if b, err = w.p.layFrom(w.ctx, l.ready[i], w.k, l.seats[i]); err != nil {
				return nil, err
			}
		}
		for n := range b.Slits {
			b.Slits[n].RightOver = w.k.RightOver
			trespass += w.inKept(b, b.Slits[n])
		}
		out = append(out, b)
	}
	out[0].Trespass = trespass
	for _, r := range l.routes() {
		for _, v := range r.pins {
			out[0].Pinned = append(out[0].Pinned, w.p.Top.Mesh.Vertices[v])
		}
	}
	return out, nil
}

// inKept is the length of a slit inside places to be kept off; of a seam between
// two pieces half belongs to each.
func (w *planner) inKept(b *Bed, s cut.Slit) (sum float64) {
	m := b.Top.Mesh
	for _, side := range [2][]int32{s.Left, s.Right} {
		for i := 1; i < len(side); i++ {
			x, y := m.Vertices[side[i-1]], m.Vertices[side[i]]
			if w.k.kept(r3.Scale(0.5, r3.Add(x, y))) {
				sum += r3.Norm(r3.Sub(x, y)) / 2
			}
		}
	}
	return sum
}
