package seed

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/stage/drape"
	"laywright/internal/stage/slits"
)

// The search for a seed. trials is how many places spread over the part are tried
// first, and poles how many middles of curvature; trialCells how many cells of the
// net go along the square root of the area. The best few are tried again in a ring
// round each, closer by closer each time.
const (
	trials     = 24
	poles      = 6
	trialCells = 14
	bestFew    = 3
	ring       = 6
	closer     = 3.0
	// ragged is how wide a strip along the rim, in steps of the net, it may leave
	// out.
	ragged = 1.3
	// likely is how many of the places are tried at all angles of the plies.
	likely = 8
	// nudge is by how much, rad, plies are turned in a second trial of the middle:
	// in an even shape yarns from the very middle may run along a sharp edge,
	// where a coarse net loses its way.
	nudge = 0.5 * math.Pi / 180
	// Another seed must be better than the middle by leastGain, rad, in the
	// largest shear or by leastShare of the part in what locks, or have less
	// than worthMoving of its mean: work that goes out evenly from the middle is
	// easier on the hands.
	leastGain   = 3 * math.Pi / 180
	leastShare  = 0.02
	worthMoving = 0.7
	// takes is the shear, rad, that cloth takes wherever it is begun: the middle stands.
	takes = 8 * math.Pi / 180
	// meanStep is the step, rad, in which means are told apart.
	meanStep = 0.1 * math.Pi / 180
)

// hands is how many seeds are tried at the same time; the result does not depend
// on it.
const hands = 2

// seeker tries seeds on one part.
type seeker struct {
	part    *slits.Part
	warp    r3.Vec
	nets    *drape.Trials
	step    float64
	ragged  float64   // share of the part that a net may leave out along its rim
	angles  []float64 // that lie unlike, rad
	locking float64   // least of the plies'
	cuts    bool      // what locks will be cut
	shore   shore
	lost    bool   // the warp stands straight up on the middle already
	skew    r3.Vec // a direction that no even shape is even about
}

// tried is a seed with its burden.
type tried struct {
	seed mesh.Point
	burden
	lead float64 // decides between seeds that are alike
}

func newSeeker(p *slits.Part, ask Ask) (*seeker, error) {
	nets, err := drape.NewTrials(p.Top)
	if err != nil {
		return nil, err
	}
	k := &seeker{part: p, warp: ask.Warp, nets: nets, step: math.Sqrt(p.Area) / trialCells, locking: float64(ask.Locking), cuts: ask.Cuts, skew: skewOf(p), shore: newShore(p)}
	middle := *p
	k.lost = Aim(&middle, ask.Warp)
	for _, e := range p.Top.RimEdges() {
		k.ragged += ragged * k.step * p.Top.EdgeLength(int(e)) / p.Area
	}
	for _, angle := range ask.Angles {
		// a quarter turn gives the same net
		a := math.Mod(float64(angle), math.Pi/2)
		if a < 0 {
			a += math.Pi / 2
		}
		if !slices.ContainsFunc(k.angles, func(b float64) bool { return math.Abs(math.Remainder(a-b, math.Pi/2)) < 1e-6 }) {
			k.angles = append(k.angles, a)
		}
	}
	return k, nil
}

// middle tries the seed that the part has, and all turned by a trifle.
func (k *seeker) middle() tried {
	here := tried{seed: k.part.Seed, burden: k.try(k.part.Seed, 0)}
	if beside := (tried{seed: k.part.Seed, burden: k.try(k.part.Seed, nudge)}); k.compare(beside, here) < 0 {
		return beside
	}
	return here
}

// compare orders by rank, the better first. Of seeds that are alike, as on an even
// shape, the one further along a skew direction comes first, however the mesh is
// numbered or turned.
func (k *seeker) compare(a, b tried) int {
	x, y := k.rank(a.burden), k.rank(b.burden)
	return cmp.Or(slices.Compare(x[:], y[:]), cmp.Compare(b.lead, a.lead))
}

// look returns the best seed found away from the middle; the middle where no place
// is better even for one of the angles alone.
func (k *seeker) look(here tried, count *int) tried {
	reach := math.Sqrt(k.part.Area / trials)
	places := append(spread(k.part, trials, k.skew), middlesOfCurvature(k.part, poles, reach, k.skew)...)
	*count += len(places)
	one := *k
	one.angles = k.angles[:1]
	list := one.best(one.all(places), likely)
	if len(list) == 0 || k.compare(list[0], here) >= 0 {
		return here
	}
	places = places[:0]
	for _, t := range list {
		places = append(places, t.seed)
	}
	list = k.all(places)
	for _, few := range []int{bestFew, 1} {
		reach /= closer
		places = places[:0]
		for _, t := range k.best(list, few) {
			places = append(places, k.around(t.seed, reach)...)
		}
		*count += len(places)
		list = append(list, k.all(places)...)
	}
	return k.evened(k.best(list, 1)[0], reach)
}

// best returns the best few.
func (k *seeker) best(list []tried, few int) []tried {
	slices.SortStableFunc(list, k.compare)
	return list[:min(few, len(list))]
}

// around returns places in a ring about a seed, as far off along the surface.
func (k *seeker) around(seed mesh.Point, reach float64) (out []mesh.Point) {
	q := *k.part
	q.Seed = seed
	Aim(&q, k.warp)
	for i := range ring {
		line, err := q.Top.Trace(seed, q.Turned(2*math.Pi*float64(i)/ring), reach)
		if err == nil && !line.AtRim && len(line.Pieces) > 0 {
			out = append(out, line.End(q.Top.Mesh).Point)
		}
	}
	return out
}

// all tries seeds, [hands] at a time.
func (k *seeker) all(seeds []mesh.Point) []tried {
	out := make([]tried, len(seeds))
	var group sync.WaitGroup
	for hand := range hands {
		group.Go(func() {
			for i := hand; i < len(seeds); i += hands {
				out[i] = tried{seeds[i], k.try(seeds[i], 0), r3.Dot(k.part.Top.Mesh.At(seeds[i]), k.skew)}
			}
		})
	}
	group.Wait()
	return out
}

// evened moves a seed onto a plane through the middle, along the warp or across it,
// that it all but lies on, where that is as good: an even shape is laid evenly, and
// such a place is easier to find on the mould.
func (k *seeker) evened(best tried, reach float64) tried {
	p := k.part
	m := p.Top.Mesh
	middle := m.At(p.Seed)
	up := meanNormal(m)
	along := level(k.warp, up)
	if up == (r3.Vec{}) || r3.Norm(along) < LeastShadow {
		return best
	}
	along = r3.Unit(along)
	for _, axis := range []r3.Vec{along, r3.Cross(up, along)} {
		at := m.At(best.seed)
		off := r3.Dot(r3.Sub(at, middle), axis)
		if math.Abs(off) > reach {
			continue
		}
		if hit, ok := p.Locator.Closest(r3.Sub(at, r3.Scale(off, axis))); ok && hit.Distance < reach {
			if t := k.all([]mesh.Point{hit.Point})[0]; t.most < best.most+leastGain/3 && t.locked < best.locked+leastShare/2 {
				best = t
			}
		}
	}
	return best
}
