package relay

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// hair is a length that no cut has and no knife sees, m.
const hair = 1e-9

// cloth is a piece cut out: which of its flat triangles, or what of them, hangs
// together as the piece's body.
type cloth struct {
	*Piece
	cuts  *lines // outline, holes and knife lines
	rings *lines // outline and holes
	tri   []geom.Convex
	whole []bool                  // by triangle: all of it belongs to the body
	some  map[int32][]geom.Convex // of a triangle that a cut runs through: what belongs to the body, flat
	home  []int32                 // the surface's triangle of each

	rims   []rim
	byEnds map[[2]int32]int32 // rims by their ground's vertices
	bounds *lines             // the rims in the flat
	wander float64            // how far cuts may lie from the rims that they follow, m
	flat   float64            // area of the body, m²
}

// cutOut finds the body of a piece. Triangles that lie turned over in the flat
// have no cloth.
func cutOut(p *Piece) *cloth {
	c := &cloth{Piece: p, some: map[int32][]geom.Convex{}}
	c.trace()
	m := p.Top.Mesh
	c.tri = make([]geom.Convex, len(m.Triangles))
	c.whole = make([]bool, len(m.Triangles))
	w := &weave{cloth: c, first: make([]int32, len(m.Triangles)), up: make([]int32, len(m.Triangles))}
	corners := make([]r2.Vec, 3*len(m.Triangles))
	for g, t := range m.Triangles {
		k := corners[3*g : 3*g+3 : 3*g+3]
		k[0], k[1], k[2] = p.Flat[t[0]], p.Flat[t[1]], p.Flat[t[2]]
		c.tri[g] = k
		w.first[g], w.up[g] = -1, int32(g)
		if !(c.tri[g].Area() > 0) {
			w.first[g] = 0 // no cloth
			continue
		}
		w.cut(int32(g))
	}
	w.join()
	w.keep()
	return c
}

// trace takes the segments of the piece's drawing.
func (c *cloth) trace() {
	var a, b []r2.Vec
	add := func(line [][2]float64, closed bool) {
		for i, p := range line {
			if j := (i + 1) % len(line); (j > 0 || closed) && p != line[j] {
				a, b = append(a, r2.Vec{X: p[0], Y: p[1]}), append(b, r2.Vec{X: line[j][0], Y: line[j][1]})
			}
		}
	}
	add(c.Outline, true)
	for _, h := range c.Holes {
		add(h, true)
	}
	n := len(a)
	for _, k := range c.Knife {
		add(k, false)
	}
	c.cuts, c.rings = newLines(a, b), newLines(a[:n:n], b[:n:n])
}

// has tells whether a flat place in triangle g belongs to the body.
func (c *cloth) has(g int32, q r2.Vec) bool {
	if c.whole[g] {
		return true
	}
	for _, p := range c.some[g] {
		if p.Holds(q, hair) {
			return true
		}
	}
	return false
}

// weave joins what no cut parts. Its nodes are the triangles, then the cells of
// those that a cut runs through.
type weave struct {
	*cloth
	first []int32 // by triangle: place in list plus 1 where it is cut, −1 where it isn't, 0 where it has no cloth
	list  []touched
	up    []int32 // union-find
}

// touched is a triangle that cuts run through or along, in convex cells.
type touched struct {
	tri   int32
	cuts  []int32
	cells []geom.Convex
	node  int32 // of the first cell
}

// cut divides triangle g along the cuts that touch it.
func (w *weave) cut(g int32) {
	t := w.tri[g]
	lo := r2.Vec{X: min(t[0].X, t[1].X, t[2].X), Y: min(t[0].Y, t[1].Y, t[2].Y)}
	hi := r2.Vec{X: max(t[0].X, t[1].X, t[2].X), Y: max(t[0].Y, t[1].Y, t[2].Y)}
	var cuts []int32
	w.cuts.near(lo, hi, func(i int32) {
		if t.Length(w.cuts.a[i], w.cuts.b[i], hair) > hair {
			cuts = append(cuts, i)
		}
	})
	if cuts == nil {
		return
	}
	cells := []geom.Convex{t}
	for _, i := range cuts {
		a, b := w.cuts.a[i], w.cuts.b[i]
		var next []geom.Convex
		for _, c := range cells {
			if c.Length(a, b, -hair) > hair {
				left, right := c.Split(a, b)
				if left != nil && right != nil {
					next = append(next, left, right)
					continue
				}
			}
			next = append(next, c)
		}
		cells = next
	}
	w.list = append(w.list, touched{g, cuts, cells, int32(len(w.up))})
	w.first[g] = int32(len(w.list))
	for range cells {
		w.up = append(w.up, int32(len(w.up)))
	}
}

func (w *weave) root(n int32) int32 {
	for w.up[n] != n {
		w.up[n] = w.up[w.up[n]]
		n = w.up[n]
	}
	return n
}

func (w *weave) unite(a, b int32) {
	if a, b = w.root(a), w.root(b); a != b {
		w.up[max(a, b)] = min(a, b)
	}
}

