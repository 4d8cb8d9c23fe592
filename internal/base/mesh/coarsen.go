package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Coarse is a mesh with fewer vertices; Vertex is the old number of each, which
// has kept its place.
type Coarse struct {
	Mesh   *Mesh
	Vertex []int32

	at   []r3.Vec  // of the old vertices
	gone []removal // in the order in which they went
}

// Limits of Coarsen. A vertex goes into its neighbour at a price of
//
//	length² + (off/offShare)²
//
// with off the root mean square distance of the neighbour from the planes of the
// triangles that have gone into either; a plane beyond each rim keeps that.
// No triangle may turn by more than the arc cosine of leastTurn or get flatter
// than leastQuality, unless it was.
const (
	offShare     = 0.03
	leastTurn    = 0.5
	leastQuality = 0.2
)

// Coarsen merges vertices along the sides that cost least until no more than most
// are left, or none can go. What hangs together stays so, holes stay holes, and
// sharp bends and rims keep their places as far as there is choice. The mesh
// must have no side of three triangles and no vertex where parts only touch.
//
// Source: [garland1997] for the sums of squared distances from planes.
func (t *Topology) Coarsen(most int) Coarse {
	c := newCoarsener(t)
	for c.left > most && len(c.queue) > 0 {
		m := c.pop()
		if c.stamp[m.from] == m.stampFrom && c.stamp[m.to] == m.stampTo && c.may(m.from, m.to) {
			c.went = append(c.went, c.removed(m.from))
			c.merge(m.from, m.to)
		}
	}
	return c.finish()
}

// planes is a sum of squared distances from planes: Σ w·(n·x + d)².
type planes struct {
	a      [6]float64 // of n·nᵀ: xx, xy, xz, yy, yz, zz
	b      r3.Vec
	c      float64
	weight float64
}

func planeOf(n, at r3.Vec, w float64) planes {
	d := -r3.Dot(n, at)
	return planes{[6]float64{w * n.X * n.X, w * n.X * n.Y, w * n.X * n.Z, w * n.Y * n.Y, w * n.Y * n.Z, w * n.Z * n.Z},
		r3.Scale(w*d, n), w * d * d, w}
}

func (p *planes) add(q planes) {
	for i := range p.a {
		p.a[i] += q.a[i]
	}
	p.b, p.c, p.weight = r3.Add(p.b, q.b), p.c+q.c, p.weight+q.weight
}

// off2 is the mean squared distance of x from the planes.
func (p *planes) off2(x r3.Vec) float64 {
	q := p.a[0]*x.X*x.X + 2*p.a[1]*x.X*x.Y + 2*p.a[2]*x.X*x.Z + p.a[3]*x.Y*x.Y + 2*p.a[4]*x.Y*x.Z + p.a[5]*x.Z*x.Z +
		2*r3.Dot(p.b, x) + p.c
	return max(0, q) / max(p.weight, 1e-300)
}

// merging is a vertex that may go into another; it is out of date once a stamp
// has changed.
type merging struct {
	price              float64
	from, to           int32
	stampFrom, stampTo int32
}

type coarsener struct {
	at    []r3.Vec // about the middle of the bounds
	faces [][3]int32
	gone  []bool    // faces
	of    [][]int32 // faces at a vertex
	sums  []planes
	rim   []bool
	stamp []int32
	left  int
	queue []merging
	old   *Mesh
	ring  [2][]int32 // room to work in
	went  []removal
}

func newCoarsener(t *Topology) *coarsener {
	m := t.Mesh
	n := len(m.Vertices)
	c := &coarsener{old: m, at: make([]r3.Vec, n), faces: slices.Clone(m.Triangles), gone: make([]bool, len(m.Triangles)),
		of: make([][]int32, n), sums: make([]planes, n), rim: t.RimVertices(), stamp: make([]int32, n), queue: make([]merging, 0, 2*len(t.Edges))}
	box := m.Bounds()
	middle := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	for v, x := range m.Vertices {
		c.at[v], c.of[v] = r3.Sub(x, middle), slices.Clone(t.VertexFaces(v))
		if len(c.of[v]) > 0 {
			c.left++
		}
	}
	for f, tri := range m.Triangles {
		p := planeOf(m.FaceNormal(f), c.at[tri[0]], m.FaceArea(f))
		for _, v := range tri {
			c.sums[v].add(p)
		}
	}
	for h, twin := range t.Twin {
		if twin < 0 {
			a, b := t.From(h), t.To(h)
			e := r3.Sub(c.at[b], c.at[a])
			p := planeOf(unit(r3.Cross(e, m.FaceNormal(h/3))), c.at[a], r3.Norm2(e))
			c.sums[a].add(p)
			c.sums[b].add(p)
		}
	}
	for _, e := range t.Edges {
		c.offer(e[0], e[1])
	}
	return c
}

