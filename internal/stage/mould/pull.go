package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/skin"
)

// hollowSolids finds the tightest hollow of the true surface: its curvature at
// each vertex from how the field's normal turns beside it.
//
//	κ = least eigenvalue of tᵢ·∂n/∂tⱼ in the tangent plane;  radius = −1/κ
//
// A sharp hollow edge has the radius 0.
func (r *Result) hollowSolids(t *mesh.Topology, m skin.Made, b *shape, o skin.Options) {
	sign := 1.0
	if b.cavity {
		sign = -1
	}
	step := min(1e-4, o.Finest/8)
	edged := make([]bool, len(m.Mesh.Vertices))
	sharp := -1
	for _, c := range m.Creases {
		edged[c[0]], edged[c[1]] = true, true
		e := t.EdgeBetween(int(c[0]), int(c[1]))
		if sharp < 0 && sign*t.Turning(e) < -sharpTurn {
			sharp = e
		}
	}
	r.Bend = make([]float64, len(m.Mesh.Vertices))
	worst := -1
	for v, p := range m.Mesh.Vertices {
		if edged[v] {
			continue
		}
		low, high := b.bendAt(p, m.Normals[v], step, min(1e-3, o.Finest))
		if r.Bend[v] = low; sign < 0 {
			r.Bend[v] = -high
		}
		if r.Bend[v] < -flatBend && (worst < 0 || r.Bend[v] < r.Bend[worst]) {
			worst = v
		}
	}
	switch {
	case sharp >= 0:
		ends := t.Edges[sharp]
		r.hollow(0, r3.Scale(0.5, r3.Add(m.Mesh.Vertices[ends[0]], m.Mesh.Vertices[ends[1]])))
	case worst >= 0:
		r.hollow(-1/r.Bend[worst], m.Mesh.Vertices[worst])
	}
}

// bendAt takes the weaker bend of a fine and a coarse step: over a slight kink,
// as a sweep has between leg and bend, the fine one alone reads a tight radius.
func (b *shape) bendAt(p, n r3.Vec, fine, coarse float64) (low, high float64) {
	low, high = bend(b.joined.At, p, n, fine)
	if low > -flatBend && high < flatBend {
		return low, high
	}
	l, h := bend(b.joined.At, p, n, coarse)
	return max(low, min(l, 0)), min(high, max(h, 0))
}

const (
	sharpTurn = 20 * math.Pi / 180 // rad, across an edge that counts as sharp
	flatBend  = 0.5                // 1/m: a hollow wider than 2 m counts as flat
)

func (r *Result) hollow(radius float64, at r3.Vec) {
	l := si.Length(radius)
	r.MinHollow, r.MinHollowAt = &l, []float64{at.X, at.Y, at.Z}
}

// bend returns both principal curvatures by central differences of the normal.
func bend(at func(r3.Vec) (float64, r3.Vec), p, n r3.Vec, h float64) (low, high float64) {
	a := r3.Unit(r3.Cross(n, r3.Vec{X: n.Y - 0.3, Y: n.Z + 0.7, Z: n.X + 0.2}))
	t := [2]r3.Vec{a, r3.Cross(n, a)}
	var s [2][2]float64
	for j := range t {
		_, ahead := at(r3.Add(p, r3.Scale(h, t[j])))
		_, behind := at(r3.Sub(p, r3.Scale(h, t[j])))
		dn := r3.Scale(1/(2*h), r3.Sub(ahead, behind))
		for i := range t {
			s[i][j] = r3.Dot(t[i], dn)
		}
	}
	mean := (s[0][0] + s[1][1]) / 2
	twist := (s[0][1] + s[1][0]) / 2
	root := math.Hypot((s[0][0]-s[1][1])/2, twist)
	if low, high = mean-root, mean+root; low > -flatBend && high < flatBend {
		return low, high
	}
	sin, cos := math.Sincos(math.Atan2(2*twist, s[0][0]-s[1][1]) / 2)
	return bendAlong(at, p, n, r3.Scale(h, r3.Add(r3.Scale(-sin, t[0]), r3.Scale(cos, t[1])))),
		bendAlong(at, p, n, r3.Scale(h, r3.Add(r3.Scale(cos, t[0]), r3.Scale(sin, t[1]))))
}

// bendAlong returns the weaker bend of a step ahead and one back, 0 where they
// differ in sign. Where a flat runs into a rounded edge, the two directions of
// [bend] see unequal shares of the turn and make up a hollow that is not there;
// along one direction the turn keeps its sign. And a kink is no hollow.
func bendAlong(at func(r3.Vec) (float64, r3.Vec), p, n, step r3.Vec) float64 {
	_, ahead := at(r3.Add(p, step))
	_, behind := at(r3.Sub(p, step))
	a, b := r3.Dot(step, r3.Sub(ahead, n)), r3.Dot(step, r3.Sub(n, behind))
	if a*b <= 0 {
		return 0
	}
	return math.Copysign(min(math.Abs(a), math.Abs(b)), a) / r3.Norm2(step)
}
