package strength

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// spot is where a criterion is nearest to being met.
type spot struct {
	index               float64
	triangle, side, ply int
	mix                 int
	held, load          wall.Vec
	core                bool // a core in shear, not a ply
}

// scan is what a run over triangles finds.
type scan struct {
	worst [len(wall.Criteria)]spot
	byMix []float64 // largest index of each mix
}

// judging holds what every triangle's judging shares.
type judging struct {
	in      *Input
	top     *mesh.Topology
	stacks  *stacks
	hold    *holding
	solver  *shell.Solver
	unit    [units]*unitLoad
	blends  []blend
	columns []column
	mixes   []mix
	judges  [][][len(wall.Criteria)]wall.Judge // by case and layer; nil where strengths are not known
	share   []float64                          // of each triangle, filled
	error   []float64                          // each triangle's part of the mesh's error, adding to 1; nil where nothing moves
}

func (in *Input) judges() [][][len(wall.Criteria)]wall.Judge {
	out := make([][][len(wall.Criteria)]wall.Judge, len(in.Cases))
	for k, of := range in.Cases {
		out[k] = make([][len(wall.Criteria)]wall.Judge, len(in.Layers))
		for i, l := range in.Layers {
			if l.Strength == nil {
				continue
			}
			ply := softened(l.Ply, in.retention(of))
			for c, criterion := range wall.Criteria {
				out[k][i][c] = ply.Judge(criterion)
			}
		}
	}
	return out
}

// run judges all triangles, on all cores. Where two places are alike the one of
// the lower triangle counts, however the work was shared out.
func (j *judging) run() scan {
	n := len(j.stacks.axis)
	parts := min(max(1, runtime.GOMAXPROCS(0)), max(1, n))
	scans := make([]scan, parts)
	var wait sync.WaitGroup
	for p := range parts {
		wait.Go(func() {
			scans[p].byMix = make([]float64, len(j.mixes))
			for f := n * p / parts; f < n*(p+1)/parts; f++ {
				j.triangle(f, &scans[p])
			}
		})
	}
	wait.Wait()
	out := scans[0]
	for _, s := range scans[1:] {
		for c := range out.worst {
			if s.worst[c].index > out.worst[c].index {
				out.worst[c] = s.worst[c]
			}
		}
		for i, x := range s.byMix {
			out.byMix[i] = math.Max(out.byMix[i], x)
		}
	}
	return out
}

// triangle judges each ply's faces at the middles of the triangle's sides.
func (j *judging) triangle(f int, s *scan) {
	answers := j.answers(f)
	j.cores(f, answers, s)
	plies := j.stacks.plies[j.stacks.index(f)]
	thick := j.thickness(f)
	low := -thick / 2
	stress := make([]wall.Vec, len(answers))
	for i, p := range plies {
		high := low + float64(p.Thickness)
		if j.judges[0][i][0] != nil {
			gauge := p.Gauge()
			for side := range 3 {
				for _, z := range []float64{low, high} {
					for k := range answers {
						stress[k] = j.columns[k].stress(&gauge, answers[k].At[side].At(z), z, thick)
					}
					j.face(spot{triangle: f, side: side, ply: i}, stress, s)
				}
			}
		}
		low = high
	}
}

// cores judges each core by the shear stress that equilibrium asks of it, against
// its shear strength. What heat holds is left out: it brings no force across a wall
// to speak of. It counts under the criterion of largest stress.
//
//	index = √((τx)² + (τy)²)/S
func (j *judging) cores(f int, answers []shell.Answer, s *scan) {
	if j.stacks.through == nil || j.in.atInsert(j.solver.Side(f, 0), j.thickness(f)) {
		return
	}
	for i, per := range j.stacks.through[j.stacks.index(f)] {
		strength := float64(j.in.Layers[i].CoreShear)
		if strength == 0 {
			continue
		}
		for m := range j.mixes {
			mix := &j.mixes[m]
			var x, y float64
			for k, share := range mix.load {
				x += share * answers[k].Shear[0]
				y += share * answers[k].Shear[1]
			}
			index := math.Hypot(x*per[0], y*per[1]) / (strength * mix.times)
			if j.note(index, f, m, 0, s) {
				s.worst[0] = spot{index: index, triangle: f, ply: i, mix: m, core: true}
			}
		}
	}
}

// thickness is that of the wall at a triangle, m.
func (j *judging) thickness(f int) (h float64) {
	for _, p := range j.stacks.plies[j.stacks.index(f)] {
		h += float64(p.Thickness)
	}
	return h
}

// note keeps an index where it is worse than what was found before, and tells
// whether it is the criterion's worst; c is the criterion's place in the list.
func (j *judging) note(index float64, triangle, mix, c int, s *scan) bool {
	j.share[triangle] = max(j.share[triangle], index)
	s.byMix[mix] = max(s.byMix[mix], index)
	return index > s.worst[c].index
}

func (j *judging) face(at spot, stress []wall.Vec, s *scan) {
	for m := range j.mixes {
		mix := &j.mixes[m]
		held, load := mix.of(stress)
		for c, judge := range &j.judges[j.blends[mix.blend].of][at.ply] {
			index := share(judge.Ratio(held, load)) / mix.times
			if j.note(index, at.triangle, m, c, s) {
				at.index, at.mix, at.held, at.load = index, m, held, load
				s.worst[c] = at
			}
		}
	}
}

// worst turns a spot into what is reported.
func (j *judging) worst(c int, s spot) Worst {
	mode := "core in shear"
	of := j.blends[j.mixes[s.mix].blend].of
	if !s.core {
		mode = j.judges[of][s.ply][c].Fail(s.held, s.load).Mode
	}
	return Worst{
		Criterion: wall.Criteria[c],
		Index:     s.index,
		Ply:       s.ply,
		Mode:      mode,
		Case:      j.in.Cases[of].Name,
		At:        place(j.middle(s)),
	}
}

func (j *judging) middle(s spot) r3.Vec { return j.solver.Side(s.triangle, s.side) }