// offer queues the cheaper way to merge two neighbours.
func (c *coarsener) offer(a, b int32) {
	both := c.sums[a]
	both.add(c.sums[b])
	into, other := both.off2(c.at[b]), both.off2(c.at[a])
	if c.rim[a] && !c.rim[b] || c.rim[a] == c.rim[b] && (other < into || other == into && b > a) {
		a, b, into = b, a, other
	}
	price := r3.Norm2(r3.Sub(c.at[a], c.at[b])) + into/(offShare*offShare)
	c.push(merging{price, a, b, c.stamp[a], c.stamp[b]})
}

// neighbours lists the vertices at the triangles of v, with repeats: inner ones
// come twice.
func (c *coarsener) neighbours(v int32, room []int32) []int32 {
	room = room[:0]
	for _, f := range c.of[v] {
		for _, u := range c.faces[f] {
			if u != v {
				room = append(room, u)
			}
		}
	}
	slices.Sort(room)
	return room
}

// may tells whether a may go into b and leave the surface whole and unfolded.
func (c *coarsener) may(a, b int32) bool {
	shared := 0
	for _, f := range c.of[a] {
		if slices.Contains(c.faces[f][:], b) {
			shared++
		}
	}
	if shared == 0 || c.rim[a] && c.rim[b] && shared != 1 {
		return false // the side between two rims would pinch the surface
	}
	c.ring[0], c.ring[1] = c.neighbours(a, c.ring[0]), c.neighbours(b, c.ring[1])
	common, last := 0, int32(-1)
	for _, u := range c.ring[0] {
		if _, in := slices.BinarySearch(c.ring[1], u); in && u != last && u != a && u != b {
			common++
		}
		last = u
	}
	if common != shared || len(c.of[a]) <= shared {
		return false
	}
	for _, f := range c.of[a] {
		tri := c.faces[f]
		if slices.Contains(tri[:], b) {
			continue
		}
		was, flatness := c.shape(tri)
		tri[slices.Index(tri[:], a)] = b
		now, quality := c.shape(tri)
		if !(r3.Dot(was, now) > leastTurn*r3.Norm(was)*r3.Norm(now)) || quality < min(leastQuality, flatness) {
			return false
		}
	}
	return true
}

func (c *coarsener) shape(tri [3]int32) (normal r3.Vec, quality float64) {
	p, q, r := c.at[tri[0]], c.at[tri[1]], c.at[tri[2]]
	n := r3.Cross(r3.Sub(q, p), r3.Sub(r, p))
	return n, 2 * math.Sqrt(3) * r3.Norm(n) / (r3.Norm2(r3.Sub(q, p)) + r3.Norm2(r3.Sub(r, q)) + r3.Norm2(r3.Sub(p, r)))
}

func (c *coarsener) merge(a, b int32) {
	for _, f := range c.of[a] {
		tri := &c.faces[f]
		if slices.Contains(tri[:], b) {
			c.gone[f] = true
			for _, v := range tri {
				if v != a {
					c.of[v] = slices.DeleteFunc(c.of[v], func(g int32) bool { return g == f })
				}
			}
			continue
		}
		tri[slices.Index(tri[:], a)] = b
		c.of[b] = append(c.of[b], f)
	}
	c.of[a] = nil
	c.sums[b].add(c.sums[a])
	c.stamp[a]++
	c.stamp[b]++
	c.left--
	last := int32(-1)
	for _, u := range c.neighbours(b, c.ring[0]) {
		if u != last {
			c.offer(b, u)
		}
		last = u
	}
}

func (c *coarsener) finish() Coarse {
	out := Coarse{Mesh: &Mesh{}, at: c.old.Vertices, gone: c.went}
	now := make([]int32, len(c.of))
	for v, faces := range c.of {
		if len(faces) > 0 {
			now[v] = int32(len(out.Vertex))
			out.Vertex = append(out.Vertex, int32(v))
			out.Mesh.Vertices = append(out.Mesh.Vertices, c.old.Vertices[v])
		}
	}
	for f, tri := range c.faces {
		if !c.gone[f] {
			out.Mesh.Triangles = append(out.Mesh.Triangles, [3]int32{now[tri[0]], now[tri[1]], now[tri[2]]})
		}
	}
	return out
}

func (m *merging) before(n *merging) bool {
	switch {
	case m.price != n.price:
		return m.price < n.price
	case m.from != n.from:
		return m.from < n.from
	}
	return m.to < n.to
}

// The queue is a heap of four branches in one list; its head is the cheapest.

func (c *coarsener) push(m merging) {
	q := append(c.queue, m)
	i := len(q) - 1
	for ; i > 0 && m.before(&q[(i-1)/4]); i = (i - 1) / 4 {
		q[i] = q[(i-1)/4]
	}
	q[i] = m
	c.queue = q
}

func (c *coarsener) pop() merging {
	first, last := c.queue[0], c.queue[len(c.queue)-1]
	q := c.queue[:len(c.queue)-1]
	for i := 0; len(q) > 0; {
		least := -1
		for k := 4*i + 1; k <= 4*i+4 && k < len(q); k++ {
			if least < 0 || q[k].before(&q[least]) {
				least = k
			}
		}
		if least < 0 || !q[least].before(&last) {
			q[i] = last
			break
		}
		q[i] = q[least]
		i = least
	}
	c.queue = q
	return first
}
