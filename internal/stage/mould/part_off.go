package mould

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/stage/mould/release"
)

// meshShare is the share of the area that is left out of the least draft of an
// imported mesh, whose single facets say little.
const meshShare = 0.005

// releaseSolids works out how the part comes off, with the true normals of the
// solids.
func (r *Result) releaseSolids(in Input, b *shape) error {
	sign := 1.0
	if b.cavity {
		sign = -1
	}
	return r.workRelease(in, release.Input{Pull: pullOf(in.Mould), Chord: float64(r.Chord), Normal: func(_ int, p r3.Vec) r3.Vec {
		_, n := b.joined.At(p)
		return r3.Scale(sign, n)
	}})
}

// releaseMesh does the same for an imported mesh, with normals from its triangles.
func (r *Result) releaseMesh(in Input) error {
	return r.workRelease(in, release.Input{Pull: pullOfMesh(in.Mould, r.Surface), Share: meshShare})
}

func (r *Result) workRelease(in Input, e release.Input) error {
	e.Part, e.Body, e.Cavity, e.Lost = r.Surface, r.Face, in.Mould.Kind == Cavity, lost(in)
	if s := in.Mould.Release; s != nil {
		e.OnePiece, e.Flange, e.Split = s.OnePiece, s.Flange, s.Way != "" && s.Way != InOnePull
	}
	e.Wall, e.Heat = in.Warmth.heat(in.Materials)
	out, err := release.Work(e)
	if err != nil {
		return err
	}
	j := out.Judged
	r.Release, r.Draft, r.Stuck = &out, j.Draft, j.Stuck
	r.UndercutArea, r.HiddenArea, r.LowDraftArea, r.MinDraft = &j.Undercut, &j.Hidden, &j.Low, &j.MinDraft
	r.Pull, r.MinDraftAt = j.Dir[:], j.MinAt[:]
	return nil
}
