package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// Bends smaller than leastBend, rad, are flat for the cloth; one of sharpBend or
// more at a single edge is a sharp corner, whatever the size of its triangles.
const (
	leastBend = 2 * math.Pi / 180
	sharpBend = 40 * math.Pi / 180
)

// thin is the height of a triangle over an edge, against the mean side, below
// which its plane is no more than rounding.
const thin = 0.02

// hollowPlace is the tightest hollow bend.
type hollowPlace struct {
	radius float64 // m; +Inf where nothing is hollow
	at     r3.Vec
}

// tightest returns the smallest hollow radius over the edges of the surface: the
// mean height of the two triangles over the edge, over the angle between them.
func (w *work) tightest() hollowPlace {
	m := w.in.Surface
	edge := m.MeanEdge()
	out := hollowPlace{radius: math.Inf(1)}
	for h, twin := range w.top.Twin {
		if int(twin) < h {
			continue
		}
		f, g := h/3, int(twin)/3
		a, b := m.Vertices[w.top.From(h)], m.Vertices[w.top.To(h)]
		e := r3.Sub(b, a)
		nf, ng := m.FaceNormal(f), m.FaceNormal(g)
		long := r3.Norm(e)
		if long == 0 {
			continue
		}
		// seen along the edge the normal turns to the left over a ridge, to the right in a hollow
		θ := math.Atan2(-r3.Dot(r3.Cross(nf, ng), e)/long, r3.Dot(nf, ng))
		low := 2 * min(m.FaceArea(f), m.FaceArea(g)) / long
		if θ < leastBend || low < thin*edge {
			continue
		}
		radius := (m.FaceArea(f) + m.FaceArea(g)) / long / θ
		if θ > sharpBend {
			radius = 0
		}
		if radius < out.radius {
			out = hollowPlace{radius, r3.Scale(0.5, r3.Add(a, b))}
		}
	}
	return out
}

// judgeHollow tells where the cloth would bridge a hollow, once a fabric.
func (w *work) judgeHollow(out *Result, p PlyIn, tight hollowPlace) {
	least := float64(p.Fabric.MinRadius.Or(0))
	if !(tight.radius < least) {
		return
	}
	out.add(fault.Caution, "cloth-bridges",
		fmt.Sprintf("The cloth %s would bridge the hollow at %s.", p.Name, mm(tight.at)),
		"the hollow is tighter than the cloth goes into by hand; under vacuum it stands off and fills with resin",
		"Fill the hollow to a larger radius (mould.fillet), or press the cloth in with a strip of the same.",
		1000*tight.radius, 1000*least, "mm")
}
