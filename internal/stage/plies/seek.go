package plies

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
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
	// meanStep is the step, rad, in which means are told apart.
	meanStep = 0.1 * math.Pi / 180
)

// Search tells what was gained by looking for a seed.
type Search struct {
	Tried        int      `json:"places_tried"`
	MiddleShear  si.Angle `json:"middle_shear_deg"` // largest on a coarse net, seed in the middle
	MiddleLocked float64  `json:"middle_locked_share"`
	SeedShear    si.Angle `json:"seed_shear_deg"` // with the seed that was taken
	SeedLocked   float64  `json:"seed_locked_share"`
	TurnShear    si.Angle `json:"turned_shear_deg"` // with the warp turned by Turn as well
	Turn         si.Angle `json:"turn_deg"`         // within the tolerance; 0: no gain worth it
}

// burden is what the cloth must bear from one seed, for the worst of the angles.
type burden struct {
	most, mean float64 // largest shear and root mean square, rad
	locked     float64 // share of the part over the locking angle or not reached
}

// rank orders burdens in steps that are worth telling apart: the largest shear,
// what locks, the mean.
func (k *seeker) rank(b burden) [3]float64 {
	return [3]float64{math.Floor(k.counted(b) / leastGain), math.Floor(b.locked / leastShare), math.Floor(b.mean / meanStep)}
}

// counted is the largest shear as far as it counts: cloth that locks will be cut
// where cuts are made, and how far it is over the limit does not matter then.
func (k *seeker) counted(b burden) float64 {
	if k.cuts {
		return min(b.most, k.locking)
	}
	return b.most
}

// worth tells whether b is enough better than another burden to move the seed.
// Where cuts are made that is so only if it saves them: else they take the shear
// away, and the middle stands.
func (k *seeker) worth(b, than burden) bool {
	gain := k.counted(than) - k.counted(b)
	less := than.locked - b.locked
	switch {
	case k.cuts && than.most >= k.locking:
		return gain >= leastGain
	case gain >= leastGain:
		return less > -leastShare
	case gain < -leastGain:
		return false
	case less >= leastShare:
		return true
	}
	return less > -leastShare && b.mean < worthMoving*than.mean && b.mean < than.mean-leastGain
}

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
	skew    r3.Vec    // a direction that no even shape is even about
}

// tried is a seed with its burden.
type tried struct {
	seed mesh.Point
	burden
	lead float64 // decides between seeds that are alike
}

// search moves the seed of a part from the middle to where the plies shear least:
// places spread over the part, then rings round the best. On a part that nearly
// unrolls all are alike, and it stays in the middle.
func (w *work) search(p *slits.Part) (from string, s *Search) {
	from = "middle"
	k, err := w.seeker(p)
	if err != nil {
		return from, nil
	}
	here := k.middle()
	s = &Search{Tried: 1, MiddleShear: si.Angle(here.most), MiddleLocked: here.locked}
	best := here
	if here.most > leastGain || here.locked > leastShare {
		found := k.look(here, &s.Tried)
		if k.worth(found.burden, here.burden) {
			best, from = found, "least shear"
			p.Seed = best.seed
		}
	}
	s.SeedShear, s.SeedLocked = si.Angle(best.most), best.locked
	k.turns(s, best, float64(w.tolerance()))
	return from, s
}

func (w *work) seeker(p *slits.Part) (*seeker, error) {
	nets, err := drape.NewTrials(p.Top)
	if err != nil {
		return nil, err
	}
	k := &seeker{part: p, warp: w.warp(), nets: nets, step: math.Sqrt(p.Area) / trialCells, locking: math.Inf(1), cuts: !w.in.Spec.Slits.None}
	k.skew = skewOf(p)
	for _, e := range p.Top.RimEdges() {
		k.ragged += ragged * k.step * p.Top.EdgeLength(int(e)) / p.Area
	}
	for _, ply := range w.in.Plies {
		locking, _ := bounds(ply)
		k.locking = min(k.locking, locking)
		// a quarter turn gives the same net
		a := math.Mod(float64(ply.Angle), math.Pi/2)
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
	point(&q, k.warp)
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

// try lays a coarse net for each of the angles, turned by as much.
func (k *seeker) try(seed mesh.Point, turn float64) (worst burden) {
	q := *k.part
	q.Seed = seed
	point(&q, k.warp)
	for _, a := range k.angles {
		net, err := k.nets.Net(seed, q.Turned(a+turn), k.step)
		if err != nil {
			return burden{math.Pi / 2, math.Pi / 2, 1}
		}
		b := k.bear(net)
		worst = burden{max(worst.most, b.most), max(worst.mean, b.mean), max(worst.locked, b.locked)}
	}
	return worst
}

// bear sums up a net. What it does not reach counts as collapsed.
func (k *seeker) bear(net *drape.Net) (b burden) {
	var area, squares, over float64
	for i := range net.Nodes {
		p := &net.Nodes[i]
		if p.Cells < 4 {
			continue
		}
		cell, γ := net.Step*net.Step*math.Cos(p.Shear), math.Abs(p.Shear)
		area += cell
		squares += cell * γ * γ
		b.most = max(b.most, γ)
		if γ > k.locking {
			over += cell
		}
	}
	left := max(0, 1-k.ragged-area/k.part.Area)
	b.locked = left + over/k.part.Area
	if left > leastShare {
		b.most = math.Pi / 2
	}
	if area > 0 {
		b.mean = math.Sqrt((1-left)*squares/area + left*math.Pi*math.Pi/4)
	}
	return b
}

// turns tries the warp turned to either end of its tolerance.
func (k *seeker) turns(s *Search, best tried, tolerance float64) {
	s.TurnShear = s.SeedShear
	if best.most <= leastGain || tolerance == 0 {
		return
	}
	for _, turn := range []float64{tolerance, -tolerance} {
		if b := k.try(best.seed, turn); k.worth(b, best.burden) {
			best.burden, s.TurnShear, s.Turn = b, si.Angle(b.most), si.Angle(turn)
		}
	}
}

// noteSearch tells what another seed or another bearing of the warp would give.
func (r *Result) noteSearch(s *Search, from string) {
	if s == nil {
		return
	}
	if from == "least shear" {
		before := fmt.Sprintf("shear by %.0f°", s.MiddleShear.Degrees())
		if s.MiddleShear > collapsed {
			before = "collapse"
		}
		r.add(fault.Note, "seed-moved", fmt.Sprintf("The seed is set at %s: from the middle of the part the plies would %s, from there they shear by %.0f°.",
			mm(vec(r.Seed)), before, s.SeedShear.Degrees()),
			"shear grows with the curvature that lies between the seed and the rim", "Write plies.seed to set it yourself.",
			s.SeedShear.Degrees(), s.MiddleShear.Degrees(), "deg")
	}
	if s.Turn != 0 {
		r.add(fault.Note, "warp-turn-helps", fmt.Sprintf("With every ply turned by %+.0f° the plies would shear by %.0f° instead of %.0f°.", s.Turn.Degrees(), s.TurnShear.Degrees(), s.SeedShear.Degrees()),
			"where yarns run against the shape's own lines matters, and this much is within plies.direction_tolerance", "Turn plies.warp by that if the strength check allows it.",
			s.TurnShear.Degrees(), s.SeedShear.Degrees(), "deg")
	}
}
