package mesh

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// CleanOptions says how far Clean may go.
type CleanOptions struct {
	// Weld is how near two vertices must be to become one, m. 0 stands for
	// 1e-6 of the diagonal, below which single-precision files differ by
	// rounding alone; a negative value welds only equal vertices.
	Weld float64
	// Seam is how near a side at the rim a vertex of the rim must lie for the side
	// to be cut there, m, so that both sides of a seam have the same vertices. 0
	// sews none.
	Seam float64
}

// Report is what Clean found and did; what it can't mend safely is counted and
// left as it was.
type Report struct {
	Weld float64 // distance used, m

	Welded     int // vertices that became one with another
	Unused     int // vertices that no triangle used, dropped
	Degenerate int // triangles without area, dropped or cut into their neighbour
	Duplicate  int // triangles on the same three corners as another, dropped
	Flipped    int // triangles turned to agree with the rest of their part
	Inverted   int // closed parts turned whole, as they were inside out
	Cavities   int // closed parts left inside out, as they lie in another part

	Sewn []r3.Vec // vertices at which a side at the rim was cut

	Components  int
	Closed      bool  // no rim and no wrong turn left
	Rims        []Rim // longest first; on a closed mould each is a hole
	NonManifold []Place
	BowTies     []Place
	Twisted     []Place // edges at which no turn agrees: the surface has one side only

	Topology *Topology // of the cleaned mesh

	// Vertex and Face give the new number of each old vertex and triangle, -1
	// for those dropped; of a triangle that was cut, that of its first piece.
	Vertex, Face []int32
}

// Rim is one closed border of the surface.
type Rim struct {
	Length float64 // m
	Middle r3.Vec  // mean of its edges' midpoints, weighted by length
	Edges  int
	Part   int     // the component it borders
	Loop   []int32 // vertices in order, surface on the left
}

// Place is where something is wrong: an edge's midpoint or a vertex.
type Place struct {
	Index int // edge or vertex in the cleaned mesh
	At    r3.Vec
}

// Clean returns m welded, freed of degenerate and doubled triangles, and turned
// consistently: each part as most of its area turned before, and outwards where
// it is closed. Vertices that stay keep their place and order. It fills no hole
// and moves no vertex; the report says what was done and what remains. It
// refuses coordinates that are no numbers and a mesh of which nothing is left.
func Clean(m *Mesh, o CleanOptions) (*Mesh, Report, error) {
	var r Report
	if err := m.checkFinite(); err != nil {
		return nil, r, err
	}
	r.Weld = o.Weld
	if o.Weld == 0 {
		r.Weld = 1e-6 * m.Diagonal()
	}
	c := newCleaner(m, &r)
	c.weld(math.Max(r.Weld, 0))
	c.dropCollapsed()
	t, err := c.tidy()
	if err != nil {
		return nil, r, err
	}
	if r.Sewn, err = c.sew(t, o.Seam); err != nil {
		return nil, r, err
	}
	if len(r.Sewn) > 0 {
		if t, err = c.tidy(); err != nil {
			return nil, r, err
		}
	}
	c.orient(t)
	c.remains(t)
	c.number()
	r.Topology = t
	return c.out, r, nil
}

// tidy drops doubled triangles, mends flat ones, and tells what touches what in
// the rest.
func (c *cleaner) tidy() (*Topology, error) {
	c.dropDuplicates()
	before := c.r.Degenerate
	if err := c.cutCaps(math.Max(c.r.Weld, 0)); err != nil {
		return nil, err
	}
	if c.r.Degenerate > before {
		c.dropDuplicates()
	}
	c.compact()
	if len(c.out.Triangles) == 0 {
		return nil, &fault.Input{Field: "mesh", What: "no triangle with an area is left", Do: "check the unit and export the surface again"}
	}
	return NewTopology(c.out)
}

func (m *Mesh) checkFinite() error {
	for v, p := range m.Vertices {
		if s := p.X + p.Y + p.Z; math.IsNaN(s) || math.IsInf(s, 0) {
			return &fault.Input{Field: "mesh", What: fmt.Sprintf("vertex %d has a coordinate that is no number", v)}
		}
	}
	for f, t := range m.Triangles {
		for _, v := range t {
			if v < 0 || int(v) >= len(m.Vertices) {
				return &fault.Input{Field: "mesh", What: fmt.Sprintf("triangle %d names vertex %d of %d", f, v, len(m.Vertices))}
			}
		}
	}
	return nil
}

