package mould

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Limits of draft.
//
// Source: [trade-draft].
var (
	wantedDraft = si.Degrees(3)
	leastDraft  = si.Degrees(1)
	// A face that leans back by less than this is taken for upright: rounding
	// and facets of a vertical wall are no undercut.
	backLean = si.Degrees(0.1)
)

// trifle is the area that a stop or a caution on undercut or draft needs, m²: a
// square centimetre, which wedges and flex of the wall get over.
const trifle = 1e-4

// pullSolids finds the draft of each triangle from the true normal above its
// middle:
//
//	δ = asin(n·e)    n: normal to the free side, e: the way it is pulled
//
// A triangle's own normal would be off by its facets' lean, some degrees in a
// bend. Whether the part's one region hangs behind another is not looked for:
// where every normal leans forward, that takes a surface that winds round itself.
func (r *Result) pullSolids(in Input, b *shape) {
	e := pullOf(in.Mould)
	sign := 1.0
	if in.Mould.Kind == Cavity {
		sign = -1
	}
	r.Draft = make([]float64, len(r.Surface.Triangles))
	for f := range r.Draft {
		_, n := b.joined.At(r.Surface.Centroid(f))
		r.Draft[f] = math.Asin(max(-1, min(1, sign*r3.Dot(n, e))))
	}
	r.pulled(e, 0)
}

// pullMesh does the same on an imported mesh, where each triangle's normal is
// the mean of those round it that turn less than 30 deg from it.
func (r *Result) pullMesh(t *mesh.Topology, e r3.Vec) {
	normals := t.Mesh.FaceNormals()
	r.Draft = make([]float64, len(normals))
	smooth := math.Cos(math.Pi / 6)
	for f := range normals {
		sum := t.Mesh.AreaVector(f)
		for k := range 3 {
			if g := t.Neighbour(f, k); g >= 0 && r3.Dot(normals[f], normals[g]) > smooth {
				sum = r3.Add(sum, t.Mesh.AreaVector(g))
			}
		}
		r.Draft[f] = math.Asin(max(-1, min(1, r3.Dot(r3.Unit(sum), e))))
	}
	r.pulled(e, meshShare)
}

// meshShare is the share of the area that is left out of the least draft of an
// imported mesh, whose single facets say little.
const meshShare = 0.005

// pulled sums up the draft of the triangles; share of the area, that with the
// least draft, is left out of the least.
func (r *Result) pulled(e r3.Vec, share float64) {
	r.Pull = []float64{plain(e.X), plain(e.Y), plain(e.Z)}
	var undercut, low, seen si.Area
	order := make([]int, len(r.Draft))
	for f, δ := range r.Draft {
		order[f] = f
		a := si.Area(r.Surface.FaceArea(f))
		switch {
		case δ < -float64(backLean):
			undercut += a
		case δ < float64(wantedDraft)-1e-6:
			low += a
		}
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(r.Draft[a], r.Draft[b]), a-b) })
	worst := order[0]
	for _, f := range order {
		if worst = f; float64(seen) >= share*float64(r.Area) {
			break
		}
		seen += si.Area(r.Surface.FaceArea(f))
	}
	least := si.Angle(r.Draft[worst])
	r.UndercutArea, r.LowDraftArea, r.MinDraft = &undercut, &low, &least
	c := r.Surface.Centroid(worst)
	r.MinDraftAt = []float64{c.X, c.Y, c.Z}
}

// plain takes the rounding off a component that is as good as 0.
func plain(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 0
	}
	return x
}
