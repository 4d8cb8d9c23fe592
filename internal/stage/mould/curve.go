package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/radius"
	"laywright/internal/stage/mould/skin"
)

const (
	sharpTurn  = 20 * math.Pi / 180 // rad, across a crease of solids that counts as sharp
	sharpFacet = 45 * math.Pi / 180 // rad, across an edge of a mesh file: a fillet in few facets turns by less
	flatBend   = 0.5                // 1/m: a bend wider than 2 m counts as flat
	// usualLimit is the hollow looked for where no cloth says its own, m: most cloths
	// go into it. Common practice, no source.
	usualLimit = 5e-3
)

// curveSolids takes the curvature at the vertices from the true surface: from how
// the field's normal turns beside each.
//
//	κ = eigenvalues of tᵢ·∂n/∂tⱼ in the tangent plane
//
// Creases are the shape's own edges, radius 0.
func (r *Result) curveSolids(m skin.Made, b *shape, o skin.Options) error {
	t, err := mesh.NewTopology(r.Surface)
	if err != nil {
		return err
	}
	n := len(r.Surface.Vertices)
	s := radius.Surface{Top: t, Normals: r.Normals, Low: make([]float64, n), High: make([]float64, n),
		LowDir: make([]r3.Vec, n), HighDir: make([]r3.Vec, n), Skip: make([]bool, n)}
	for _, c := range m.Creases {
		s.Skip[c[0]], s.Skip[c[1]] = true, true
		if e := t.EdgeBetween(int(c[0]), int(c[1])); e >= 0 && math.Abs(t.Turning(e)) > sharpTurn {
			s.Sharp = append(s.Sharp, int32(e))
		}
	}
	step := min(1e-4, o.Finest/8)
	for v, p := range m.Mesh.Vertices {
		if s.Skip[v] {
			continue
		}
		w := b.bendAt(p, m.Normals[v], step, min(1e-3, o.Finest))
		if b.cavity {
			w = bent{-w.high, -w.low, w.highDir, w.lowDir}
		}
		s.Low[v], s.High[v], s.LowDir[v], s.HighDir[v] = w.low, w.high, w.lowDir, w.highDir
	}
	r.Curved = s
	return nil
}

// curveMesh fits the curvature of an imported mesh, as wide as its noise asks for,
// and says where noise hides what cloth asks for.
func (r *Result) curveMesh(t *mesh.Topology, in Input) {
	limit := 0.0
	for _, f := range in.Fabrics {
		limit = max(limit, float64(f.MinRadius))
	}
	if limit == 0 {
		limit = usualLimit
	}
	s, fit := radius.Fitted(t, limit, sharpFacet)
	s.Normals, r.Curved = r.Normals, s
	if told := 1 / (3 * float64(fit.Doubt)); fit.Doubt > 0 && told < limit {
		r.findAgainst(fault.Finding{Severity: fault.Note, Code: "mesh-noise",
			What: fmt.Sprintf("The mesh is too rough (%.2f mm) to tell hollows wider than %.1f mm from its noise.", 1e3*float64(fit.Noise), 1e3*told),
			Why:  "a fit over the vertices near by reads their noise as bends", Do: "Smooth the scan, or lay a radius gauge into the hollows of the mould itself."}, 1e3*told, 1e3*limit, "mm")
	}
}

// bent is how a surface bends at a place: both principal curvatures, 1/m, and unit
// vectors along which.
type bent struct {
	low, high       float64
	lowDir, highDir r3.Vec
}

func (w bent) flat() bool { return w.low > -flatBend && w.high < flatBend }

// bendAt takes the weaker bend of a fine and a coarse step: over a slight kink,
// as a sweep has between leg and bend, the fine one alone reads a tight radius.
func (b *shape) bendAt(p, n r3.Vec, fine, coarse float64) bent {
	w := bend(b.joined.At, p, n, fine)
	if w.flat() {
		return w
	}
	c := bend(b.joined.At, p, n, coarse)
	w.low, w.high = max(w.low, min(c.low, 0)), min(w.high, max(c.high, 0))
	return w
}

// bend returns both principal curvatures by central differences of the normal.
func bend(at func(r3.Vec) (float64, r3.Vec), p, n r3.Vec, h float64) bent {
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
	sin, cos := math.Sincos(math.Atan2(2*twist, s[0][0]-s[1][1]) / 2)
	w := bent{low: mean - root, high: mean + root,
		lowDir:  r3.Add(r3.Scale(-sin, t[0]), r3.Scale(cos, t[1])),
		highDir: r3.Add(r3.Scale(cos, t[0]), r3.Scale(sin, t[1]))}
	if !w.flat() {
		w.low = bendAlong(at, p, n, r3.Scale(h, w.lowDir))
		w.high = bendAlong(at, p, n, r3.Scale(h, w.highDir))
	}
	return w
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