// cleaner holds the mesh while it is mended; from gives the old number of each
// triangle in out.
type cleaner struct {
	out   *Mesh
	from  []int32
	r     *Report
	part  []int32 // the part that each triangle belongs to, once they are oriented
	parts int
}

func newCleaner(m *Mesh, r *Report) *cleaner {
	c := &cleaner{out: m.Clone(), from: make([]int32, len(m.Triangles)), r: r}
	for f := range c.from {
		c.from[f] = int32(f)
	}
	r.Vertex = make([]int32, len(m.Vertices))
	r.Face = make([]int32, len(m.Triangles))
	return c
}

// weld names each vertex by the first one within the distance.
func (c *cleaner) weld(distance float64) {
	first := firstWithin(c.out.Vertices, distance)
	for v, w := range first {
		c.r.Vertex[v] = w
		if int(w) != v {
			c.r.Welded++
		}
	}
	for f, t := range c.out.Triangles {
		c.out.Triangles[f] = [3]int32{first[t[0]], first[t[1]], first[t[2]]}
	}
}

// keep leaves only the triangles that pass.
func (c *cleaner) keep(pass func(f int) bool) (dropped int) {
	n := 0
	for f := range c.out.Triangles {
		if pass(f) {
			c.out.Triangles[n], c.from[n] = c.out.Triangles[f], c.from[f]
			n++
		}
	}
	dropped = len(c.from) - n
	c.out.Triangles, c.from = c.out.Triangles[:n], c.from[:n]
	return dropped
}

func (c *cleaner) dropCollapsed() {
	c.r.Degenerate += c.keep(func(f int) bool {
		t := c.out.Triangles[f]
		return t[0] != t[1] && t[1] != t[2] && t[2] != t[0]
	})
}

// dropDuplicates leaves the first of all triangles on the same three corners.
func (c *cleaner) dropDuplicates() {
	byLowest := group(len(c.from), len(c.out.Vertices), func(f int) int32 {
		t := c.out.Triangles[f]
		return min(t[0], t[1], t[2])
	})
	double := make([]bool, len(c.from))
	type others struct { // the corners of a triangle but the lowest
		corners uint64
		f       int32
	}
	var at []others
	for v := range c.out.Vertices {
		at = at[:0]
		for _, f := range byLowest.at(v) {
			t := sorted3(c.out.Triangles[f])
			at = append(at, others{uint64(t[1])<<32 | uint64(t[2]), f})
		}
		slices.SortFunc(at, func(a, b others) int { return cmp.Or(cmp.Compare(a.corners, b.corners), cmp.Compare(a.f, b.f)) })
		for i := 1; i < len(at); i++ {
			double[at[i].f] = at[i].corners == at[i-1].corners
		}
	}
	c.r.Duplicate += c.keep(func(f int) bool { return !double[f] })
}

func sorted3(t [3]int32) [3]int32 {
	if t[0] > t[1] {
		t[0], t[1] = t[1], t[0]
	}
	if t[1] > t[2] {
		t[1], t[2] = t[2], t[1]
	}
	if t[0] > t[1] {
		t[0], t[1] = t[1], t[0]
	}
	return t
}

// compact drops vertices that nothing uses and renumbers the rest.
func (c *cleaner) compact() {
	used := make([]bool, len(c.out.Vertices))
	for _, t := range c.out.Triangles {
		used[t[0]], used[t[1]], used[t[2]] = true, true, true
	}
	now := make([]int32, len(used))
	n := int32(0)
	for v, u := range used {
		now[v] = -1
		if u {
			now[v] = n
			c.out.Vertices[n] = c.out.Vertices[v]
			n++
		}
	}
	c.out.Vertices = c.out.Vertices[:n]
	for v, w := range c.r.Vertex {
		if w >= 0 {
			c.r.Vertex[v] = now[w]
		}
	}
	for f, t := range c.out.Triangles {
		c.out.Triangles[f] = [3]int32{now[t[0]], now[t[1]], now[t[2]]}
	}
}

// number writes what became of each triangle and counts the vertices without one.
func (c *cleaner) number() {
	c.r.Unused = len(c.r.Vertex) - c.r.Welded - len(c.out.Vertices)
	for f := range c.r.Face {
		c.r.Face[f] = -1
	}
	for f, old := range c.from {
		if c.r.Face[old] < 0 {
			c.r.Face[old] = int32(f)
		}
	}
}
