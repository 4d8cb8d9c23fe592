package drape

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// throughVertex tells whether a node's cell was closed only nearly, since a yarn
// to it bends at a vertex: that vertex belongs to the cells on either hand.
func (n *Net) throughVertex(i, j int32) bool {
	k := n.at.get([2]int32{i, j})
	return k >= 0 && n.Nodes[k].wedged
}

// cell is a cell of a net by its corner with the least I and J.
type cell [2]int32

// piece is a straight bit of a yarn in one triangle, in that triangle's axes,
// and the cells to its left and right.
type piece struct {
	from, to    r2.Vec
	left, right cell
}

// cellsOf finds for each vertex of the mesh the cell that it lies in, without
// any use of flat places: the yarns are laid again, and from the side of a yarn
// one goes straight to the corners of the triangle and counts the yarns on the
// way. Vertices that no yarn comes near, and those beyond the net, get no cell.
func cellsOf(t *testing.T, n *Net) (in []cell, found []bool) {
	t.Helper()
	m := n.s.Mesh
	pieces := make([][]piece, len(m.Triangles))
	for i := range n.Nodes {
		p := &n.Nodes[i]
		for k := range 2 {
			if p.toward[k] == (r3.Vec{}) || n.at.get(step(p.I, p.J, k)) < 0 {
				continue
			}
			line, err := n.s.topology.Trace(p.Point, p.toward[k], n.Step)
			if err != nil {
				t.Fatal(err)
			}
			left, right := cell{p.I, p.J}, cell{p.I, p.J - 1}
			if k == 1 {
				left, right = cell{p.I - 1, p.J}, cell{p.I, p.J}
			}
			for _, q := range line.Pieces {
				pieces[q.Face] = append(pieces[q.Face], piece{n.s.inPlane(q.Face, q.From), n.s.inPlane(q.Face, q.To), left, right})
			}
		}
	}
	in, found = make([]cell, len(m.Vertices)), make([]bool, len(m.Vertices))
	queue := []int{}
	reach := func(f, k int, from r2.Vec, start cell, but int) {
		if v := m.Triangles[f][k]; !found[v] {
			if c, ok := crossed(pieces[f], from, n.s.local[f][k], start, but); ok {
				in[v], found[v] = c, true
				queue = append(queue, int(v))
			}
		}
	}
	for f, list := range pieces {
		for i, p := range list {
			mid := r2.Scale(0.5, r2.Add(p.from, p.to))
			for k, corner := range n.s.local[f] {
				start := p.right
				if r2.Cross(r2.Sub(p.to, p.from), r2.Sub(corner, mid)) > 0 {
					start = p.left
				}
				reach(f, k, mid, start, i)
			}
		}
	}
	for len(queue) > 0 { // and over triangles that no yarn crosses
		v := queue[0]
		queue = queue[1:]
		for _, f := range n.s.topology.VertexFaces(v) {
			if len(pieces[f]) == 0 {
				for k := range 3 {
					reach(int(f), k, r2.Vec{}, in[v], -1)
				}
			}
		}
	}
	return in, found
}

// inPlane returns a place of triangle f in its axes.
func (s *surface) inPlane(f int, bary [3]float64) r2.Vec {
	var q r2.Vec
	for k, b := range bary {
		q = r2.Add(q, r2.Scale(b, s.local[f][k]))
	}
	return q
}

