package scan

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/facet"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// mostListed is how many holes are listed singly, widest first.
const mostListed = 20

// fillRounds bounds how often filling starts again: holes that share a vertex are
// filled in different rounds, as each must see the other's fill.
const fillRounds = 12

// fill closes holes up to the wanted width and tags the new triangles.
func (w *work) fill() error {
	if f := w.o.Fill; f != 0 && !(f > 0 && f <= 2*w.m.Diagonal()) {
		return &fault.Range{Field: "mould.import.fill", Value: 1e3 * f, Min: 0, Max: 2e3 * w.m.Diagonal(), Unit: " mm", Why: "no hole is wider than the surface"}
	}
	var all []patch
	for range fillRounds {
		patches, err := w.patches()
		if err != nil {
			return err
		}
		if len(patches) == 0 {
			break
		}
		w.m = w.m.Clone() // the topology is that of the mesh before
		for _, p := range patches {
			w.sewIn(p)
		}
		all = append(all, patches...)
	}
	if len(all) == 0 {
		return nil
	}
	w.listHoles(all)
	return w.checkFilled()
}

// patches makes those for holes that share no vertex, and lists the holes that are
// too wide.
func (w *work) patches() (out []patch, err error) {
	t, err := w.topology()
	if err != nil {
		return nil, err
	}
	w.out.Holes = nil
	used := map[int32]bool{}
	for i, rim := range t.Rims() {
		h := holeOf(w.m, rim.Loop)
		switch {
		case h.Wide <= w.o.Fill:
			if slices.ContainsFunc(rim.Loop, func(v int32) bool { return used[v] }) {
				continue
			}
			for _, v := range rim.Loop {
				used[v] = true
			}
			p, ok, err := newPatch(t, rim.Loop)
			if err != nil {
				return nil, err
			}
			if !ok {
				h.Why = "its rim runs back on itself"
				w.out.Holes = append(w.out.Holes, h)
				continue
			}
			p.hole = h
			out = append(out, p)
		case i > 0: // the longest is the surface's own edge
			h.Why = fmt.Sprintf("it is wider than %.0f mm", 1e3*w.o.Fill)
			w.out.Holes = append(w.out.Holes, h)
		}
	}
	return out, nil
}

func holeOf(m *mesh.Mesh, loop []int32) Hole {
	places := make([]r3.Vec, len(loop))
	for i, v := range loop {
		places[i] = m.Vertices[v]
	}
	var h Hole
	for i, p := range places {
		h.At = r3.Add(h.At, r3.Scale(1/float64(len(places)), p))
		for _, q := range places[i+1:] {
			h.Wide = max(h.Wide, r3.Norm(r3.Sub(p, q)))
		}
	}
	return h
}

func (w *work) listHoles(patches []patch) {
	order := slices.Clone(patches)
	slices.SortStableFunc(order, func(a, b patch) int {
		switch {
		case a.hole.Wide > b.hole.Wide:
			return -1
		case a.hole.Wide < b.hole.Wide:
			return 1
		}
		return 0
	})
	rest := Repair{What: "smaller holes filled"}
	for i, p := range order {
		if i < mostListed {
			w.did(Repair{What: fmt.Sprintf("hole %.1f mm wide filled", 1e3*p.hole.Wide), Count: 1, At: p.hole.At, Area: p.m.Area()})
			continue
		}
		if rest.Count == 0 {
			rest.At = p.hole.At
		}
		rest.Count, rest.Area = rest.Count+1, rest.Area+p.m.Area()
	}
	w.did(rest)
}

// sewIn adds a patch to the mesh.
func (w *work) sewIn(p patch) {
	number := slices.Clone(p.rim)
	for _, x := range p.m.Vertices[len(p.rim):] {
		number = append(number, int32(len(w.m.Vertices)))
		w.m.Vertices = append(w.m.Vertices, x)
	}
	for _, tri := range p.m.Triangles {
		w.m.Triangles = append(w.m.Triangles, [3]int32{number[tri[0]], number[tri[1]], number[tri[2]]})
		w.filled = append(w.filled, true)
	}
}

