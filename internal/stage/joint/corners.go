package joint

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Corner is where two walls of a surface meet at an angle.
type Corner struct {
	Turn   si.Angle // that the surface turns through, mean along it
	Length si.Length
	At     [3]float64 // its middle part
	Hollow bool       // seen from the free side
}

// What counts as a corner.
const (
	widestBend = 0.06               // m: a radius above it is a wall of its own
	leastBend  = 2 * math.Pi / 180  // turning at an edge of the mesh below which it is none
	leastTurn  = 15 * math.Pi / 180 // of a corner
	wide       = 1.5                // sides of triangles that a wall is wide at the least: else it is a row in a fillet
	long       = 3                  // sides of triangles that a corner is long at the least
)

// Corners finds the corners of a surface, sharp or rounded, the longest first.
// Walls are what hangs together without a bend tighter than 60 mm; a bend belongs
// to the two walls nearest to it. Where the walls themselves curve the turn counts
// between what lies just beside the bend.
func Corners(t *mesh.Topology) []Corner {
	c := corners{t: t, edge: t.Mesh.MeanEdge(), wall: make([]int32, len(t.Mesh.Triangles)), from: make([]int32, len(t.Mesh.Triangles)),
		bent: make([]bool, len(t.Mesh.Vertices))}
	c.walls()
	c.spread()
	return c.meet()
}

type corners struct {
	t    *mesh.Topology
	edge float64
	wall []int32 // of each triangle; -1: in no wall
	from []int32 // the wall's triangle that it lies nearest to
	bent []bool  // of each vertex: it lies at a bend
}

// bends tells whether the surface bends at side k of triangle f.
func (c *corners) bends(f, k int) bool {
	g := c.t.Neighbour(f, k)
	if g < 0 {
		return false
	}
	e := int(c.t.EdgeOf[3*f+k])
	turn := math.Abs(c.t.Turning(e))
	apart := 2.0 / 3 * (c.t.Mesh.FaceArea(f) + c.t.Mesh.FaceArea(g)) / c.t.EdgeLength(e) // of the middles, across the side
	return turn > leastBend && turn > apart/widestBend
}

// walls numbers the walls.
func (c *corners) walls() {
	for f := range c.wall {
		c.wall[f], c.from[f] = -1, int32(f)
	}
	seen := make([]bool, len(c.wall))
	count := int32(0)
	for f := range c.wall {
		if seen[f] {
			continue
		}
		part := []int32{int32(f)}
		seen[f] = true
		var area, rim float64
		for i := 0; i < len(part); i++ {
			h := int(part[i])
			area += c.t.Mesh.FaceArea(h)
			for k := range 3 {
				switch g := c.t.Neighbour(h, k); {
				case g < 0:
				case c.bends(h, k):
					rim += c.t.EdgeLength(int(c.t.EdgeOf[3*h+k]))
					c.bent[c.t.From(3*h+k)], c.bent[c.t.To(3*h+k)] = true, true
				case !seen[g]:
					seen[g] = true
					part = append(part, int32(g))
				}
			}
		}
		if 2*area <= wide*c.edge*rim {
			continue
		}
		for _, h := range part {
			c.wall[h] = count
		}
		count++
	}
}

// spread gives what lies in no wall to the nearest one.
func (c *corners) spread() {
	var queue []int32
	for f, w := range c.wall {
		if w >= 0 {
			queue = append(queue, int32(f))
		}
	}
	for i := 0; i < len(queue); i++ {
		f := queue[i]
		for k := range 3 {
			if g := c.t.Neighbour(int(f), k); g >= 0 && c.wall[g] < 0 {
				c.wall[g], c.from[g] = c.wall[f], c.from[f]
				queue = append(queue, int32(g))
			}
		}
	}
}

// inward is how many triangles deep a wall is looked at beside a bend.
const inward = 3

// normal is a wall's beside its triangle f: the mean of what lies near in the wall
// and clear of the bend, where triangles lie partly in it.
func (c *corners) normal(f int) (sum r3.Vec) {
	near := []int32{int32(f)}
	for from, ring := 0, 0; ring < inward; ring++ {
		end := len(near)
		for ; from < end; from++ {
			for k := range 3 {
				g := c.t.Neighbour(int(near[from]), k)
				if g >= 0 && c.wall[g] == c.wall[f] && int(c.from[g]) == g && !slices.Contains(near, int32(g)) {
					near = append(near, int32(g))
				}
			}
		}
	}
	for _, g := range near {
		if t := c.t.Mesh.Triangles[g]; !c.bent[t[0]] && !c.bent[t[1]] && !c.bent[t[2]] {
			sum = r3.Add(sum, c.t.Mesh.AreaVector(int(g)))
		}
	}
	if sum == (r3.Vec{}) {
		sum = c.t.Mesh.AreaVector(f)
	}
	return r3.Unit(sum)
}

// meet adds up where two walls meet.
func (c *corners) meet() (out []Corner) {
	type pair struct{ a, b int32 }
	type sum struct {
		length, turned, hollow float64
		edges                  []int32
	}
	sums := map[pair]*sum{}
	var order []pair
	m := c.t.Mesh
	for f := range c.wall {
		for k := range 3 {
			g := c.t.Neighbour(f, k)
			if g < f || c.wall[f] == c.wall[g] {
				continue
			}
			p := pair{min(c.wall[f], c.wall[g]), max(c.wall[f], c.wall[g])}
			if sums[p] == nil {
				sums[p] = &sum{}
				order = append(order, p)
			}
			s, e := sums[p], int(c.t.EdgeOf[3*f+k])
			a, b := int(c.from[f]), int(c.from[g])
			na, nb := c.normal(a), c.normal(b)
			across := r3.Cross(na, nb)
			sin, cos := r3.Norm(across), r3.Dot(na, nb)
			if sin == 0 {
				continue
			}
			// of the side what runs along the corner: in a fillet the walls meet in a zigzag
			side := r3.Sub(m.Vertices[c.t.Edges[e][1]], m.Vertices[c.t.Edges[e][0]])
			l := math.Abs(r3.Dot(side, across)) / sin
			s.length += l
			s.turned += l * math.Atan2(sin, cos)
			s.hollow += l * r3.Dot(na, r3.Sub(m.Centroid(b), m.Centroid(a)))
			s.edges = append(s.edges, int32(e))
		}
	}
	for _, p := range order {
		s := sums[p]
		turn := s.turned / s.length
		if !(turn >= leastTurn && s.length >= long*c.edge) {
			continue
		}
		ends := c.t.Edges[s.edges[len(s.edges)/2]]
		at := r3.Scale(0.5, r3.Add(m.Vertices[ends[0]], m.Vertices[ends[1]]))
		out = append(out, Corner{Turn: si.Angle(turn), Length: si.Length(s.length), At: [3]float64{at.X, at.Y, at.Z}, Hollow: s.hollow > 0})
	}
	slices.SortStableFunc(out, func(a, b Corner) int { return cmp.Compare(b.Length, a.Length) })
	return out
}
