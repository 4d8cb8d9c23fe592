package bag

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

const (
	// portReach is the longest way, m, that air should go through the breather to a
	// port. Practice says 0.6 to 1 m. Common practice, no source.
	portReach = 0.8
	mostPorts = 12
	// portFar is the way, m, above which it is told.
	portFar = 1.0
)

// PortUse is what a port is for.
type PortUse string

// The uses of ports.
const (
	ForPump  PortUse = "pump"
	ForGauge PortUse = "gauge"
)

// Port stands beside the part, on breather that reaches under it.
type Port struct {
	Use PortUse    `json:"use"`
	At  [3]float64 `json:"at_m"` // of the part's edge that it stands beside
}

// ports places the ports round the edge of the part. The first stands at the middle
// of a long side; while some place is farther than the reach, one more stands where
// the edge is nearest to that place. The gauge stands where the air comes from last:
// it reads the worst.
func ports(m *mesh.Mesh, edge []int32) (out []Port, farthest si.Length) {
	if len(m.Vertices) == 0 {
		return nil, 0
	}
	if len(edge) == 0 {
		for v := range m.Vertices {
			edge = append(edge, int32(v))
		}
	}
	w := newWays(m)
	add := func(use PortUse, v int32) {
		p := m.Vertices[v]
		out = append(out, Port{use, [3]float64{p.X, p.Y, p.Z}})
	}
	v := longSide(m, edge)
	add(ForPump, v)
	w.from(v)
	far := w.farthest()
	for range mostPorts - 1 {
		if w.far[far] <= portReach {
			break
		}
		before := w.far[far]
		v = nearest(m, edge, m.Vertices[far])
		w.from(v)
		if w.far[far] >= before {
			break // the middle of a wide part: no place at the edge is nearer
		}
		add(ForPump, v)
		far = w.farthest()
	}
	add(ForGauge, nearest(m, edge, m.Vertices[far]))
	return out, si.Length(w.far[far])
}

func portsFar(way si.Length) fault.Finding {
	return fault.Finding{Severity: fault.Note, Code: "port-far",
		What: fmt.Sprintf("A place of the part is %.1f m from the nearest port.", float64(way)),
		Why:  "air goes slowly through breather that is pressed flat, and a place so far keeps less vacuum",
		Do:   "lay a second layer of breather or a coiled hose from there to a port, and read the gauge there"}.
		Against(float64(way), portFar, "m")
}

// longSide returns the vertex of the edge nearest to the middle of a long side of the
// part's plan.
func longSide(m *mesh.Mesh, edge []int32) int32 {
	box := m.Bounds()
	mid := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	at := r3.Vec{X: mid.X, Y: box.Min.Y, Z: box.Min.Z}
	if box.Max.Y-box.Min.Y > box.Max.X-box.Min.X {
		at = r3.Vec{X: box.Min.X, Y: mid.Y, Z: box.Min.Z}
	}
	return nearest(m, edge, at)
}

func nearest(m *mesh.Mesh, among []int32, at r3.Vec) (best int32) {
	least := math.Inf(1)
	for _, v := range among {
		if d := r3.Norm2(r3.Sub(m.Vertices[v], at)); d < least {
			least, best = d, v
		}
	}
	return best
}

// ways holds the shortest ways over a surface from some vertices, along the sides of
// its triangles: up to 15 % longer than over the triangles. Source: [dijkstra1959].
type ways struct {
	start []int32 // of each vertex's neighbours in next
	next  []int32
	m     *mesh.Mesh
	far   []float64
	heap  reached
}

func newWays(m *mesh.Mesh) *ways {
	w := &ways{m: m, start: make([]int32, len(m.Vertices)+1), next: make([]int32, 6*len(m.Triangles)), far: make([]float64, len(m.Vertices))}
	for _, t := range m.Triangles {
		for _, v := range t {
			w.start[v+1] += 2
		}
	}
	for v := range m.Vertices {
		w.start[v+1] += w.start[v]
		w.far[v] = math.Inf(1)
	}
	fill := append([]int32{}, w.start...)
	for _, t := range m.Triangles {
		for k, v := range t {
			w.next[fill[v]], w.next[fill[v]+1] = t[(k+1)%3], t[(k+2)%3]
			fill[v] += 2
		}
	}
	return w
}

// from takes one more vertex to start from.
func (w *ways) from(v int32) {
	w.far[v] = 0
	w.heap = append(w.heap[:0], stop{v, 0})
	for len(w.heap) > 0 {
		s := w.heap.pop()
		if s.far > w.far[s.v] {
			continue
		}
		for _, u := range w.next[w.start[s.v]:w.start[s.v+1]] {
			if d := s.far + r3.Norm(r3.Sub(w.m.Vertices[u], w.m.Vertices[s.v])); d < w.far[u] {
				w.far[u] = d
				w.heap.push(stop{u, d})
			}
		}
	}
}

// farthest is the vertex of the triangles that is farthest; what no way leads to does
// not count.
func (w *ways) farthest() (best int32) {
	most := -1.0
	for v, d := range w.far {
		if d > most && !math.IsInf(d, 1) {
			most, best = d, int32(v)
		}
	}
	return best
}

type stop struct {
	v   int32
	far float64
}

// reached is a heap of stops, the nearest first.
type reached []stop

func (h *reached) push(x stop) {
	*h = append(*h, x)
	q := *h
	for i := len(q) - 1; i > 0 && q[i].far < q[(i-1)/2].far; i = (i - 1) / 2 {
		q[i], q[(i-1)/2] = q[(i-1)/2], q[i]
	}
}

func (h *reached) pop() stop {
	q := *h
	top, n := q[0], len(q)-1
	q[0] = q[n]
	q = q[:n]
	*h = q
	for i := 0; 2*i+1 < n; {
		k := 2*i + 1
		if k+1 < n && q[k+1].far < q[k].far {
			k++
		}
		if q[i].far <= q[k].far {
			break
		}
		q[i], q[k] = q[k], q[i]
		i = k
	}
	return top
}
