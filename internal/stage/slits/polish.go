package slits

import (
	"math"
	"slices"

	"laywright/internal/base/cut"
)

// polishWork is how many vertices may be laid again, in tries, for what is only
// tight beside slits, and polishTries how many tries there are at the most.
const (
	polishWork  = 120_000
	polishTries = 40
)

// nudges are how far tips and exits are moved for it, in mean sides.
var nudges = [...]float64{0.5, 1.5, 3}

// The slits may get longer by it, all together, by a share of their length and so
// many mean sides.
const (
	longerShare = 0.2
	longerSides = 1.5
)

// polished moves the tips and the exits of slits beside which cloth is still over
// the limit, a triangle or two wide, and keeps what costs least, again and again.
func (w *planner) polished(l *layout) (*layout, error) {
	tries := min(polishTries, polishWork/len(w.p.Vertices))
	most := (1+longerShare)*l.long + longerSides*w.p.Top.Mesh.MeanEdge()
	for l.trouble > 0 {
		best := l
		for _, n := range w.tightAt(l) {
			for _, r := range w.p.nudged(l.routes()[n]) {
				if tries--; tries < 0 || w.tired() {
					return best, nil
				}
				all := l.routes()
				all[n] = r
				next, err := w.lay(all[:len(l.cuts)], all[len(l.cuts):])
				if err != nil {
					return nil, err
				}
				if next.long < most && next.cost < best.cost {
					best = next
				}
				if best.trouble == 0 {
					return best, nil
				}
			}
		}
		if best == l {
			break
		}
		l = best
	}
	return l, nil
}

// tightAt returns the routes of the slits at which cloth is tight.
func (w *planner) tightAt(l *layout) (out []int) {
	for _, b := range l.beds {
		if b == nil {
			continue
		}
		_, tight := b.LockedAndTight(w.k.Limit, w.k.Trifle)
		for _, at := range tight {
			if n, _ := b.closestSlit(at); n >= 0 && !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
}

// nudged returns a slit with its exit moved along the rim to either side, or its
// tip moved on.
func (p *Part) nudged(r route) (out []route) {
	if r.rims {
		return nil
	}
	edge := p.Top.Mesh.MeanEdge()
	for by := r.by / 2; math.Abs(by) > edge; by /= 2 {
		back := r
		back.by = by
		out = append(out, back)
	}
	tips := []route{r}
	for _, far := range nudges {
		if longer, ok := p.lengthened(r, far*edge); ok {
			tips = append(tips, longer)
		}
	}
	out = append(out, tips[1:]...)
	for _, far := range nudges {
		for _, tip := range tips {
			for _, end := range p.alongRim(r.way[len(r.way)-1], far*edge) {
				if moved, ok := p.ledOutAt(tip, end); ok {
					out = append(out, moved)
				}
			}
		}
	}
	return out
}

// alongRim returns the two vertices of the rim that lie so far from one of it.
func (p *Part) alongRim(v int32, far float64) (out []int32) {
	for _, loop := range p.Top.RimLoops() {
		line := p.Top.LoopVertices(loop)
		at := slices.Index(line, v)
		if at < 0 {
			continue
		}
		n := len(line)
		for _, way := range []int{1, n - 1} {
			gone, i := 0.0, at
			for gone < far {
				next := (i + way) % n
				gone += cut.Length(p.Top.Mesh, line[i], line[next])
				if i = next; i == at {
					break
				}
			}
			out = append(out, line[i])
		}
		break
	}
	return out
}

// ledOutAt returns a slit that leaves at another vertex of the rim, from its tip or
// the last place that it must run through.
func (p *Part) ledOutAt(r route, end int32) (route, bool) {
	from := 0
	for i, u := range r.way {
		if r.pinned(u) {
			from = i
		}
	}
	if end == r.way[len(r.way)-1] || from == len(r.way)-1 {
		return r, false
	}
	on := cut.RoadsOn(p.Top, []int32{r.way[from]}, cut.Terms{Ends: func(u int32) bool { return p.rim[u] }})
	r.way = append(r.way[:from:from], on.To(end)...)
	r.way = p.pulled(r)
	return r, len(r.way) > 1
}
