package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// normals are those of a smooth surface at the corners of its triangles.
type normals struct {
	t      *Topology
	faces  []r3.Vec
	at     []r3.Vec // by corner
	smooth float64  // cosine of the bend that is an edge
	part   int      // triangles from here on lie beyond the rim
}

// joined returns the half-edge on the other side of h if the surface goes on
// smoothly there, else -1.
func (n *normals) joined(h int) int {
	g := int(n.t.Twin[h])
	if g < 0 || (h/3 < n.part) != (g/3 < n.part) || !(r3.Dot(n.faces[h/3], n.faces[g/3]) > n.smooth) {
		return -1
	}
	return g
}

// fan lists the half-edges away from the start of h, as far as they are joined on
// either hand, and tells whether that is all the way round.
func (n *normals) fan(h int, to []int) (fan []int, round bool) {
	to = append(to[:0], h)
	for g := n.joined(Prev(h)); g >= 0; g = n.joined(Prev(g)) {
		if g == h {
			return to, true
		}
		to = append(to, g)
	}
	for g := n.joined(h); g >= 0; g = n.joined(Next(g)) {
		to = append(to, Next(g))
	}
	return to, false
}

// near tells whether a triangle has about a normal, that of a corner of it: within half of
// what is an edge.
func (n *normals) near(f int, up r3.Vec) bool {
	cos := r3.Dot(up, n.faces[f])
	return cos > 0 && 2*cos*cos-1 > n.smooth
}

// mean returns the mean normal round a corner; false at a tip, as a cone's is, that no
// normal stands for.
func (n *normals) mean(fan []int) (up r3.Vec, ok bool) {
	for _, g := range fan {
		up = r3.Add(up, r3.Scale(n.weight(g), n.faces[g/3]))
	}
	up = unit(up)
	for _, g := range fan {
		if !n.near(g/3, up) {
			return up, false
		}
	}
	return up, true
}

// weight is that of a triangle in the normal of its corner: angle and area. A flat
// wall, in long triangles, so keeps its normal to where a fillet begins.
func (n *normals) weight(h int) float64 {
	return n.t.cornerAngle(h) * n.t.Mesh.FaceArea(h/3)
}

// inside sets each corner to the mean of the triangles that are joined round it, at
// a tip to its own triangle's.
func (n *normals) inside() {
	done := make([]bool, len(n.at))
	var fan []int
	for h := range n.at {
		if done[h] {
			continue
		}
		fan, _ = n.fan(h, fan)
		up, ok := n.mean(fan)
		for _, g := range fan {
			if n.at[g], done[g] = up, true; !ok {
				n.at[g] = n.faces[g/3]
			}
		}
	}
}

// atRim carries the change of the normals from the vertices inside over the
// triangles at the rim on to the rim itself, where all triangles are on one side.
func (n *normals) atRim() {
	m := n.t.Mesh
	rim := make([]bool, len(m.Vertices))
	for h, g := range n.t.Twin {
		if h/3 < n.part && (g < 0 || int(g)/3 >= n.part) {
			rim[n.t.From(h)], rim[n.t.To(h)] = true, true
		}
	}
	at := append([]r3.Vec(nil), n.at...)
	var fan []int
	for h := range 3 * n.part {
		v := n.t.From(h)
		if !rim[v] {
			continue
		}
		fan, _ = n.fan(h, fan)
		if _, ok := n.mean(fan); !ok {
			continue
		}
		var near, far mean
		for _, g := range fan {
			near.add(n.weight(g), m.Centroid(g/3), n.faces[g/3])
			for _, c := range []int{Next(g), Prev(g)} {
				if u := n.t.From(c); !rim[u] {
					far.add(1, m.Vertices[u], n.at[c])
				}
			}
		}
		for _, g := range fan {
			if c := n.joined(Next(g)); far.weight == 0 && c >= 0 && !rim[n.t.From(Prev(c))] {
				far.add(1, m.Vertices[n.t.From(Prev(c))], n.at[Prev(c)])
			}
		}
		at[h] = near.onTo(m.Vertices[v], far)
	}
	n.at = at
}

// beyond gives the strip's corners the normals of the rim that they hang from.
func (n *normals) beyond() {
	m := n.t.Mesh
	rim, out := make([]mean, len(m.Vertices)), make([]mean, len(m.Vertices))
	for h := range 3 * n.part {
		rim[n.t.From(h)].add(1, r3.Vec{}, n.at[h])
	}
	for pass := range 2 {
		for h := 3 * n.part; h < len(n.at); h++ {
			v := n.t.From(h)
			for _, c := range []int{Next(h), Prev(h)} {
				if u := n.t.From(c); pass == 0 && rim[v].weight == 0 && rim[u].weight > 0 {
					out[v].add(1, r3.Vec{}, unit(rim[u].normal))
				}
			}
			from := rim[v]
			if from.weight == 0 {
				from = out[v]
			}
			// at the end of an edge, the mean is of two sides and of neither
			if up := unit(from.normal); pass == 1 && n.near(h/3, up) {
				n.at[h] = up
			}
		}
	}
}

// mean adds up places and normals.
type mean struct {
	weight     float64
	at, normal r3.Vec
}

func (s *mean) add(w float64, at, normal r3.Vec) {
	s.weight, s.at, s.normal = s.weight+w, r3.Add(s.at, r3.Scale(w, at)), r3.Add(s.normal, r3.Scale(w, normal))
}

// farthestOn is how far, against the way from far to near, normals are carried on.
const farthestOn = 1.5

// onTo returns the normal at a place beyond near as it goes on from far.
func (s mean) onTo(at r3.Vec, far mean) r3.Vec {
	up := unit(s.normal)
	if far.weight == 0 || s.weight == 0 {
		return up
	}
	mid := r3.Scale(1/s.weight, s.at)
	way := r3.Norm(r3.Sub(mid, r3.Scale(1/far.weight, far.at)))
	if way == 0 {
		return up
	}
	share := math.Min(farthestOn, r3.Norm(r3.Sub(at, mid))/way)
	return unit(r3.Add(up, r3.Scale(share, r3.Sub(up, unit(far.normal)))))
}
