package strength

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// spot is where a criterion is nearest to being met.
type spot struct {
	index               float64
	triangle, side, ply int
	blend               int
	held, load          wall.Vec
	core                bool // a core in shear, not a ply
}

// scan is what a run over triangles finds.
type scan struct {
	worst  [len(wall.Criteria)]spot
	byCase []float64 // largest index of each case
}

// judging holds what every triangle's judging shares.
type judging struct {
	in     *Input
	stacks *stacks
	solver *shell.Solver
	unit   [units]*unitLoad
	blends []blend
	judges [][][len(wall.Criteria)]wall.Judge // by case and layer; nil where strengths are not known
	share  []float64                          // of each triangle, filled
	lead   []Lead                             // of each triangle, filled
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
			scans[p].byCase = make([]float64, len(j.in.Cases))
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
		for i, x := range s.byCase {
			out.byCase[i] = math.Max(out.byCase[i], x)
		}
	}
	return out
}

// triangle judges each ply's faces at the middles of the triangle's sides.
func (j *judging) triangle(f int, s *scan) {
	var motions []shell.Motion
	var which []int
	for u, m := range j.unit {
		if m != nil {
			motions, which = append(motions, m.Motion), append(which, u)
		}
	}
	answers := j.solver.Strains(f, motions...)
	j.cores(f, answers, which, s)
	plies := j.stacks.plies[j.stacks.index(f)]
	low := -j.thickness(f) / 2
	for i, p := range plies {
		high := low + float64(p.Thickness)
		if j.judges[0][i][0] != nil {
			gauge := p.Gauge()
			for side := range 3 {
				for _, z := range []float64{low, high} {
					var unit [units]wall.Vec
					for k, u := range which {
						unit[u] = gauge.Stress(answers[k].At[side].At(z), temperature(u))
					}
					j.face(spot{triangle: f, side: side, ply: i}, &unit, s)
				}
			}
		}
		low = high
	}
}

// cores judges each core by the shear stress that equilibrium asks of it, against
// its shear strength. Heat brings no force across a wall to speak of and is left
// out. It counts under the criterion of largest stress.
//
//	index = √((τx)² + (τy)²)/S
func (j *judging) cores(f int, answers []shell.Answer, which []int, s *scan) {
	if j.stacks.through == nil || j.in.atInsert(j.solver.Side(f, 0), j.thickness(f)) {
		return
	}
	for i, per := range j.stacks.through[j.stacks.index(f)] {
		strength := float64(j.in.Layers[i].CoreShear)
		if strength == 0 {
			continue
		}
		for b := range j.blends {
			var x, y float64
			for k, u := range which {
				if u != unitHeat {
					x += j.blends[b].share[u] * answers[k].Shear[0]
					y += j.blends[b].share[u] * answers[k].Shear[1]
				}
			}
			index := math.Hypot(x*per[0], y*per[1]) / strength
			at := spot{index: index, triangle: f, ply: i, blend: b, core: true}
			if j.note(&at, 0, s) {
				s.worst[0] = at
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
func (j *judging) note(at *spot, c int, s *scan) bool {
	if at.index > j.share[at.triangle] {
		j.share[at.triangle], j.lead[at.triangle] = at.index, Lead{int32(at.ply), int32(c)}
	}
	if of := j.blends[at.blend].of; at.index > s.byCase[of] {
		s.byCase[of] = at.index
	}
	return at.index > s.worst[c].index
}

func (j *judging) face(at spot, unit *[units]wall.Vec, s *scan) {
	for b := range j.blends {
		held, load := j.blends[b].stress(unit, j.blends[b].mechanical())
		for c, judge := range &j.judges[j.blends[b].of][at.ply] {
			at.index, at.blend = share(judge.Ratio(held, load)), b
			if j.note(&at, c, s) {
				at.held, at.load = held, load
				s.worst[c] = at
			}
		}
	}
}

// worst turns a spot into what is reported.
func (j *judging) worst(c int, s spot) Worst {
	mode := "core in shear"
	if !s.core {
		mode = j.judges[j.blends[s.blend].of][s.ply][c].Fail(s.held, s.load).Mode
	}
	return Worst{
		Criterion: wall.Criteria[c],
		Index:     s.index,
		Ply:       s.ply,
		Layer:     j.in.layer(s.ply),
		Mode:      mode,
		Case:      j.in.Cases[j.blends[s.blend].of].Name,
		At:        place(j.middle(s)),
	}
}

func (j *judging) middle(s spot) r3.Vec { return j.solver.Side(s.triangle, s.side) }