// crossed follows a straight way from cell to cell; false where the yarns on the
// way do not agree with the cells that it comes through.
func crossed(list []piece, from, to r2.Vec, at cell, but int) (cell, bool) {
	type gate struct {
		share        float64
		enter, leave cell
	}
	var gates []gate
	d := r2.Sub(to, from)
	for i, p := range list {
		e := r2.Sub(p.to, p.from)
		det := r2.Cross(d, e)
		if i == but || det == 0 {
			continue
		}
		s := r2.Cross(r2.Sub(p.from, from), e) / det
		u := r2.Cross(r2.Sub(p.from, from), d) / det
		if s <= 0 || s >= 1 || u < 0 || u > 1 {
			continue
		}
		if det > 0 { // from right to left of the way, the yarn's: we come from its left
			gates = append(gates, gate{s, p.left, p.right})
		} else {
			gates = append(gates, gate{s, p.right, p.left})
		}
	}
	slices.SortFunc(gates, func(a, b gate) int {
		if a.share < b.share {
			return -1
		}
		return 1
	})
	for _, g := range gates {
		if g.enter != at {
			return at, false
		}
		at = g.leave
	}
	return at, true
}

// curvatureIn sums the angles that the vertices in each cell lack to a full
// turn.
func curvatureIn(t *testing.T, n *Net) map[cell]float64 {
	t.Helper()
	in, found := cellsOf(t, n)
	defects := n.s.topology.AngleDefects()
	out := map[cell]float64{}
	for v, c := range in {
		if found[v] {
			out[c] += defects[v]
		}
	}
	return out
}

// whole tells whether a cell has its four sides.
func (n *Net) whole(c cell) bool {
	for k, at := range []cell{c, {c[0] + 1, c[1]}, {c[0] + 1, c[1] + 1}, {c[0], c[1] + 1}} {
		i := n.at.get(at)
		if i < 0 || n.Nodes[i].toward[k] == (r3.Vec{}) || n.Nodes[i].toward[(k+1)%4] == (r3.Vec{}) {
			return false
		}
	}
	return true
}

// The angles of a cell add up to 360° and the curvature that it holds, on any
// surface, since its sides are straight (Gauss and Bonnet). Returns how many
// cells were tried.
func cellsHoldTheirCurvature(t *testing.T, n *Net) int {
	t.Helper()
	inside := curvatureIn(t, n)
	count := 0
	for i := range n.Nodes {
		c := cell{n.Nodes[i].I, n.Nodes[i].J}
		if n.throughVertex(c[0], c[1]) || n.throughVertex(c[0]+1, c[1]) || n.throughVertex(c[0]+1, c[1]+1) || n.throughVertex(c[0], c[1]+1) {
			continue
		}
		if !n.whole(c) || n.Nodes[i].Free || n.Nodes[n.at.get([2]int32{c[0] + 1, c[1] + 1})].Free {
			continue
		}
		count++
		sum := -2 * math.Pi
		for k, at := range []cell{c, {c[0] + 1, c[1]}, {c[0] + 1, c[1] + 1}, {c[0], c[1] + 1}} {
			p := &n.Nodes[n.at.get(at)]
			sum += n.angle(p, k, (k+1)%4)
		}
		if math.Abs(sum-inside[c]) > 1e-5 {
			t.Errorf("cell %v at %v: angles %.5f° over 360°, curvature %.5f°", c, n.Nodes[i].At, sum/deg, inside[c]/deg)
			if count -= 100; count < 0 {
				return count
			}
		}
	}
	return count
}

