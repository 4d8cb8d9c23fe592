package relay

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/stage/overlay"
)

// clothOn gathers what the ply lays where.
func (y *laid) clothOn(in Input) overlay.Cloth {
	out := overlay.Cloth{On: make([][]overlay.Bit, len(y.face)), In: in.Within}
	if in.Within != nil {
		out.Share = y.shares(in.Within)
	}
	for i, c := range y.cloths {
		if !c.Patch {
			y.bodyOn(&out, c, int32(-1-i))
		}
	}
	for _, f := range keys(y.over) {
		out.On[f] = append(out.On[f], over(y.over[f])...)
	}
	if in.Lap == 0 {
		out.Butts = y.butts(in.Within)
	}
	return out
}

// shares returns what each triangle is of the one that it lies in.
func (y *laid) shares(in []int32) []float64 {
	whole := map[int32]float64{}
	for f := range y.face {
		whole[in[f]] += y.face[f].area
	}
	out := make([]float64, len(y.face))
	for f := range out {
		if w := whole[in[f]]; w > 0 {
			out[f] = y.face[f].area / w
		}
	}
	return out
}

// bodyOn adds the body of a piece; of is its name.
func (y *laid) bodyOn(to *overlay.Cloth, c *cloth, of int32) {
	for g, t := range c.tri {
		flat := t.Area()
		if !(flat > 0) {
			continue
		}
		f, area := c.home[g], c.Top.Mesh.FaceArea(g)
		l := overlay.Bit{Of: of, Yarns: c.yarns(int32(g)), Bulk: flat / area}
		if !c.whole[g] || area < full*y.face[f].area {
			if l.Shapes = y.shapes(c, g); len(l.Shapes) == 0 {
				continue
			}
		}
		to.On[f] = append(to.On[f], l)
	}
}

// over puts the pieces of each strip on a triangle together: their mean by area.
func over(list []layer) (out []overlay.Bit) {
	strip, area := int32(0), 0.0
	for i, a := range list {
		if i == 0 || a.strip != strip {
			strip, area = a.strip, 0
			out = append(out, overlay.Bit{Of: a.strip})
		}
		l, part := &out[len(out)-1], a.shape.Area()
		area += part
		s := part / area
		l.Shapes = append(l.Shapes, a.shape)
		l.Bulk += s * (a.share - l.Bulk)
		l.Yarns = l.Mixed(a.yarns, s)
	}
	return out
}

// yarns returns how cloth lies on triangle g of its ground: the mean of what it
// does at the corners, laid into its plane. The ground is cut open along slits, so
// that the corners are those of the triangle's own side.
func (c *cloth) yarns(g int32) (y overlay.Yarns) {
	if c.Warp == nil {
		return y
	}
	n := c.Top.Mesh.FaceNormal(int(g))
	for _, v := range c.Top.Mesh.Triangles[g] {
		y.Warp, y.Weft = r3.Add(y.Warp, c.Warp[v]), r3.Add(y.Weft, c.Weft[v])
		y.Shear += c.Shear[v] / 3
	}
	y.Warp, y.Weft = unit(across(y.Warp, n)), unit(across(y.Weft, n))
	return y
}

// carried takes the yarns at a rim over the seam, to where a line that leaves the
// rim along dir runs along another direction, in the plane of normal n: their
// angles to the line stay.
func (e *rim) carried(y overlay.Yarns, dir, along, n r3.Vec) overlay.Yarns {
	along = unit(across(along, n))
	from, to := r3.Cross(e.ground.normal, dir), r3.Cross(n, along)
	turn := func(v r3.Vec) r3.Vec {
		return r3.Add(r3.Scale(r3.Dot(v, dir), along), r3.Scale(r3.Dot(v, from), to))
	}
	return overlay.Yarns{Warp: turn(y.Warp), Weft: turn(y.Weft), Shear: y.Shear}
}

// butts lists the triangles of the surface as it was given beside the seams, each
// once.
func (y *laid) butts(within []int32) (out []overlay.Butt) {
	seen := map[int32]bool{}
	for _, c := range y.cloths {
		for i := range c.rims {
			e := &c.rims[i]
			f := y.homeOf(e)
			if within != nil {
				f = within[f]
			}
			if !c.Patch && !e.trim && !seen[f] {
				seen[f] = true
				out = append(out, overlay.Butt{Face: f, Along: r3.Cross(e.ground.normal, e.across)})
			}
		}
	}
	return out
}

func across(v, n r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, n), n)) }

// unit is v at length 1, or zero.
func unit(v r3.Vec) r3.Vec {
	if n := r3.Norm(v); n > 0 {
		return r3.Scale(1/n, v)
	}
	return v
}
