package strength

import (
	"math"
	"runtime"

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
	butts   map[int]*butted                    // by triangle
	lead    []Lead                             // of each triangle, filled
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
	scans := make([]scan, runtime.GOMAXPROCS(0))
	for p := range scans {
		scans[p].byMix = make([]float64, len(j.mixes))
	}
	split(len(j.stacks.axis), func(part, f int) { j.triangle(f, &scans[part]) })
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
	parts := j.stacks.parts(f)
	for i := range parts {
		j.part(f, &parts[i], answers, s)
	}
	if b := j.butts[f]; b != nil {
		j.besideSeam(f, b, answers, s)
	}
}

func (j *judging) part(f int, part *part, answers []shell.Answer, s *scan) {
	low, thick := part.Low, j.stacks.thickness(f)
	stress := make([]wall.Vec, len(answers))
	for k, p := range part.Plies {
		i, high := part.layer[k], low+float64(p.Thickness)
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
	if !j.in.cored() || j.in.atInsert(j.solver.Side(f, 0), j.stacks.thickness(f)) {
		return
	}
	for _, part := range j.stacks.parts(f) {
		for k, per := range part.through {
			if i := part.layer[k]; j.in.Layers[i].CoreShear > 0 {
				j.core(f, i, per, answers, s)
			}
		}
	}
}

func (j *judging) core(f, i int, per [2]float64, answers []shell.Answer, s *scan) {
	for m := range j.mixes {
		mix := &j.mixes[m]
		var x, y float64
		for k, share := range mix.load {
			x += share * answers[k].Shear[0]
			y += share * answers[k].Shear[1]
		}
		at := spot{index: math.Hypot(x*per[0], y*per[1]) / (float64(j.in.Layers[i].CoreShear) * mix.times), triangle: f, ply: i, mix: m, core: true}
		if j.note(&at, 0, s) {
			s.worst[0] = at
		}
	}
}

// note keeps an index where it is worse than what was found before, and tells
// whether it is the criterion's worst; c is the criterion's place in the list.
func (j *judging) note(at *spot, c int, s *scan) bool {
	if at.index > j.share[at.triangle] {
		j.share[at.triangle], j.lead[at.triangle] = at.index, Lead{int32(at.ply), int32(c)}
	}
	s.byMix[at.mix] = max(s.byMix[at.mix], at.index)
	return at.index > s.worst[c].index
}

func (j *judging) face(at spot, stress []wall.Vec, s *scan) {
	for m := range j.mixes {
		mix := &j.mixes[m]
		held, load := mix.of(stress)
		for c, judge := range &j.judges[j.blends[mix.blend].of][at.ply] {
			at.index, at.mix = share(judge.Ratio(held, load))/mix.times, m
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
	of := j.blends[j.mixes[s.mix].blend].of
	if !s.core {
		mode = j.judges[of][s.ply][c].Fail(s.held, s.load).Mode
	}
	return Worst{
		Criterion: wall.Criteria[c],
		Index:     s.index,
		Ply:       s.ply,
		Layer:     j.in.layer(s.ply),
		Mode:      mode,
		Case:      j.in.Cases[of].Name,
		At:        place(j.middle(s)),
	}
}

func (j *judging) middle(s spot) r3.Vec { return j.solver.Side(s.triangle, s.side) }
