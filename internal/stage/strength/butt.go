package strength

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// butted is the wall beside a butted seam.
type butted struct {
	parts []part
	wall  wall.Stiffness
}

// butts makes the walls beside butted seams ready, by triangle. The yarns of such a
// layer end at the seam, and what it carried over it the others must take on the
// spot: the wall there keeps its force and moment, which the solve gave, but the layer
// takes part along the seam only ([wall.Ply.PartedAlong]). The resin between the ends
// counts for nothing. Deflection, buckling and frequency leave the seam out: a layer
// has its load back within a few thicknesses of it. alone counts the seams over which
// nothing else goes.
func (in *Input) butts(s *stacks) (out map[int]*butted, alone int) {
	out = map[int]*butted{}
	for _, b := range in.Butts {
		at := out[b.Face]
		if at == nil {
			at = &butted{parts: slices.Clone(s.parts(b.Face))}
			for i := range at.parts {
				at.parts[i].Plies = slices.Clone(at.parts[i].Plies)
			}
			out[b.Face] = at
		}
		across := r3.Cross(in.Mesh.FaceNormal(b.Face), s.axis[b.Face])
		seam := si.Angle(math.Atan2(r3.Dot(b.Along, across), r3.Dot(b.Along, s.axis[b.Face])))
		for _, p := range at.parts {
			for k, ply := range p.Plies {
				if p.layer[k] == b.Layer {
					p.Plies[k] = ply.PartedAlong(seam)
				}
			}
		}
	}
	for f, b := range out {
		walls := make([]wall.Part, len(b.parts))
		for i := range b.parts {
			walls[i] = b.parts[i].Part
		}
		var err error
		if b.wall, err = wall.Together(walls); err != nil {
			alone++
			delete(out, f)
		}
	}
	return out, alone
}

// besideSeam judges the plies beside a butted seam under what the wall carries.
func (j *judging) besideSeam(f int, b *butted, answers []shell.Answer, s *scan) {
	whole := &j.stacks.section(f).Wall
	moved := make([]shell.Answer, len(answers))
	for k := range answers {
		free := j.columns[k].free
		for side, e := range answers[k].At {
			moved[k].At[side] = free.Respond(&b.wall, free.Carry(whole, e))
		}
	}
	for i := range b.parts {
		j.part(f, &b.parts[i], moved, s)
	}
}

// noteButts tells how butted seams are judged.
func (r *Result) noteButts(in *Input, alone int) {
	if alone > 0 {
		r.find(fault.Stop, "butt-alone", fmt.Sprintf("Along butted seams over %d triangles no layer of the wall goes on: only resin holds the part together there.", alone),
			"The yarns of a butted layer end at the seam, and no other layer is stiff enough to take the load over.",
			"Write plies.mode: lapped, or add a ply whose seams lie elsewhere.")
	} else if len(in.Butts) > 0 {
		r.find(fault.Note, "butts-judged", "Beside butted seams the layers that go on are judged with all of the load; the resin in the seam counts for nothing.",
			"The yarns of a butted layer end at the seam.", "Nothing, or write plies.mode: lapped where the margin is small there.")
	}
}