func (w *work) checkFilled() error {
	t, err := w.topology()
	if err != nil {
		return err
	}
	if bad := append(t.NonManifoldEdges(), t.FlippedEdges()...); len(bad) > 0 {
		at := w.m.Vertices[t.Edges[bad[0]][0]]
		return &fault.Input{Field: "mould.import.fill", What: "holes at " + place(at) + " lie so close together that they can't be filled one by one", Do: "fill up to a smaller width, or mend them where the mesh was drawn"}
	}
	found, all := mesh.NewLocator(w.m).Crossings(mostCrossings)
	w.out.Crossing, w.out.Uneasy = found, !all
	return nil
}

// patch closes a hole: its first vertices are the rim's, in order.
type patch struct {
	hole Hole
	rim  []int32 // the rim in the mesh, as the patch runs
	m    *mesh.Mesh
}

// newPatch covers a hole, whose loop has the surface on its left, with triangles
// like those round it, and makes it fair. ok is false for a rim that encloses
// nothing.
func newPatch(t *mesh.Topology, loop []int32) (p patch, ok bool, err error) {
	p.rim = slices.Clone(loop)
	slices.Reverse(p.rim)
	n := len(p.rim)
	at, own := make([]r3.Vec, n), make([]int32, n)
	var out r3.Vec
	length := 0.0
	for i, v := range p.rim {
		at[i], own[i] = t.Mesh.Vertices[v], int32(i)
		length += r3.Norm(r3.Sub(t.Mesh.Vertices[p.rim[(i+1)%n]], at[i]))
	}
	for i := range at {
		out = r3.Add(out, r3.Cross(r3.Sub(at[i], at[0]), r3.Sub(at[(i+1)%n], at[0])))
	}
	radius := wideOf(at) / 4
	if l := r3.Norm(out); l > 0 {
		radius = max(radius, math.Sqrt(l/(2*math.Pi)))
		out = r3.Scale(1/l, out)
	}
	ball := ballRound(t, surroundings(t, p.rim, ringsFor(radius, length/float64(n))), out, radius)
	var middle r3.Vec
	for _, x := range at {
		middle = r3.Add(middle, r3.Scale(1/float64(n), ball.near(x)))
	}
	for i, x := range at {
		at[i] = ball.flat(ball.near(x), middle)
	}
	joined := func(i, j int32) bool { return t.EdgeBetween(int(p.rim[i]), int(p.rim[j])) >= 0 }
	flat, err := mesh.NewTopology(&mesh.Mesh{Vertices: at, Triangles: span(at, own, joined)})
	if err != nil {
		return p, false, err
	}
	p.m = facet.Recut(flat, facet.Goal{Side: length / float64(n), Crease: math.Pi, HoldRim: true})
	for v, x := range p.m.Vertices {
		p.m.Vertices[v] = ball.onto(x)
	}
	if len(p.m.Vertices) < n {
		return p, false, nil
	}
	return p, true, p.fair(t, ball)
}

// ringsFor returns how many rings of vertices round a hole tell its ball: as far
// as a third of its radius, which noise of a vertex or two hardly sways.
func ringsFor(radius, side float64) int {
	return max(2, min(10, int(math.Ceil(radius/(3*side)))))
}

// surroundings lists the vertices within so many rings of a rim, the rim first.
func surroundings(t *mesh.Topology, rim []int32, rings int) []int32 {
	out := slices.Clone(rim)
	seen := map[int32]bool{}
	for _, v := range rim {
		seen[v] = true
	}
	for from := 0; rings > 0; rings-- {
		to := len(out)
		for _, v := range out[from:to] {
			for _, e := range t.VertexEdges(int(v)) {
				if u := int32(t.Other(int(e), int(v))); !seen[u] {
					seen[u] = true
					out = append(out, u)
				}
			}
		}
		from = to
	}
	return out
}

// ballRound fits the ball to the vertices round a hole; a vertex's normal is that
// of the triangles there, weighted by area.
func ballRound(t *mesh.Topology, near []int32, out r3.Vec, radius float64) ball {
	var places, normals []r3.Vec
	for _, v := range near {
		var n r3.Vec
		for _, f := range t.VertexFaces(int(v)) {
			n = r3.Add(n, t.Mesh.AreaVector(int(f)))
		}
		if l := r3.Norm(n); l > 0 {
			places, normals = append(places, t.Mesh.Vertices[v]), append(normals, r3.Scale(1/l, n))
		}
	}
	return fitBall(places, normals, out, radius)
}
