package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// When another pull counts as clearly better than the one judged.
var (
	lessLocked = 0.5           // it locks no more than this share
	moreDraft  = si.Degrees(1) // or its least draft is this much more, where it is scant
)

// better returns the best other pull, nil where none is clearly better than the
// one judged.
//
// Where some direction has all normals leaning forward, the one with the greatest
// least draft is found exactly. Where none has, or it runs into another region,
// the grid is searched for what locks least, truly seen, and the best few are
// refined by steps that halve.
func (s *surface) better(judged Pull) *Pull {
	if judged.Free() && judged.MinDraft >= WantedDraft {
		return nil
	}
	on := s.places(s.whole(), 1+len(s.part.Triangles)/mostCompared)
	var best *Pull
	try := func(e r3.Vec) {
		p := s.judge(partMoves, e, on)
		if best == nil || weight(p) < weight(*best)-1e-12 {
			best = &p
		}
	}
	if e, ok := s.open(); ok {
		try(e)
	}
	if !judged.Free() && (best == nil || !best.Free()) {
		for _, e := range s.search() {
			try(e)
		}
	}
	if best == nil {
		return nil
	}
	found := s.pull(partMoves, best.dir())
	if !clearly(found, judged) {
		return nil
	}
	return &found
}

// mostCompared is how many triangles pulls are compared on; the one that is chosen
// is judged on all.
const mostCompared = 20000

// weight is the cost of a pull, as [survey] counts it, less a little for draft.
func weight(p Pull) float64 {
	return float64(p.Locked()) + scantCost*float64(p.Low) - 1e-6*max(0, min(float64(p.MinDraft), float64(WantedDraft)))
}

func clearly(p, than Pull) bool {
	if !than.Free() {
		return float64(p.Locked()) <= lessLocked*float64(than.Locked())
	}
	return p.Free() && p.MinDraft >= than.MinDraft+moreDraft
}

// open returns the direction with the greatest least draft of all triangles, those
// left out that the input says nothing certain of: of an imported mesh the
// ones that lean back most from where most look.
func (s *surface) open() (r3.Vec, bool) {
	e, _, ok := widest(s.normal)
	if s.in.Share == 0 || ok {
		return e, ok
	}
	var mean r3.Vec
	for f, n := range s.normal {
		mean = r3.Add(mean, r3.Scale(s.area[f], n))
	}
	if r3.Norm(mean) < 1e-6*s.total {
		return e, false
	}
	e = r3.Unit(mean)
	draft := make([]float64, len(s.normal))
	for f, n := range s.normal {
		draft[f] = r3.Dot(n, e)
	}
	least, _ := leastOf(draft, s.area, s.in.Share*s.total)
	var kept []r3.Vec
	for f, n := range s.normal {
		if draft[f] >= draft[least] {
			kept = append(kept, n)
		}
	}
	e, _, ok = widest(kept)
	return e, ok
}

// searched is how many of the grid's directions are refined, and finest the last
// step, rad.
const (
	searched = 3
	finest   = 0.5 * math.Pi / 180
)

// search returns the directions that lock least.
func (s *surface) search() (out []r3.Vec) {
	v := s.survey(partMoves, directions(fineness))
	order := make([]int, len(v.dirs))
	sum := make([]float64, len(v.dirs))
	for d := range order {
		order[d] = d
		for k := range v.at {
			sum[d] += float64(v.cost[k][d])
		}
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(sum[a], sum[b]), a-b) })
	for _, d := range order[:searched] {
		e, least := v.dirs[d], sum[d]*v.share
		for step := math.Pi / 24; step > finest; step /= 2 {
			from := e
			for _, u := range around(from, 6) {
				to := r3.Unit(r3.Add(from, r3.Scale(math.Tan(step), u)))
				if c := s.along(partMoves, v, to); c < least-1e-9 {
					e, least = to, c
				}
			}
		}
		out = append(out, e)
	}
	return out
}
