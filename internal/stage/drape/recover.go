package drape

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// recover works out shear, yarn directions and stretch from the flat places.
func (r *Result) recover(s *surface) {
	r.Shear = s.shearOf(r.Flat)
	n := len(s.Triangles)
	long, wide := make([]float64, n), make([]float64, n)
	warp, weft := make([]r3.Vec, n), make([]r3.Vec, n)
	split(n, func(_, from, to int) {
		for f := from; f < to; f++ {
			if s.flat(f) || s.turnedOver(f, r.Flat) {
				continue
			}
			a, b := s.gradientOf(f, r.Flat).yarns()
			long[f], wide[f] = r2.Norm(a)-1, r2.Norm(b)-1
			x, y := s.inSpace(s.Triangles[f], r.Flat)
			warp[f], weft[f] = r3.Scale(s.area[f], x), r3.Scale(s.area[f], y)
		}
	})
	long, wide = s.atVertices(r.Flat, long), s.atVertices(r.Flat, wide)
	r.Stretch = make([][2]float64, len(s.Vertices))
	r.Warp, r.Weft = make([]r3.Vec, len(s.Vertices)), make([]r3.Vec, len(s.Vertices))
	for v := range r.Stretch {
		r.Stretch[v] = [2]float64{long[v], wide[v]}
		for _, f := range s.topology.VertexFaces(v) {
			r.Warp[v], r.Weft[v] = r3.Add(r.Warp[v], warp[f]), r3.Add(r.Weft[v], weft[f])
		}
	}
	r.Warp, r.Weft = s.spreadYarns(r.Warp, r.Weft, r.Shear)
}

// shearOf returns the shear that the triangles show, at the vertices.
func (s *surface) shearOf(flat []r2.Vec) []float64 {
	shear := make([]float64, len(s.Triangles))
	split(len(shear), func(_, from, to int) {
		for f := from; f < to; f++ {
			if g := s.gradientOf(f, flat); !s.flat(f) && g.det() > 0 {
				shear[f] = g.shear()
			}
		}
	})
	out := s.atVertices(flat, shear)
	for v, γ := range out {
		out[v] = max(-math.Pi/2, min(math.Pi/2, γ))
	}
	return out
}

// inSpace returns the change of the place in space along the warp and the weft
// of the flat cloth over a triangle.
func (s *surface) inSpace(t [3]int32, flat []r2.Vec) (warp, weft r3.Vec) {
	for k, n := range slopes([3]r2.Vec{flat[t[0]], flat[t[1]], flat[t[2]]}) {
		warp = r3.Add(warp, r3.Scale(n.X, s.Vertices[t[k]]))
		weft = r3.Add(weft, r3.Scale(n.Y, s.Vertices[t[k]]))
	}
	return warp, weft
}

// atVertices carries a value from triangles to vertices by a plane fitted, in
// the flat sheet, to the values of the triangles round each vertex, weighted by
// area. Where there are too few round it, as at a rim, those round its
// neighbours are taken too. In the middle of a smooth sheet this is right to the
// second order in the triangles' size, where the mean would be at the rim only
// to the first.
//
// Source: [zienkiewicz1992].
func (s *surface) atVertices(flat []r2.Vec, value []float64) []float64 {
	out := make([]float64, len(s.Vertices))
	rim := s.topology.RimVertices()
	split(len(out), func(_, from, to int) {
		var room []int32
		for v := from; v < to; v++ {
			faces := s.topology.VertexFaces(v)
			if len(faces) == 0 {
				continue
			}
			if rim[v] || len(faces) < 5 {
				room = s.ringBeyond(v, room[:0])
				faces = room
			}
			out[v] = s.fitPlane(flat, flat[v], faces, value)
		}
	})
	return out
}

// ringBeyond appends the triangles round v and then those round its neighbours.
func (s *surface) ringBeyond(v int, to []int32) []int32 {
	to = append(to, s.topology.VertexFaces(v)...)
	for _, e := range s.topology.VertexEdges(v) {
		for _, f := range s.topology.VertexFaces(s.topology.Other(int(e), v)) {
			if !slices.Contains(to, f) {
				to = append(to, f)
			}
		}
	}
	return to
}

// thin is the share of the largest area round a vertex below which a triangle has
// no say there: at a rim some are chords of it, cut off by a curve that they are
// too few to follow.
const thin = 0.1

