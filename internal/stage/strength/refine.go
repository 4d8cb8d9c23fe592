package strength

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/shell"
)

// Limits of making the mesh finer: how often, up to how many unknowns, and how much
// of the error's square the triangles that are cut in one round make together.
const (
	mostRounds   = 5
	mostUnknowns = 120_000
	cutShare     = 0.6
)

// coarse is the error of the mesh from which a job that asks for nothing is told.
const coarse = 0.15

// refine sets the part up on a mesh that brings no more error than the job allows,
// made finer where the error is.
func refine(ctx context.Context, in Input) (r Result, j *judging, err error) {
	allowed := float64(in.Spec.MeshError)
	for round := 0; ; round++ {
		if r, j, err = begin(ctx, in); err != nil {
			return r, nil, err
		}
		met := allowed == 0 || r.MeshError <= allowed
		if met || round == mostRounds || r.Unknowns > mostUnknowns/2 {
			r.noteMesh(allowed, round)
			return r, j, nil
		}
		g, err := j.solver.Grade(shell.Coarsest(j.error, cutShare))
		if err != nil {
			return r, nil, err
		}
		in = in.graded(&g)
	}
}

// graded carries what stands at the old mesh's vertices over to a finer one.
func (in *Input) graded(g *mesh.Graded) Input {
	out := *in
	out.Mesh = g.Mesh
	out.Layers = append([]Layer(nil), in.Layers...)
	for i := range out.Layers {
		y := out.Layers[i].Yarn
		if y == nil {
			continue
		}
		fine := Yarn{Warp: between(y.Warp, g), Weft: between(y.Weft, g)}
		if y.Shear != nil {
			fine.Shear = append([]float64(nil), y.Shear...)
			for _, e := range g.Ends {
				fine.Shear = append(fine.Shear, (y.Shear[e[0]]+y.Shear[e[1]])/2)
			}
		}
		out.Layers[i].Yarn = &fine
	}
	return out
}

// between adds the directions midway between those at the ends of cut sides.
func between(at []r3.Vec, g *mesh.Graded) []r3.Vec {
	out := append([]r3.Vec(nil), at...)
	for _, e := range g.Ends {
		mid := r3.Add(at[e[0]], at[e[1]])
		if r3.Norm(mid) == 0 { // they stand against one another: take either
			mid = at[e[0]]
		}
		out = append(out, r3.Unit(mid))
	}
	return out
}

// noteMesh tells what error is left of the triangles' size.
func (r *Result) noteMesh(allowed float64, rounds int) {
	var f *fault.Finding
	switch {
	case allowed > 0 && r.MeshError > allowed:
		f = r.find(fault.Caution, "mesh-error-left", fmt.Sprintf("Triangles were made finer %d times, to %d; their size still puts the stress off by about %.0f percent, and %.0f are allowed.", rounds, r.Elements, 100*r.MeshError, 100*allowed),
			"Beside a sharp edge that is held, and at a point that is, stress has no end: finer triangles only show more of it.", "Allow more, or round what is sharp.")
	case allowed == 0 && r.MeshError > coarse:
		allowed = coarse
		f = r.find(fault.Note, "mesh-coarse", fmt.Sprintf("The size of the triangles puts the stress off by about %.0f percent over all, the deflection by about %.0f.", 100*r.MeshError, 100*r.MeshError*r.MeshError),
			"Stress runs in steps from triangle to triangle; the steps tell the error.", "Write strength: {mesh_error: 0.1} to have them made finer where it matters.")
	default:
		return
	}
	*f = f.Against(r.MeshError, allowed, "")
}
