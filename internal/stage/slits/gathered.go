package slits

import (
	"context"
	"math"
	"slices"

	"laywright/internal/base/cut"
)

// Limits of [Part.Gathered].
const (
	// gatherModel is the number of vertices of the coarse copy on which such cuts are
	// planned, and gatherRounds how often they are mended there.
	gatherModel  = 1200
	gatherRounds = 3
	// filmSpot is the curvature, rad, gathered in one place for which a film is slit
	// once it does not lie whole: around such a place it is drawn far and wide.
	filmSpot = math.Pi / 9
)

// Gathered lays a sheet of which no more is asked than that it covers the part for a
// while, with few cuts that are quickly found: where it does not lie whole, tubes are
// opened, places that gather curvature are slit, and what is still over the limit gets
// a few rounds of slits more. What is wider than the roll is parted along its warp.
// Nothing is shortened: where the part closes in evenly the sheet may stay over its
// limit, and lies in pleats there.
func (p *Part) Gathered(ctx context.Context, k Ask) ([]*Bed, error) {
	m := p.gathering()
	w := newPlanner(ctx, &m.Part, k)
	l, err := w.gathered()
	if err != nil {
		return nil, err
	}
	fine, on := newPlanner(ctx, p, k), m.onto(p, l.lines())
	fine.middles = on.middles
	if l, err = fine.lay(on.cuts, on.slits); err != nil {
		return nil, err
	}
	return fine.finished(l)
}

// gathering returns a coarse copy of the part, or the part where it is coarse.
func (p *Part) gathering() *model {
	return p.onModel(p.shared.gathering())
}

// gathered is the search of [Part.Gathered].
func (w *planner) gathered() (*layout, error) {
	cuts := w.openings()
	l, err := w.lay(cuts, nil)
	if err != nil {
		return nil, err
	}
	if w.worst(l) >= 0 {
		spots := *w
		if w.k.Film {
			spots.k.Limit = min(w.k.Limit, filmSpot)
		}
		if l, err = w.lay(cuts, spots.spotSlits(cuts, nil)); err != nil {
			return nil, err
		}
		if l, err = w.mended(l, gatherRounds); err != nil {
			return nil, err
		}
	}
	for len(l.ready) < mostPieces {
		next, err := w.stripped(l)
		if err != nil || next == nil {
			return l, err
		}
		l = next
	}
	return l, nil
}

// stripped returns a layout in which the first piece that is too wide for the roll is
// parted along its warp; nil where there is none, or no line for it.
func (w *planner) stripped(l *layout) (*layout, error) {
	for i, b := range l.beds {
		if b == nil || !(w.k.Width > 0 && b.wide() > w.k.Width) {
			continue
		}
		keep, g := w.without(l, i)
		c := newCountry(g, w.k)
		lev := levelOf(b, w.k.Width)
		doors := slices.DeleteFunc(c.doors(0), func(d gate) bool { return lev.off(g.From[d.v]) > g.Top.Mesh.MeanEdge() })
		way := c.alongWarp(doors, lev)
		if way == nil {
			continue
		}
		cuts := copied(l.cuts)
		for _, leg := range c.legs(way) {
			r := route{way: leg, rims: true}
			r.way = w.p.pulled(r)
			cuts = append(cuts, r)
		}
		inside := func(piece *cut.Ground) bool { return within(piece, g) }
		next, err := w.lay(cuts, append(copied(keep), w.spotSlits(cuts, inside)...))
		if err != nil || len(next.ready) > len(l.ready) {
			return next, err
		}
	}
	return nil, nil
}
