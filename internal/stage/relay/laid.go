package relay

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/stage/overlay"
)

// laid is one ply put back on the surface.
type laid struct {
	*land
	ply     *Ply
	lap     float64 // asked
	cloths  []*cloth
	main    []float64               // by triangle of the surface: area that the bodies cover, m²
	bulk    []float64               // their flat area there
	used    float64                 // flat area of all the ply's cloth on the part, m²
	partly  map[int32][]geom.Convex // where they do not cover all: what they do
	over    map[int32][]layer       // laps and patches
	bare    map[int32][]geom.Convex // what nothing covers
	strips  int32                   // laps and patches so far; patches come first
	patches int32
	steps   [][2]spot // places to both sides of an edge of cloth
}

// layer is a convex piece of a lap or patch on a triangle of the surface.
type layer struct {
	strip int32   // layers of one strip do not overlap
	share float64 // flat area over area on the mould
	yarns overlay.Yarns
	shape geom.Convex
}

// full is the share of a triangle from which on it counts as covered: what is
// left is rounding.
const full = 1 - 1e-9

// crumb is the area in weights that is left out as rounding.
const crumb = 1e-10

func layDown(l *land, p *Ply, lap float64) *laid {
	n := len(l.face)
	y := &laid{land: l, ply: p, lap: lap, main: make([]float64, n), bulk: make([]float64, n),
		partly: map[int32][]geom.Convex{}, over: map[int32][]layer{}, bare: map[int32][]geom.Convex{}}
	for i := range p.Pieces {
		c := cutOut(&p.Pieces[i])
		c.home = l.homes(c.Piece)
		c.byEnds = map[[2]int32]int32{}
		c.findRims(l)
		y.cloths = append(y.cloths, c)
		if c.Patch {
			y.layPatch(c)
		} else {
			y.layBody(c)
		}
	}
	y.patches = y.strips
	y.findPartly()
	return y
}

func (y *laid) layBody(c *cloth) {
	m := c.Top.Mesh
	for g, t := range c.tri {
		flat := t.Area()
		if !(flat > 0) {
			continue
		}
		got := flat
		if !c.whole[g] {
			got = geom.AreaOf(c.some[int32(g)])
		}
		f := c.home[g]
		y.main[f] += got / flat * m.FaceArea(g)
		y.bulk[f] += got
	}
}

// shapes returns what of triangle g of a piece is cloth, in the weights of the
// surface's triangle.
func (y *laid) shapes(c *cloth, g int) []geom.Convex {
	f := c.home[g]
	var corner [3]r2.Vec
	for k, v := range c.Top.Mesh.Triangles[g] {
		corner[k] = y.face[f].weights(c.Top.Mesh.Vertices[v])
	}
	if c.whole[g] {
		return []geom.Convex{geom.Convex(corner[:]).Turned()}
	}
	t := c.tri[g]
	to := affine(t, corner)
	var out []geom.Convex
	for _, p := range c.some[int32(g)] {
		q := make(geom.Convex, len(p))
		for i, x := range p {
			q[i] = to(x)
		}
		out = append(out, q.Turned())
	}
	return out
}

// affine maps one triangle on another.
func affine(from geom.Convex, to [3]r2.Vec) func(r2.Vec) r2.Vec {
	d1, d2 := r2.Sub(from[1], from[0]), r2.Sub(from[2], from[0])
	e1, e2 := r2.Sub(to[1], to[0]), r2.Sub(to[2], to[0])
	det := r2.Cross(d1, d2)
	return func(x r2.Vec) r2.Vec {
		d := r2.Sub(x, from[0])
		return r2.Add(to[0], r2.Add(r2.Scale(r2.Cross(d, d2)/det, e1), r2.Scale(r2.Cross(d1, d)/det, e2)))
	}
}

func (y *laid) layPatch(c *cloth) {
	y.strips++
	m := c.Top.Mesh
	for g, t := range c.tri {
		if flat := t.Area(); flat > 0 {
			for _, p := range y.shapes(c, g) {
				y.add(c.home[g], layer{y.strips, flat / m.FaceArea(g), c.yarns(int32(g)), p})
			}
		}
	}
}

