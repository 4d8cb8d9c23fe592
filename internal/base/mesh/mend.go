package mesh

import (
	"math"

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
	g := weldGrid{places: places, distance: distance, cell: cellsAcross * distance,
		head: make(map[[3]int64]int32, len(places)), next: make([]int32, len(places))}
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

// weldGrid finds leaders by cell; the places of one cell form a chain.
type weldGrid struct {
	places         []r3.Vec
	distance, cell float64
	head           map[[3]int64]int32 // number + 1 of the last place added
	next           []int32
}

func (g *weldGrid) key(p r3.Vec) [3]int64 {
	return [3]int64{int64(math.Floor(p.X / g.cell)), int64(math.Floor(p.Y / g.cell)), int64(math.Floor(p.Z / g.cell))}
}

func (g *weldGrid) add(i int32) {
	k := g.key(g.places[i])
	g.next[i] = g.head[k]
	g.head[k] = i + 1
}

// find returns the lowest leader within the distance of p, else -1.
func (g *weldGrid) find(p r3.Vec) int32 {
	d := r3.Vec{X: g.distance, Y: g.distance, Z: g.distance}
	lo, hi := g.key(r3.Sub(p, d)), g.key(r3.Add(p, d))
	best := int32(-1)
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				for i := g.head[[3]int64{x, y, z}]; i > 0; i = g.next[i-1] {
					near := r3.Norm(r3.Sub(g.places[i-1], p)) <= g.distance
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
	flat := func(f int) bool {
		_, height := c.longest(f)
		return height <= distance
	}
	for range capPasses {
		if len(c.out.FacesWhere(flat)) == 0 {
			break
		}
		t, err := NewTopology(c.out)
		if err != nil {
			return err
		}
		changed, touched := false, make([]bool, len(c.from))
		drop := make([]bool, len(c.from))
		for f := range c.out.Triangles {
			h, height := c.longest(f)
			if touched[f] || height > distance {
				continue
			}
			g := int(t.Twin[h]) / 3
			switch {
			case t.Twin[h] < 0:
				drop[f] = true
				changed = true
			case touched[g]:
				changed = true // next pass
			case c.cutCap(t, h):
				touched[f], touched[g] = true, true
				changed = true
				c.r.Degenerate++
			}
		}
		c.r.Degenerate += c.keep(func(f int) bool { return !drop[f] })
		if !changed {
			break
		}
	}
	c.r.Degenerate += c.keep(func(f int) bool { return c.out.FaceArea(f) > 0 })
	return nil
}

// longest returns the half-edge of f's longest side and the height over it, m.
func (c *cleaner) longest(f int) (h int, height float64) {
	t := c.out.Triangles[f]
	length := -1.0
	for k := range 3 {
		if l := r3.Norm(r3.Sub(c.out.Vertices[t[(k+1)%3]], c.out.Vertices[t[k]])); l > length {
			h, length = 3*f+k, l
		}
	}
	if length <= 0 {
		return h, 0
	}
	return h, 2 * c.out.FaceArea(f) / length
}

// cutCap turns the shared side unless the new side is there already.
func (c *cleaner) cutCap(t *Topology, h int) bool {
	twin := int(t.Twin[h])
	a, b := t.From(h), t.To(h)
	tip, far := t.From(Prev(h)), t.From(Prev(twin))
	if tip == far || t.EdgeBetween(int(tip), int(far)) >= 0 {
		return false
	}
	c.out.Triangles[h/3] = [3]int32{a, far, tip}
	c.out.Triangles[twin/3] = [3]int32{far, b, tip}
	return true
}
