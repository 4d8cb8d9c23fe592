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