// add puts a layer on triangle f, less what its strip has there already. One strip
// is laid after the other.
func (y *laid) add(f int32, a layer) {
	list := y.over[f]
	parts := []geom.Convex{a.shape}
	for i := len(list) - 1; i >= 0 && list[i].strip == a.strip; i-- {
		parts = geom.Without(parts, list[i].shape, crumb)
	}
	for _, p := range parts {
		list = append(list, layer{a.strip, a.share, a.yarns, p})
	}
	y.over[f] = list
}

// findPartly gathers what the bodies cover where that is not all.
func (y *laid) findPartly() {
	for f := range y.face {
		if y.main[f] < full*y.face[f].area {
			y.partly[int32(f)] = nil
		}
	}
	for _, c := range y.cloths {
		if c.Patch {
			continue
		}
		for g := range c.tri {
			f := c.home[g]
			if _, is := y.partly[f]; is {
				y.partly[f] = append(y.partly[f], y.shapes(c, g)...)
			}
		}
	}
}

// findBare finds what neither bodies nor laps nor patches cover.
func (y *laid) findBare() {
	for f := range y.face {
		shapes, is := y.partly[int32(f)]
		if !is {
			continue
		}
		rest := []geom.Convex{unitTriangle[:]}
		for _, p := range shapes {
			rest = geom.Without(rest, p, crumb)
		}
		for _, a := range y.over[int32(f)] {
			rest = geom.Without(rest, a.shape, crumb)
		}
		if len(rest) > 0 {
			y.bare[int32(f)] = rest
		}
	}
}

// count returns how many layers of the ply lie at a place of triangle f, and how
// thick they are together, m.
func (y *laid) count(f int32, w r2.Vec) (layers int, thick float64) {
	shapes, is := y.partly[f]
	if !is || anyHolds(shapes, w) {
		layers = 1
		if y.main[f] > 0 {
			thick = y.bulk[f] / y.main[f]
		}
	}
	seen := int32(0) // layers of one strip stand together
	for _, a := range y.over[f] {
		if a.strip != seen && a.shape.Holds(w, 0) {
			seen = a.strip
			layers++
			thick += a.share
		}
	}
	return layers, thick * y.ply.Thickness
}

func anyHolds(shapes []geom.Convex, w r2.Vec) bool {
	for _, p := range shapes {
		if p.Holds(w, 0) {
			return true
		}
	}
	return false
}

// spread visits the triangles of the surface that a small triangle near to it
// lies over, from those of its corners outwards, with its foot on each.
func (l *land) spread(t [3]r3.Vec, from []int32, visit func(f int32, foot geom.Convex)) {
	n := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
	long := r3.Norm(n)
	if long == 0 {
		return
	}
	n = r3.Scale(1/long, n)
	var room [32]int32
	todo := append(room[:0], from...)
	corners := len(todo)
	for i := 0; i < len(todo); i++ {
		f := todo[i]
		fr := &l.face[f]
		lean := r3.Dot(n, fr.normal)
		over := false
		if lean > mostLean || lean < -mostLean {
			foot := onUnit([3]r2.Vec{fr.weights(t[0]), fr.weights(t[1]), fr.weights(t[2])})
			if foot != nil && foot.Area() > crumb {
				over = true
				visit(f, foot)
			}
		}
		if over || i < corners {
			for k := range 3 {
				if g := l.Neighbour(int(f), k); g >= 0 && !has(todo, int32(g)) {
					todo = append(todo, int32(g))
				}
			}
		}
	}
}

// onUnit returns what a triangle has in common with the unit triangle.
func onUnit(t [3]r2.Vec) geom.Convex {
	within, beyond := 0, [3]int{}
	for _, p := range t {
		if inside(p) >= 0 {
			within++
		}
		for k, w := range [3]float64{1 - p.X - p.Y, p.X, p.Y} {
			if w <= 0 {
				beyond[k]++
			}
		}
	}
	switch {
	case max(beyond[0], beyond[1], beyond[2]) == 3:
		return nil
	case within == 3:
		return geom.Convex(t[:]).Turned()
	}
	return geom.Convex(t[:]).Turned().Shared(unitTriangle[:])
}

// mostLean is the cosine of the angle past which a triangle stands on edge to
// another.
const mostLean = 0.1

func has(list []int32, f int32) bool {
	for _, x := range list {
		if x == f {
			return true
		}
	}
	return false
}
