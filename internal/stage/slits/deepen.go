package slits

import "math"

// mendedOrDeeper mends a layout. Deeper slits come first if they do, and last if
// more slits would be needed else.
func (w *planner) mendedOrDeeper(l *layout) (*layout, error) {
	deep, err := w.deepened(l)
	if err != nil || w.worst(deep) < 0 {
		return deep, err
	}
	best, err := w.mended(l, mostRounds)
	if err != nil || deep == l || w.worst(best) < 0 && best.count() == l.count() {
		return best, err
	}
	if deep, err = w.mended(deep, mostRounds); err != nil || deep.cost < best.cost {
		return deep, err
	}
	return best, nil
}

// deepenings is how often tips are moved on: to the far side of what is gathered at
// them, and as far again.
const deepenings = 2

// deepened moves the tips of slits on where cloth locks, and returns the layout that
// costs least: a slit that ends in the middle of what is gathered there leaves half of
// it before its tip, where yarns that pass the tip enclose it. What is too much is taken
// off later.
func (w *planner) deepened(l *layout) (*layout, error) {
	best := l
	for range deepenings {
		if w.worst(l) < 0 || l.trouble < muchTrouble {
			break
		}
		slits, changed := copied(l.slits), false
		for i, r := range slits {
			if longer, ok := w.p.lengthened(r, r.room); ok && r.room > 0 {
				slits[i], changed = longer, true
			}
		}
		if !changed {
			break
		}
		var err error
		if l, err = w.lay(copied(l.cuts), slits); err != nil {
			return nil, err
		}
		if l.cost < best.cost {
			best = l
		}
	}
	return best, nil
}

// deepen lengthens the slits whose tips lie between a locked place and the yarns
// through the seed, if there are any: what is left of the curvature before a tip is
// enclosed there.
func (m *mending) deepen(b *Bed, at Place) (found bool) {
	q := b.Flat[at.At]
	for _, s := range b.Slits {
		if !s.Tip() || m.all[s.Route].rims {
			continue
		}
		if tip := b.Flat[s.Left[0]]; tip.X*q.X < 0 || tip.Y*q.Y < 0 || math.Abs(tip.X) > math.Abs(q.X) || math.Abs(tip.Y) > math.Abs(q.Y) {
			continue
		}
		if r, ok := m.p.better(m.all[s.Route], b, at, true); ok && !m.done[s.Route] {
			m.all[s.Route], m.changed, m.done[s.Route] = r, true, true
		}
		found = true
	}
	return found
}
