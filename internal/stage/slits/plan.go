package slits

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// planKey names asks that are cut along the same best lines.
type planKey struct {
	angle, locking, limit, width float64
	opposite, film               bool
	keepOff                      string
}

// onePlan is the best lines for one key, once they are found, in the model's numbers.
type onePlan struct {
	lock  sync.Mutex
	best  *lines
	whole *lines              // the best that do not part the ply, if the best do
	moved map[float64][]lines // by how far: what to try on the part, once that is found on the model
}

// lines are the cuts of a layout by themselves.
type lines struct {
	cuts, slits []route
	longer      []route  // the slits before they were shortened, for where that was too much
	middles     []r3.Vec // where their pieces are laid down
	cost        float64
}

func (l *layout) lines() lines {
	out := lines{cuts: l.cuts, slits: l.slits, cost: l.cost}
	for i, s := range l.seats {
		out.middles = append(out.middles, l.ready[i].Top.Mesh.At(s.seed))
	}
	return out
}

// worthOpposite is how many slits more a tube may take to be opened on the other side
// than the ply before.
const worthOpposite = 2

// planned returns lines to be laid for an ask, in the part's own numbers, the first
// choice first: they are found on the part's model, once for all plies that are cut
// alike. A tube is opened on the side asked for if that costs little. enough is how
// many cuts the best lines have.
func (p *Part) planned(ctx context.Context, k Ask, whole *Bed) (tries []lines, enough int, err error) {
	m := p.forPlans()
	if m.vertex != nil {
		whole = nil
		k.Limit *= coarseMargin
		k.Trifle = max(k.Trifle, coarseTrifle*m.Top.Mesh.MeanEdge()*m.Top.Mesh.MeanEdge())
	}
	one, err := p.plan(ctx, m, k, whole)
	if err != nil {
		return nil, 0, err
	}
	if k.Opposite {
		k.Opposite = false
		usual, err := p.plan(ctx, m, k, whole)
		if err != nil {
			return nil, 0, err
		}
		if usual.best.cost+worthOpposite < one.best.cost {
			one = usual
		}
	}
	on := one.tries(k.By)
	if k.By != 0 && m.vertex != nil {
		if on, err = one.aside(ctx, m, k); err != nil {
			return nil, 0, err
		}
	}
	for _, t := range on {
		tries = append(tries, m.onto(p, t))
	}
	return tries, one.best.count(), nil
}

// plan finds the best lines for an ask on a part's model, if they are not found yet.
func (p *Part) plan(ctx context.Context, m *model, k Ask, whole *Bed) (*onePlan, error) {
	key := planKey{k.Angle, k.Locking, k.Limit, k.Width, k.Opposite, k.Film, fmt.Sprint(k.KeepOff)}
	p.shared.lock.Lock()
	one := p.shared.plans[key]
	if one == nil {
		one = &onePlan{moved: map[float64][]lines{}}
		p.shared.plans[key] = one
	}
	p.shared.lock.Unlock()
	one.lock.Lock()
	defer one.lock.Unlock()
	return one, one.find(ctx, m, k, whole)
}

// forPlans returns the part's model with the seed where the part has it now.
func (p *Part) forPlans() *model {
	p.shared.lock.Lock()
	m := p.modelled()
	p.shared.lock.Unlock()
	return p.onModel(m)
}

// onModel returns a model with the part's seed.
func (p *Part) onModel(of *model) *model {
	m := *of
	if m.vertex == nil {
		m.Part = *p
		return &m
	}
	hit, _ := m.Locator.Closest(p.Top.Mesh.At(p.Seed))
	m.Seed, m.Fixed, m.Warp, m.Normal, m.Along = hit.Point, p.Fixed, p.Warp, p.Normal, p.Along
	return &m
}

// find finds the best lines, if they are not found yet.
func (one *onePlan) find(ctx context.Context, m *model, k Ask, whole *Bed) error {
	if one.best != nil {
		return nil
	}
	k.By, k.RightOver = 0, false
	w := newPlanner(ctx, &m.Part, k)
	l, err := w.search(whole)
	if err != nil {
		return err
	}
	best := l.lines()
	best.longer = w.longer.slits
	one.best = &best
	if w.unparted != nil && len(l.ready) > 1 {
		whole := w.unparted.lines()
		one.whole = &whole
	}
	return nil
}

// tries returns the best lines moved as far as asked; those that do not part the ply,
// if the best do; and the best moved less.
func (one *onePlan) tries(by float64) []lines {
	out := []lines{one.best.moved(by)}
	if one.whole != nil {
		out = append(out, one.whole.moved(by))
	}
	if by != 0 {
		out = append(out, one.best.moved(by/2), one.best.moved(0))
	}
	return out
}

// aside returns what lies best on the model where the best lines are to be moved,
// mended where a round costs little; then the tries that the model was spared, and
// last, for where the model promised too much, those that it had its doubts about.
func (one *onePlan) aside(ctx context.Context, m *model, k Ask) ([]lines, error) {
	one.lock.Lock()
	defer one.lock.Unlock()
	if on, known := one.moved[k.By]; known {
		return on, nil
	}
	tries := one.tries(k.By)
	l, tried, err := newPlanner(ctx, &m.Part, k).bestOf(tries, one.best.count())
	if err != nil {
		return nil, err
	}
	one.moved[k.By] = slices.Concat([]lines{l.lines()}, tries[tried:], tries[:tried])
	return one.moved[k.By], nil
}

// count is how many cuts there are.
func (l lines) count() int { return len(l.cuts) + len(l.slits) }

// coarseMargin is kept below the limit on a model, which shows shear less well.
const coarseMargin = 0.985

// coarseTrifle is the area, in squares of the mean side, that one vertex on the side of
// a cut stands for: what locks on less of a model is for the part itself to show.
const coarseTrifle = 0.45

// moved returns the lines as they are to be moved to the left.
func (l lines) moved(by float64) lines {
	out := lines{copied(l.cuts), copied(l.slits), copied(l.longer), l.middles, l.cost}
	for _, list := range [][]route{out.cuts, out.slits, out.longer} {
		for i := range list {
			list[i].by = by
		}
	}
	return out
}

func copied(routes []route) []route { return append([]route(nil), routes...) }

// onto returns lines on the model as they are on the part.
func (m *model) onto(p *Part, l lines) lines {
	out := lines{cuts: m.onPart(l.cuts), slits: m.onPart(l.slits), longer: m.onPart(l.longer), cost: l.cost}
	for _, x := range l.middles {
		hit, _ := p.Locator.Closest(x)
		out.middles = append(out.middles, p.Top.Mesh.At(hit.Point))
	}
	return out
}

// onPart puts routes into the part's numbers.
func (m *model) onPart(routes []route) []route {
	out := copied(routes)
	if m.vertex == nil {
		return out
	}
	number := func(list []int32) []int32 {
		var on []int32
		for _, v := range list {
			on = append(on, m.vertex[v])
		}
		return on
	}
	for i := range out {
		out[i].way, out[i].pins = number(out[i].way), number(out[i].pins)
	}
	return out
}