// fitPlane fits c0 + c1·x + c2·y to values at the middles of triangles, x and y
// counted from a place, and returns c0.
func (s *surface) fitPlane(flat []r2.Vec, at r2.Vec, faces []int32, value []float64) float64 {
	var w, x, y, xx, xy, yy, z, xz, yz float64
	low, high := math.Inf(1), math.Inf(-1)
	least := 0.0
	for _, f := range faces {
		least = max(least, thin*s.area[f])
	}
	for _, f := range faces {
		if s.flat(int(f)) || s.area[f] < least {
			continue
		}
		t := s.Triangles[f]
		m := r2.Scale(1.0/3, r2.Add(flat[t[0]], r2.Add(flat[t[1]], flat[t[2]])))
		m = r2.Scale(1/s.edge, r2.Sub(m, at))
		a, q := s.area[f], value[f]
		w, x, y, z = w+a, x+a*m.X, y+a*m.Y, z+a*q
		xx, xy, yy = xx+a*m.X*m.X, xy+a*m.X*m.Y, yy+a*m.Y*m.Y
		xz, yz = xz+a*m.X*q, yz+a*m.Y*q
		low, high = min(low, q), max(high, q)
	}
	if w == 0 {
		return 0
	}
	// centred sums
	x, y, z = x/w, y/w, z/w
	xx, xy, yy = xx/w-x*x, xy/w-x*y, yy/w-y*y
	xz, yz = xz/w-x*z, yz/w-y*z
	det := xx*yy - xy*xy
	if det < 1e-3*xx*yy || det == 0 {
		return z
	}
	c1, c2 := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	spread := high - low // a fit that leaves the values by more than half their range is no fit
	return max(low-spread/2, min(high+spread/2, z-c1*x-c2*y))
}

// spreadYarns turns the sums of yarn directions round each vertex into unit
// vectors in the plane of its normal that stand at 90° less the shear. Where there
// are none, as where all triangles lie turned over, the neighbours' are carried on.
func (s *surface) spreadYarns(warp, weft []r3.Vec, shear []float64) (a, b []r3.Vec) {
	normals := s.normals()
	mid := make([]r3.Vec, len(warp))
	split(len(mid), func(_, from, to int) {
		for v := from; v < to; v++ {
			mid[v] = between(warp[v], weft[v], normals[v])
		}
	})
	s.carryOn(mid, normals)
	a, b = make([]r3.Vec, len(warp)), make([]r3.Vec, len(weft))
	split(len(a), func(_, from, to int) {
		for v := from; v < to; v++ {
			left := r3.Cross(normals[v], mid[v])
			sin, cos := math.Sincos((math.Pi/2 - shear[v]) / 2)
			a[v] = r3.Sub(r3.Scale(cos, mid[v]), r3.Scale(sin, left))
			b[v] = r3.Add(r3.Scale(cos, mid[v]), r3.Scale(sin, left))
		}
	})
	return a, b
}

// opposed is the length of the sum of two unit vectors below which they point
// against each other, and their sum says nothing.
const opposed = 1e-6

// between returns the unit vector in the plane of a normal half-way from warp to
// weft; zero where it can't be told.
func between(warp, weft, normal r3.Vec) r3.Vec {
	x, y := level(warp, normal), level(weft, normal)
	if normal == (r3.Vec{}) || x == (r3.Vec{}) && y == (r3.Vec{}) {
		return r3.Vec{}
	}
	if mid := r3.Add(x, y); length(mid) > opposed {
		return r3.Unit(mid)
	}
	return level(r3.Cross(normal, x), normal)
}

// carryOn fills in directions that are zero, ring by ring, with those of neighbours
// laid into the vertex's own plane.
func (s *surface) carryOn(mid, normals []r3.Vec) {
	var lost []int32
	for v, d := range mid {
		if d == (r3.Vec{}) && normals[v] != (r3.Vec{}) {
			lost = append(lost, int32(v))
		}
	}
	for more := true; more && len(lost) > 0; {
		found := map[int32]r3.Vec{}
		var rest []int32
		for _, v := range lost {
			var sum r3.Vec
			for _, e := range s.topology.VertexEdges(int(v)) {
				sum = r3.Add(sum, mid[s.topology.Other(int(e), int(v))])
			}
			if d := level(sum, normals[v]); d != (r3.Vec{}) {
				found[v] = d
			} else {
				rest = append(rest, v)
			}
		}
		for v, d := range found {
			mid[v] = d
		}
		more, lost = len(found) > 0, rest
	}
}

// level returns the unit vector along v's part at a right angle to n, which may
// be of any length.
func level(v, n r3.Vec) r3.Vec {
	if n2 := r3.Norm2(n); n2 > 0 {
		v = r3.Sub(v, r3.Scale(r3.Dot(v, n)/n2, n))
	}
	size := length(v)
	if size == 0 {
		return r3.Vec{}
	}
	return r3.Scale(1/size, v)
}
