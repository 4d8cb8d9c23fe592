package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// cellsAcross is the size of a hash cell in weld distances: large enough that
// few vertices lie near a wall and need a second cell looked at.
const cellsAcross = 16

// firstWithin returns for each place the first place in the list that lies
// within the distance and is itself no follower of another. So no vertex moves
// further than the distance, however many lie in a row.
func firstWithin(places []r3.Vec, distance float64) []int32 {
	first := make([]int32, len(places))
	if distance <= 0 {
		seen := make(map[r3.Vec]int32, len(places))
		for i, p := range places {
			p = r3.Add(p, r3.Vec{}) // -0 becomes 0
			j, ok := seen[p]
			if !ok {
				j = int32(i)
				seen[p] = j
			}
			first[i] = j
		}
		return first
	}
	size := 1
	for size < 2*len(places) {
		size *= 2
	}
	g := weldGrid{places: places, distance: distance, cell: cellsAcross * distance, head: make([]int32, size), next: make([]int32, len(places))}
	for i := range places {
		if j := g.find(places[i]); j >= 0 {
			first[i] = j
			continue
		}
		first[i] = int32(i)
		g.add(int32(i))
	}
	return first
}

// weldGrid finds leaders by cell; the places of one cell form a chain. The cells
// lie in a table of twice as many slots as places, each in the first free slot
// from the one that its numbers point to.
type weldGrid struct {
	places         []r3.Vec
	distance, cell float64
	head           []int32 // number + 1 of the last place added to the slot's cell
	next           []int32
}

type weldCell struct{ x, y, z int64 }

func (g *weldGrid) key(p r3.Vec) weldCell {
	return weldCell{int64(math.Floor(p.X / g.cell)), int64(math.Floor(p.Y / g.cell)), int64(math.Floor(p.Z / g.cell))}
}

// slot returns the slot of a cell: its own, or the free one that it would take.
func (g *weldGrid) slot(k weldCell) int {
	h := uint64(k.x)*0x9e3779b97f4a7c15 ^ uint64(k.y)*0xc2b2ae3d27d4eb4f ^ uint64(k.z)*0x165667b19e3779f9
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	mask := len(g.head) - 1
	for at := int(h>>32) & mask; ; at = (at + 1) & mask {
		if i := g.head[at]; i == 0 || g.key(g.places[i-1]) == k {
			return at
		}
	}
}

func (g *weldGrid) add(i int32) {
	at := g.slot(g.key(g.places[i]))
	g.next[i] = g.head[at]
	g.head[at] = i + 1
}

// find returns the lowest leader within the distance of p, else -1.
func (g *weldGrid) find(p r3.Vec) int32 {
	d := r3.Vec{X: g.distance, Y: g.distance, Z: g.distance}
	lo, hi := g.key(r3.Sub(p, d)), g.key(r3.Add(p, d))
	best := int32(-1)
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			for z := lo.z; z <= hi.z; z++ {
				for i := g.head[g.slot(weldCell{x, y, z})]; i > 0; i = g.next[i-1] {
					near := r3.Norm2(r3.Sub(g.places[i-1], p)) <= g.distance*g.distance
					if near && (best < 0 || i-1 < best) {
						best = i - 1
					}
				}
			}
		}
	}
	return best
}

// capPasses is how often cutCaps may start again: each pass cuts caps whose
// neighbour the pass before had changed. Files seen need one or two.
const capPasses = 20

// cutCaps mends triangles that are flatter than the distance though their
// corners are apart, as the middle corner lies on the longest side. To drop one
// would leave a slit, so the neighbour on that side is cut in two at the corner
// instead: the pair a b c, b a d becomes a d c, d b c.
func (c *cleaner) cutCaps(distance float64) error {
	for range capPasses {
		flat := c.out.FacesWhere(func(f int) bool { _, height := c.longest(f); return height <= distance })
		if len(flat) == 0 {
			break
		}
		changed, err := c.cutCapsOnce(flat)
		if err != nil {
			return err
		}
		if !changed {
			break
		}
	}
	c.r.Degenerate += c.keep(func(f int) bool { return c.out.AreaVector(f) != r3.Vec{} })
	return nil
}

// cutCapsOnce goes through the flat triangles, each of which may change its
// neighbours, and tells whether it changed any.
func (c *cleaner) cutCapsOnce(flat []int32) (changed bool, err error) {
	round := c.touching(flat)
	t, err := NewTopology(&Mesh{Vertices: c.out.Vertices, Triangles: pick(c.out.Triangles, round)})
	if err != nil {
		return false, err
	}
	touched, drop := make([]bool, len(round)), make([]bool, len(c.from))
	for _, f := range flat {
		i, _ := slices.BinarySearch(round, f)
		if touched[i] {
			continue
		}
		h, _ := c.longest(int(f))
		h = 3*i + h%3
		switch g := int(t.Twin[h]) / 3; {
		case t.Twin[h] < 0:
			drop[f], changed = true, true
		case touched[g]:
			changed = true // next pass
		case t.cutCap(h):
			touched[i], touched[g] = true, true
			c.out.Triangles[f], c.out.Triangles[round[g]] = t.Mesh.Triangles[i], t.Mesh.Triangles[g]
			changed = true
			c.r.Degenerate++
		}
	}
	c.r.Degenerate += c.keep(func(f int) bool { return !drop[f] })
	return changed, nil
}

// touching returns the triangles at the corners of some, in rising order.
func (c *cleaner) touching(some []int32) []int32 {
	corner := make([]bool, len(c.out.Vertices))
	for _, f := range some {
		for _, v := range c.out.Triangles[f] {
			corner[v] = true
		}
	}
	return c.out.FacesWhere(func(f int) bool {
		t := c.out.Triangles[f]
		return corner[t[0]] || corner[t[1]] || corner[t[2]]
	})
}

// longest returns the half-edge of f's longest side and the height over it, m.
func (c *cleaner) longest(f int) (h int, height float64) {
	x, y, z := c.out.Corners(f)
	a, b, d := r3.Sub(y, x), r3.Sub(z, y), r3.Sub(x, z)
	h, most := 3*f, r3.Norm2(a)
	if l := r3.Norm2(b); l > most {
		h, most = 3*f+1, l
	}
	if l := r3.Norm2(d); l > most {
		h, most = 3*f+2, l
	}
	if most <= 0 {
		return h, 0
	}
	return h, math.Sqrt(r3.Norm2(r3.Cross(a, d)) / most)
}

// cutCap turns the side of h, which is shared, unless the new side is there already.
func (t *Topology) cutCap(h int) bool {
	twin := int(t.Twin[h])
	a, b := t.From(h), t.To(h)
	tip, far := t.From(Prev(h)), t.From(Prev(twin))
	if tip == far || t.EdgeBetween(int(tip), int(far)) >= 0 {
		return false
	}
	t.Mesh.Triangles[h/3] = [3]int32{a, far, tip}
	t.Mesh.Triangles[twin/3] = [3]int32{far, b, tip}
	return true
}
