package scan

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// Cut takes off what lies where its distance is positive.
type Cut struct {
	Field    string                 // in the job file
	Distance func(p r3.Vec) float64 // signed, m
	Near     *r3.Vec                // where set, only the one piece nearest to it comes off
	Ring     geom.Polygon           // the outline, where it is one; its corners come out exact
	Flat     func(p r3.Vec) r2.Vec  // where a place lies in the outline's plane
}

// Left is what a cut leaves.
type Left struct {
	Mesh  *mesh.Mesh
	Old   []int32 // the old vertex of each, −1 for a new one
	Face  []int32 // the old triangle that each lies in
	OnCut []bool  // of each vertex
}

const (
	onCutNear = 1e-9        // m: a vertex so near to a cut lies on it
	sharpRing = math.Pi / 9 // an outline that turns by more has a corner there
)

// Off cuts a mesh. Triangles are first cut along the sides of an outline that meet
// in a corner, so that the rim turns where the outline does and no hole or finger
// narrower than a triangle is lost.
func (c Cut) Off(m *mesh.Mesh) (Left, error) {
	face := make([]int32, len(m.Triangles))
	for f := range face {
		face[f] = int32(f)
	}
	given := len(m.Vertices)
	for _, s := range c.sharpSides() {
		t, err := mesh.NewTopology(m)
		if err != nil {
			return Left{}, err
		}
		scored := t.Score(c.Flat, s[0], s[1], onCutNear)
		m = scored.Mesh
		for f, was := range scored.Face {
			scored.Face[f] = face[was]
		}
		face = scored.Face
	}
	m, face = c.withMiddles(m, face)
	t, err := mesh.NewTopology(m)
	if err != nil {
		return Left{}, err
	}
	clipped, err := t.Clip(c.kept(t), mesh.ClipOptions{Distance: func(p r3.Vec) float64 { return -c.Distance(p) }})
	if err != nil {
		return Left{}, err
	}
	out := Left{Mesh: clipped.Mesh, OnCut: clipped.OnCut}
	for _, f := range clipped.Face {
		out.Face = append(out.Face, face[f])
	}
	for _, o := range clipped.Origin {
		if o.T != 0 || int(o.A) >= given {
			o.A = -1
		}
		out.Old = append(out.Old, o.A)
	}
	return out, nil
}

// sharpSides lists the sides of the outline with a corner at either end.
func (c Cut) sharpSides() (sides [][2]r2.Vec) {
	n := len(c.Ring)
	sharp := func(i int) bool {
		u, w := r2.Sub(c.Ring[i], c.Ring[(i+n-1)%n]), r2.Sub(c.Ring[(i+1)%n], c.Ring[i])
		return math.Abs(math.Atan2(r2.Cross(u, w), r2.Dot(u, w))) > sharpRing
	}
	for i := range c.Ring {
		if j := (i + 1) % n; sharp(i) || sharp(j) {
			sides = append(sides, [2]r2.Vec{c.Ring[i], c.Ring[j]})
		}
	}
	return sides
}

// withMiddles gives triangles with all corners on the cut a vertex in their middle,
// which tells on what side they lie.
func (c Cut) withMiddles(m *mesh.Mesh, face []int32) (*mesh.Mesh, []int32) {
	out := m.Clone()
	on := make([]bool, len(m.Vertices))
	for v, p := range m.Vertices {
		on[v] = math.Abs(c.Distance(p)) <= onCutNear
	}
	for f, t := range m.Triangles {
		if !(on[t[0]] && on[t[1]] && on[t[2]]) || math.Abs(c.Distance(m.Centroid(f))) <= onCutNear {
			continue
		}
		v := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Centroid(f))
		out.Triangles[f] = [3]int32{t[0], t[1], v}
		out.Triangles = append(out.Triangles, [3]int32{t[1], t[2], v}, [3]int32{t[2], t[0], v})
		face = append(face, face[f], face[f])
	}
	return out, face
}

// kept returns the distance of the vertices from the cut, positive where the
// surface stays. With a place given, only the piece nearest to it comes off.
func (c Cut) kept(t *mesh.Topology) []float64 {
	d := make([]float64, len(t.Mesh.Vertices))
	for v, p := range t.Mesh.Vertices {
		if d[v] = -c.Distance(p); math.Abs(d[v]) <= onCutNear {
			d[v] = 0
		}
	}
	if c.Near == nil {
		return d
	}
	piece := make([]int, len(t.Mesh.Triangles))
	chosen, count, apart := 0, 0, math.Inf(1)
	for first := range piece {
		if piece[first] != 0 || !inside(d, t.Mesh.Triangles[first]) {
			continue
		}
		count++
		piece[first] = count
		for stack := []int{first}; len(stack) > 0; {
			f := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for k, v := range t.Mesh.Triangles[f] {
				if a := r3.Norm(r3.Sub(t.Mesh.Vertices[v], *c.Near)); d[v] < 0 && a < apart {
					apart, chosen = a, count
				}
				if g := t.Neighbour(f, k); g >= 0 && piece[g] == 0 && c.opens(t, d, 3*f+k) && inside(d, t.Mesh.Triangles[g]) {
					piece[g] = count
					stack = append(stack, g)
				}
			}
		}
	}
	off := make([]bool, len(d))
	for f, p := range piece {
		if p == chosen && p > 0 {
			for _, v := range t.Mesh.Triangles[f] {
				off[v] = true
			}
		}
	}
	for v := range d {
		if d[v] < 0 && !off[v] {
			d[v] = -d[v]
		}
	}
	return d
}

// inside tells whether a triangle reaches into what comes off.
func inside(d []float64, t [3]int32) bool { return d[t[0]] < 0 || d[t[1]] < 0 || d[t[2]] < 0 }

// opens tells whether a side lies, at least in part, in what comes off.
func (c Cut) opens(t *mesh.Topology, d []float64, h int) bool {
	a, b := t.From(h), t.To(h)
	return d[a] < 0 || d[b] < 0 || c.Distance(r3.Scale(0.5, r3.Add(t.Mesh.Vertices[a], t.Mesh.Vertices[b]))) > onCutNear
}

// cut makes the cuts in order; one that misses is refused.
func (w *work) cut() error {
	for _, c := range w.o.Cuts {
		left, err := c.Off(w.m)
		if err != nil {
			return err
		}
		off := w.m.Area() - left.Mesh.Area()
		switch {
		case len(left.Mesh.Triangles) == 0:
			return &fault.Input{Field: c.Field, What: "nothing of the surface is left", Do: "check its place and direction"}
		case !(off > 0):
			return &fault.Input{Field: c.Field, What: "it misses the surface, which lies within " + boxText(w.m), Do: "check its place and the file's unit"}
		}
		filled := make([]bool, len(left.Face))
		for f, was := range left.Face {
			filled[f] = w.filled[was]
		}
		w.m, w.filled = left.Mesh, filled
		w.did(Repair{What: "cut off by " + c.Field, Count: 1, At: firstOn(left), Area: -off})
		if err := w.choose("pieces left out that were cut off", func([]sheet) error {
			return &fault.Input{Field: c.Field, What: "it leaves several pieces", Do: "write keep: largest in mould.import, or keep_at: with a place on the one that is wanted"}
		}); err != nil {
			return err
		}
	}
	return nil
}

func firstOn(l Left) r3.Vec {
	for v, on := range l.OnCut {
		if on {
			return l.Mesh.Vertices[v]
		}
	}
	return r3.Vec{}
}

func boxText(m *mesh.Mesh) string {
	b := m.Bounds()
	return fmt.Sprintf("%s to %s", place(b.Min), place(b.Max))
}
