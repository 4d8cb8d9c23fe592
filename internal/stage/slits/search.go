package slits

import "laywright/internal/base/cut"

// mostPieces is how many pieces one part of a ply is parted into at the most.
const mostPieces = 6

// manyCuts is the number of slits from which on a ply in two pieces is tried
// although it lies in one.
const manyCuts = 5

// search finds the cuts that cost least, in steps that are few enough to wait for:
// openings of tubes and slits where curvature is gathered; slits lengthened and
// added; then, as long as that does not do, the worst piece parted in two along
// the best of some lines, and again.
func (w *planner) search(whole *Bed) (*layout, error) {
	if whole != nil {
		if !w.faulty(whole) {
			return &layout{beds: []*Bed{whole}, ready: []*cut.Ground{whole.Ground}}, nil
		}
		s := w.p.ownSeat(whole.Ground)
		w.known[fingerprint(whole.Ground, s)] = whole
	}
	cuts := w.openings()
	first, err := w.lay(cuts, w.spotSlits(cuts, nil))
	if err != nil {
		return nil, err
	}
	if len(cuts) > 0 && w.worst(first) >= 0 { // a ring may lie better closed, if a yarn from the seed spans it
		closed, err := w.lay(nil, w.spotSlits(nil, nil))
		if err != nil {
			return nil, err
		}
		if closed.cost < first.cost {
			first = closed
		}
	}
	best, err := w.mendedOrDeeper(first)
	if err != nil {
		return nil, err
	}
	w.unparted = best
	if best, err = w.partedOn(best); err != nil {
		return nil, err
	}
	if w.worst(best) < 0 && len(best.ready) == 1 && len(best.slits) >= manyCuts {
		other, err := w.parted(best, 0)
		if err != nil {
			return nil, err
		}
		if other != nil {
			if other, err = w.mended(other, mostRounds); err != nil {
				return nil, err
			}
			if other, err = w.partedOn(other); err != nil {
				return nil, err
			}
			if other.cost < best.cost {
				best = other
			}
		}
	}
	w.longer = best
	return w.shortened(best)
}

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
// costs least: a slit that ends in the middle of what is gathered there leaves half of it before its
// tip, where yarns that pass the tip enclose it. What is too much is taken off later.
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

// muchTrouble is the trouble from which on parting is tried: a thousandth of the
// part locked. Less is left to slits.
const muchTrouble = lockCost / 1000

// partedOn parts the worst piece in two again and again, as long as that pays.
func (w *planner) partedOn(best *layout) (*layout, error) {
	for len(best.ready) < mostPieces && !w.tired() {
		i := w.worst(best)
		if i < 0 || best.trouble < muchTrouble {
			break
		}
		next, err := w.parted(best, i)
		if err != nil {
			return nil, err
		}
		if next == nil {
			break
		}
		if next, err = w.mended(next, mostRounds); err != nil {
			return nil, err
		}
		if next.cost >= best.cost {
			break
		}
		best = next
	}
	return best, nil
}

// spotSlits returns a slit for each place that gathers more curvature than cloth
// takes, on the pieces that the cuts leave. keep are slits that stay; only pieces
// that pass get others.
func (w *planner) spotSlits(cuts []route, pass func(g *cut.Ground) bool) (out []route) {
	g, _ := w.p.open(cuts)
	for _, piece := range g.Pieces() {
		if pass != nil && !pass(piece) {
			continue
		}
		spots := spotsOf(piece.Top, w.k.Limit)
		var hollows []hotspot
		for _, h := range spots {
			if h.curvature < 0 {
				hollows = append(hollows, h)
			}
		}
		c := newCountry(piece, w.k)
		for _, h := range spots {
			if h.curvature > 0 && len(out) < mostSlits {
				out = append(out, w.p.routesFrom(c, h, hollows)...)
			}
		}
	}
	return out
}