// identity compares the shear of nodes with the curvature that the net encloses
// from the seed to them, and returns how many could be compared and the largest
// difference, rad, and where.
//
// Far behind a vertex it counts whole. In the cells that hold it, shear grows
// over the cell: the angles of a cell of equal sides share out the curvature of a
// vertex at (a, b) as a bilinear function does, and the node at their meeting
// sees the mean of its four. So the yarn before the vertex counts (1 − a)/2 of
// it, the one behind it 1 − a/2, and likewise the other way; at the corner of its
// own cell both lack their part.
func identity(t *testing.T, n *Net) (count int, worst float64, at Node) {
	t.Helper()
	in, found := cellsOf(t, n)
	doubt := [2]map[int32]bool{{}, {}} // rows with yarns through vertices
	defects := n.s.topology.AngleDefects()
	for i := range n.Nodes {
		if p := &n.Nodes[i]; p.wedged {
			doubt[0][p.I], doubt[1][p.J] = true, true
		}
	}
	for _, s := range []cell{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		sums := map[cell]float64{} // of what changes from node to node, then of all
		add := func(i, j int32, x float64) { sums[cell{i, j}] += x }
		for v, c := range in {
			if !found[v] || defects[v] == 0 || !n.whole(c) {
				continue
			}
			a, b := n.within(c, n.s.Vertices[v])
			i, j := c[0], c[1]
			if s[0] < 0 {
				i, a = -i-1, 1-a
			}
			if s[1] < 0 {
				j, b = -j-1, 1-b
			}
			if i < 0 || j < 0 {
				continue
			}
			// the weights of nodes (i, j) to (i+2, j+2), as differences
			w := [3][3]float64{{0, (1 - a) / 2, (1 - a) / 2}, {(1 - b) / 2, 1 - (a+b)/2, 1 - a/2}, {(1 - b) / 2, 1 - b/2, 1}}
			for q := range int32(3) {
				for p := range int32(3) {
					x := w[p][q]
					if p > 0 {
						x -= w[p-1][q]
					}
					if q > 0 {
						x -= w[p][q-1]
					}
					if p > 0 && q > 0 {
						x += w[p-1][q-1]
					}
					add(i+p, j+q, defects[v]*x)
				}
			}
		}
		c, m, a := n.compare(s, sums, doubt)
		count += c
		if m > worst {
			worst, at = m, a
		}
	}
	return count, worst, at
}

// compare adds up the sums from the seed on, as far as cells are whole.
func (n *Net) compare(s cell, sums map[cell]float64, doubt [2]map[int32]bool) (count int, worst float64, at Node) {
	total := map[cell]float64{}
	for j := int32(0); ; j++ {
		before := len(total)
		for i := int32(0); ; i++ {
			c := cell{min(s[0]*i, s[0]*(i+1)), min(s[1]*j, s[1]*(j+1))} // beyond the node
			a, okA := total[cell{i - 1, j}]
			b, okB := total[cell{i, j - 1}]
			if !n.whole(c) || !(okA || i == 0) || !(okB || j == 0) {
				break
			}
			total[cell{i, j}] = a + b - total[cell{i - 1, j - 1}] + sums[cell{i, j}]
			p, ok := n.Node(int(s[0]*i), int(s[1]*j))
			if !ok || i == 0 || j == 0 || p.Cells < 4 || p.Free || doubt[0][p.I] || doubt[1][p.J] {
				continue
			}
			count++
			miss := math.Abs(p.Shear - float64(s[0]*s[1])*total[cell{i, j}])
			if miss > worst {
				worst, at = miss, p
			}
		}
		if len(total) == before {
			return count, worst, at
		}
	}
}

// within returns where in a cell a place lies, 0 to 1 from its corner.
func (n *Net) within(c cell, p r3.Vec) (a, b float64) {
	at := func(i, j int32) r3.Vec { return n.Nodes[n.at.get([2]int32{c[0] + i, c[1] + j})].At }
	o, x, y, z := at(0, 0), at(1, 0), at(0, 1), at(1, 1)
	a, b = 0.5, 0.5
	for range 8 {
		q := r3.Add(r3.Add(r3.Scale((1-a)*(1-b), o), r3.Scale(a*(1-b), x)), r3.Add(r3.Scale((1-a)*b, y), r3.Scale(a*b, z)))
		da := r3.Add(r3.Scale(1-b, r3.Sub(x, o)), r3.Scale(b, r3.Sub(z, y)))
		db := r3.Add(r3.Scale(1-a, r3.Sub(y, o)), r3.Scale(a, r3.Sub(z, x)))
		u, v := components(r3.Sub(p, q), da, db, r3.Cross(da, db))
		a, b = max(0, min(1, a+u)), max(0, min(1, b+v))
	}
	return a, b
}
