package relay

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/overlay"
)

// Doubler is a ply that was put back by itself, on the part of the surface that it lies
// on.
type Doubler struct {
	Index     int // its place among all plies, from 0
	Covered   Covered
	Cloth     overlay.Cloth // on the triangles of Ground; its butts are beside triangles of the whole surface
	Ground    *mesh.Mesh
	Face      []int32 // triangle of the whole surface that each of Ground's lies in
	Thickness float64 // of the flat ply, cured, m
}

// Double puts doublers in their places between the plies that lie everywhere, the lowest
// first, and counts them in what all plies are together. top and within are those of the
// [Input] that the others were put back with.
func (r *Result) Double(top *mesh.Topology, within []int32, doublers []Doubler) {
	l := newLand(top)
	thick, layers := make([]float64, len(l.face)), make([]float64, len(l.face))
	for _, d := range doublers {
		on := l.under(&d)
		for f, bits := range on {
			for _, b := range bits {
				share := 1.0
				if b.Shapes != nil {
					share = 2 * geom.AreaOf(b.Shapes)
				}
				thick[f] += d.Thickness * b.Bulk * share
				layers[f] += share
			}
		}
		cloth := overlay.Cloth{On: on, In: within, Share: r.Cloth[0].Share}
		for _, b := range d.Cloth.Butts {
			if within != nil {
				b.Face = within[b.Face]
			}
			cloth.Butts = append(cloth.Butts, b)
		}
		r.Cloth = slices.Insert(r.Cloth, d.Index, cloth)
		r.Plies = slices.Insert(r.Plies, d.Index, d.Covered)
		r.Mass += d.Covered.Mass
	}
	r.raise(l, l.toVertices(thick), l.toVertices(layers))
}

// raise adds height to the stack and looks for its highest place again.
func (r *Result) raise(l *land, thick, layers []float64) {
	for v := range r.Stack.Thickness {
		if thick[v] == 0 {
			continue
		}
		r.Stack.Thickness[v] += thick[v]
		r.Stack.Layers[v] += layers[v]
		r.LayersMax = max(r.LayersMax, int(r.Stack.Layers[v]+0.5))
		if h := si.Length(r.Stack.Thickness[v]); h > r.ThicknessMax {
			r.ThicknessMax, r.ThicknessAt = h, array(l.Mesh.Vertices[v])
		}
	}
}

// nearlyAll is the share of a triangle from which on cloth covers the whole of it.
const nearlyAll = 1 - 1e-6

// under returns a doubler's cloth on the triangles of the whole surface. What a body, a
// lap or a patch has in one triangle is put together where it lies alike.
func (l *land) under(d *Doubler) [][]overlay.Bit {
	out := make([][]overlay.Bit, len(l.face))
	for g, bits := range d.Cloth.On {
		f := d.Face[g]
		a, b, c := d.Ground.Corners(g)
		fr := &l.face[f]
		to := affine(unitTriangle[:], [3]r2.Vec{fr.weights(a), fr.weights(b), fr.weights(c)})
		for _, bit := range bits {
			shapes := bit.Shapes
			if shapes == nil {
				shapes = []geom.Convex{unitTriangle[:]}
			}
			bit.Shapes = make([]geom.Convex, len(shapes))
			for i, s := range shapes {
				for _, q := range s {
					bit.Shapes[i] = append(bit.Shapes[i], to(q))
				}
			}
			out[f] = joinBit(out[f], bit)
		}
	}
	for f := range out {
		slices.SortStableFunc(out[f], func(a, b overlay.Bit) int { return cmp.Compare(max(a.Of, 0), max(b.Of, 0)) })
		for i := range out[f] {
			if b := &out[f][i]; 2*geom.AreaOf(b.Shapes) >= nearlyAll {
				b.Shapes = nil
			}
		}
	}
	return out
}

// turnedApart is the cosine of the angle, 5 degrees, from which on cloth of one body does
// not count as lying alike.
const turnedApart = 0.9962

func joinBit(to []overlay.Bit, b overlay.Bit) []overlay.Bit {
	i := slices.IndexFunc(to, func(o overlay.Bit) bool {
		return o.Of == b.Of && r3.Dot(o.Warp, b.Warp) >= turnedApart && r3.Dot(o.Weft, b.Weft) >= turnedApart
	})
	if i < 0 {
		return append(to, b)
	}
	o := &to[i]
	s := geom.AreaOf(b.Shapes)
	s /= s + geom.AreaOf(o.Shapes)
	o.Yarns, o.Bulk = o.Mixed(b.Yarns, s), (1-s)*o.Bulk+s*b.Bulk
	o.Shapes = append(o.Shapes, b.Shapes...)
	return to
}
