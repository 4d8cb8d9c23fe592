package slits

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// fewSlits is the number of slits up to which those of the first round are taken as
// needed: cloth locked at each.
const fewSlits = 4

// halvings is how often the length of slits is halved in the search for the
// least; the last step is an eighth of a slit, or less.
const halvings = 3

// shortened takes slits out that are not needed, and shortens the others by the
// same share of their lengths as long as nothing gets worse.
func (w *planner) shortened(l *layout) (*layout, error) {
	if len(l.slits) == 0 || w.worst(l) >= 0 && len(l.slits) > mostSlits/2 {
		return l, nil
	}
	best, err := w.pruned(l)
	if err != nil {
		return nil, err
	}
	lo, hi := 0.0, 1.0 // of each slit taken off at its tip
	from, steps := best, halvings
	if !slices.ContainsFunc(from.slits, func(r route) bool { return len(r.pins) == 0 }) {
		hi /= 2 // they begin where curvature is gathered, and hardly too far in
	}
	if !slices.ContainsFunc(from.slits, func(r route) bool { return !r.pinned(r.way[0]) }) {
		steps-- // none has been deepened
	}
	for range steps {
		if w.tired() {
			break
		}
		share := (lo + hi) / 2
		var slits []route
		for _, r := range from.slits {
			slits = append(slits, w.p.tippedBack(r, share))
		}
		next, err := w.lay(copied(from.cuts), slits)
		if err != nil {
			return nil, err
		}
		if next.cost < best.cost {
			best, lo = next, share
		} else {
			hi = share
		}
	}
	return best, nil
}

// pruned takes out slits, one by one, without which the cloth lies as well.
func (w *planner) pruned(l *layout) (*layout, error) {
	for i := 0; i < len(l.slits) && !w.tired(); {
		if len(l.slits[i].pins) > 0 || !l.slits[i].late && len(l.slits) <= fewSlits {
			i++
			continue // it lets out what is sure to lock, or did
		}
		less := append(copied(l.slits[:i]), l.slits[i+1:]...)
		next, err := w.lay(copied(l.cuts), less)
		if err != nil {
			return nil, err
		}
		if next.cost < l.cost {
			l = next
		} else {
			i++
		}
	}
	return l, nil
}

// tippedBack returns a slit without a share of its length at the tip: it begins
// at the vertex of its path nearest to there.
func (p *Part) tippedBack(r route, share float64) route {
	if r.rims || share == 0 {
		return r
	}
	path, ok := p.shared.tracer().Along(r.way)
	if !ok {
		return r
	}
	m := p.Top.Mesh
	arc := make([]float64, len(path))
	for i := 1; i < len(path); i++ {
		arc[i] = arc[i-1] + r3.Norm(r3.Sub(path[i].At(m), path[i-1].At(m)))
	}
	off := share * arc[len(arc)-1]
	if r.pinned(r.way[0]) && off > r.room {
		return r // it would leave out the corner that it is for
	}
	first := 0
	for first < len(path)-1 && arc[first] < off {
		first++
	}
	tip := path[first].A
	if path[first].B >= 0 && path[first].T > 0.5 {
		tip = path[first].B
	}
	if p.rim[tip] || tip == r.way[0] {
		return r
	}
	out := route{way: []int32{tip}, by: r.by, late: r.late}
	at := 0 // stop of the way's vertices along the path
	for _, v := range r.way[1:] {
		for at < len(path)-1 && !(path[at].B < 0 && path[at].A == v) {
			at++
		}
		if at > first && v != tip {
			out.way = append(out.way, v)
		}
	}
	for _, v := range r.pins {
		for _, u := range out.way {
			if u == v {
				out.pins = append(out.pins, v)
			}
		}
	}
	if len(out.way) < 2 {
		return r
	}
	return out
}