// join unites neighbours with no cut between them.
func (w *weave) join() {
	for h, twin := range w.Top.Twin {
		if g, n := int32(h/3), twin/3; twin > int32(h) && w.first[g] < 0 && w.first[n] < 0 {
			w.unite(g, n)
		}
	}
	for i := range w.list {
		t := &w.list[i]
		for j := range t.cells {
			for k := range j {
				w.bridge(t, j, t.cells[k], t.node+int32(k))
			}
		}
		for h := 3 * t.tri; h < 3*t.tri+3; h++ {
			twin := w.Top.Twin[h]
			if twin < 0 {
				continue
			}
			n := twin / 3
			for j := range t.cells {
				if w.first[n] < 0 {
					w.bridge(t, j, w.tri[n], n)
				} else if n > t.tri && w.first[n] > 0 {
					other := &w.list[w.first[n]-1]
					for k, c := range other.cells {
						w.bridge(t, j, c, other.node+int32(k))
					}
				}
			}
		}
	}
}

// thread is the width of cloth that a part does not hang by, m; in small triangles,
// thin of their longest side.
const (
	thread = 5e-4
	thin   = 0.15
)

// bridge unites cell j of a triangle with another polygon if they share a stretch
// of side that is not cut but for a thread.
func (w *weave) bridge(t *touched, j int, other geom.Convex, node int32) {
	c, tri := t.cells[j], w.tri[t.tri]
	least := min(thread, thin*math.Sqrt(max(r2.Norm2(r2.Sub(tri[1], tri[0])), r2.Norm2(r2.Sub(tri[2], tri[1])), r2.Norm2(r2.Sub(tri[0], tri[2])))))
	for i, p := range c {
		q := c[(i+1)%len(c)]
		d := r2.Sub(q, p)
		long := math.Hypot(d.X, d.Y)
		if long < least {
			continue
		}
		d = r2.Scale(1/long, d)
		for k, r := range other {
			s := other[(k+1)%len(other)]
			from, to, ok := along(p, d, s, r, long)
			if ok && to-from > w.cutWithin(t, p, d, from, to)+least {
				w.unite(t.node+int32(j), node)
				return
			}
		}
	}
}

// along returns which part of the line from p along d the segment from a to b
// covers, up to a length; false where it lies off the line.
func along(p, d, a, b r2.Vec, long float64) (from, to float64, ok bool) {
	a, b = r2.Sub(a, p), r2.Sub(b, p)
	if math.Abs(r2.Cross(d, a)) > hair || math.Abs(r2.Cross(d, b)) > hair {
		return 0, 0, false
	}
	s, e := r2.Dot(d, a), r2.Dot(d, b)
	from, to = max(0, min(s, e)), min(long, max(s, e))
	return from, to, to-from > hair
}

// cutWithin returns how much of a stretch of a line is cut.
func (w *weave) cutWithin(t *touched, p, d r2.Vec, from, to float64) (sum float64) {
	at := from
	for range t.cuts { // cuts do not overlap; each pass takes the next along the line
		next, end := to, to
		for _, i := range t.cuts {
			if s, e, ok := along(p, d, w.cuts.a[i], w.cuts.b[i], to); ok && e > at+hair && max(s, at) < next {
				next, end = max(s, at), e
			}
		}
		if next >= to {
			break
		}
		sum += end - next
		at = end
	}
	return sum
}

// weigh returns the area of cloth of each part that hangs together, by its root,
// and which nodes are cloth: of uncut triangles only roots are looked at.
func (w *weave) weigh() (area []float64, cloth []bool) {
	n := len(w.tri)
	area, cloth = make([]float64, len(w.up)), make([]bool, len(w.up))
	seen := make([]bool, len(w.up))
	for g := range n {
		if w.first[g] >= 0 {
			continue
		}
		r := w.root(int32(g))
		if !seen[r] {
			seen[r], cloth[r] = true, w.rings.odd(w.tri[g].Middle())
		}
		if cloth[r] {
			area[r] += w.tri[g].Area()
		}
	}
	for _, t := range w.list {
		for j, c := range t.cells {
			node := t.node + int32(j)
			if w.rings.odd(c.Middle()) {
				cloth[node] = true
				area[w.root(node)] += c.Area()
			}
		}
	}
	return area, cloth
}

// keep marks what belongs to the largest part that hangs together.
func (w *weave) keep() {
	area, cloth := w.weigh()
	body := int32(0)
	for r, a := range area {
		if a > area[body] {
			body = int32(r)
		}
	}
	if len(area) == 0 || area[body] == 0 {
		return
	}
	w.flat = area[body]
	for g := range w.tri {
		w.whole[g] = w.first[g] < 0 && w.root(int32(g)) == body && cloth[body]
	}
	for _, t := range w.list {
		sum := 0.0
		for j, c := range t.cells {
			if node := t.node + int32(j); cloth[node] && w.root(node) == body {
				w.some[t.tri] = append(w.some[t.tri], c)
				sum += c.Area()
			}
		}
		if sum > 0 && sum >= (1-1e-12)*w.tri[t.tri].Area() {
			w.whole[t.tri] = true
			delete(w.some, t.tri)
		}
	}
}
