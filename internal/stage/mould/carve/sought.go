package carve

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// How an outline is sought afresh: on a grid of so many cells along it, and no finer,
// m, and how far round it.
const (
	soughtCells = 80
	soughtFine  = 0.1e-3
)

// sought returns the true outline that a closed ring of triangles stands for and can't
// be brought onto, as near a crown or where a tube leaves a wall: the one on a grid
// round it, or, of several, the one that is nearly it.
func (b *body) sought(p plane, ring geom.Polygon, open bool) geom.Polygon {
	if open {
		return nil
	}
	box := ring.Bounds()
	far := r2.Vec{X: 2 * mostMoved, Y: 2 * mostMoved}
	low, size := r2.Sub(box.Min, far), r2.Add(box.Size(), r2.Scale(2, far))
	seen := func(q r3.Vec) (float64, r3.Vec) { return b.field(p.out(r2.Vec{X: q.X, Y: q.Y})) }
	round := r3.Box{Min: r3.Vec{X: low.X, Y: low.Y}, Max: r3.Vec{X: low.X + size.X, Y: low.Y + size.Y}}
	var all, alike []geom.Polygon
	for _, one := range Foot(seen, round, max(soughtFine, size.X/soughtCells, size.Y/soughtCells)) {
		if one.Area()*ring.Area() <= 0 {
			continue
		}
		all = append(all, one)
		if c := one.Bounds(); r2.Norm(r2.Sub(c.Min, box.Min)) <= mostMoved && r2.Norm(r2.Sub(c.Max, box.Max)) <= mostMoved {
			alike = append(alike, one)
		}
	}
	if len(all) > 1 {
		all = alike
	}
	if len(all) != 1 {
		return nil
	}
	return b.truer(p, all[0], false, true)
}
