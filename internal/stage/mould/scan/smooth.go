package scan

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/facet"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Smoothed tells what smoothing did.
type Smoothed struct {
	Most, RMS   float64 // how far vertices moved, m
	At          r3.Vec  // where most
	AtLimit     float64 // share of the vertices that would have moved farther
	Before, Now float64 // root mean square turn from triangle to triangle where it is no edge, rad
}

// DefaultEdge is the bend from which a side is an edge of the shape and not noise,
// rad. Common practice, no source: a scan whose facets lean by more than half of
// this is better thinned first.
const DefaultEdge = 35 * math.Pi / 180

// smoothReach is the length ℓ of the filter in mean sides.
const smoothReach = 2.0

// smooth takes noise out: it makes least what is moved and by how much the bend
// differs from the given one with its noise averaged out, c:
//
//	Σ A·|x − x₀|² + ℓ⁴·Σ A·|D x − c|²      (D x)ᵢ = ½/A Σ (cot α + cot β)·(xⱼ − xᵢ)
//
// A wave of length λ keeps, with u = (2πℓ/λ)² and w its share after averaging, about exp(−0.69·u),
//
//	h = (1 + w·u²)/(1 + u²)
//
// A sphere or a tube keeps its radius, also at a rim, as its bend is the same
// after averaging; white noise of vertices falls to about a seventh. On rims and
// edges D is the second difference along them alone, and at their corners there is
// none: they stay sharp. No vertex leaves the ball of the bound round its first
// place; as the triangles stay the same, no place of either surface is then
// farther from the other than the bound.
//
// Source: [pinkall1993] for the cotangents; the shares of waves and of noise
// follow by integration.
func (w *work) smooth() error {
	if w.o.Smooth == 0 {
		return nil
	}
	if most := w.m.Diagonal() / 20; !(w.o.Smooth > 0 && w.o.Smooth <= most) {
		return &fault.Range{Field: "mould.import.smooth", Value: 1e3 * w.o.Smooth, Min: 0, Max: 1e3 * most, Unit: " mm", Why: "a twentieth of the size changes the shape"}
	}
	t, err := w.topology()
	if err != nil {
		return err
	}
	edge := w.o.Edge
	if edge == 0 {
		edge = DefaultEdge
	}
	if t, err = w.tidy(t); err != nil {
		return err
	}
	m, s := Smooth(t, w.o.Smooth, edge)
	w.m, w.out.Smooth = m, &s
	w.did(Repair{What: fmt.Sprintf("vertices moved to take out noise (facets leaned by %.2f deg, now by %.2f deg)", deg(s.Before), deg(s.Now)), Count: len(m.Vertices), At: s.At, Moved: s.Most})
	return nil
}

// tidyShare is the length, as a share of the mean side, below
// which sides and heights of triangles say nothing of the shape.
const tidyShare = 0.05

// tidy takes slivers out, which would hold the smoothing up. It comes before
// anything is filled, so that no triangle is tagged yet.
func (w *work) tidy(t *mesh.Topology) (*mesh.Topology, error) {
	least := tidyShare * w.m.MeanEdge()
	tidied := facet.Tidy(t, least)
	if tidied.Count == 0 {
		return t, nil
	}
	w.did(Repair{What: "slivers taken out", Count: tidied.Count, Moved: least, At: tidied.First})
	w.m, w.filled = tidied.Mesh, make([]bool, len(tidied.Mesh.Triangles))
	return w.topology()
}

func deg(x float64) float64 { return x * 180 / math.Pi }

// Smooth is the smoothing of [Take] alone: no vertex moves by more than bound, m.
func Smooth(t *mesh.Topology, bound, edge float64) (*mesh.Mesh, Smoothed) {
	s := Smoothed{Before: lean(t.Mesh.FaceNormals(), t, edge)}
	ℓ := smoothReach * t.Mesh.MeanEdge()
	f := newFilter(t, edgesOf(t, edge), ℓ*ℓ*ℓ*ℓ)
	out := t.Mesh.Clone()
	f.smooth(out.Vertices)
	var sum float64
	for v, p := range out.Vertices {
		off := r3.Sub(p, t.Mesh.Vertices[v])
		d := r3.Norm(off)
		if d > bound {
			out.Vertices[v] = r3.Add(t.Mesh.Vertices[v], r3.Scale(bound/d, off))
			s.AtLimit, d = s.AtLimit+1, bound
		}
		sum += d * d
		if d > s.Most {
			s.Most, s.At = d, p
		}
	}
	count := float64(max(1, len(out.Vertices)))
	s.RMS, s.AtLimit = math.Sqrt(sum/count), s.AtLimit/count
	s.Now = lean(out.FaceNormals(), t, edge)
	return out, s
}

// lean returns the root mean square turn over sides that are no edges, rad.
func lean(normals []r3.Vec, t *mesh.Topology, edge float64) float64 {
	var sum float64
	count := 0
	for h, twin := range t.Twin {
		if int(twin) <= h {
			continue
		}
		if c := r3.Dot(normals[h/3], normals[twin/3]); c > math.Cos(edge) {
			turn := math.Acos(min(1, c))
			sum, count = sum+turn*turn, count+1
		}
	}
	return math.Sqrt(sum / float64(max(1, count)))
}
