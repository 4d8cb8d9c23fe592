package slits

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// route is where a slit is to run: vertices of the part from the tip to the rim,
// straight between them.
type route struct {
	way  []int32
	pins []int32 // vertices of the way that can't be moved: the curvature let out sits there
	by   float64 // how far it is to be moved to its left, m
}

func (r route) pinned(v int32) bool { return slices.Contains(r.pins, v) }

// holeFavour is how much nearer a cut-out counts than it is: a slit that ends in
// what is cut away later weakens nothing.
const holeFavour = 0.7

// detour is how much longer a slit may get by running through a hollow corner on
// its way, which would else lock the cloth beside it.
const detour = 1.4

// exit returns the rim vertex to which a slit leaves, and how far it is.
func exit(r cut.Roads, favour []float64) (int32, float64) {
	best, at := math.Inf(1), int32(-1)
	for v, f := range favour {
		if d := f * r.Far[v]; f > 0 && d < best-1e-9 {
			best, at = d, int32(v)
		}
	}
	return at, best
}

// findRims sets for each rim vertex how near it counts against how near it is,
// 0 for the others: with cut-outs, and without.
func (p *Part) findRims() {
	p.favour, p.outer = make([]float64, len(p.Vertices)), make([]float64, len(p.Vertices))
	for i, rim := range p.Top.Rims() { // the longest first
		for _, v := range rim.Loop {
			p.favour[v] = holeFavour
			if i == 0 {
				p.favour[v], p.outer[v] = 1, 1
			}
		}
	}
}

// routeFrom returns the way from a hot spot out to the rim. Where the surface
// opens on the way, at the foot of a corner, it leads through there, since cloth
// would lock beside the slit else.
func (p *Part) routeFrom(from hotspot, hollows []hotspot) (route, bool) {
	tip := from.at
	here := cut.RoadsFrom(p.Top, tip)
	end, _ := exit(here, p.favour)
	if end < 0 {
		return route{}, false
	}
	r := route{way: here.To(end)}
	if from.curvature != 0 {
		r.pins = []int32{tip}
	}
	_, best := exit(here, p.outer)
	best *= detour
	for _, h := range hollows {
		if d := here.Far[h.at]; h.at == tip || d > best {
			continue
		}
		there := cut.RoadsFrom(p.Top, h.at)
		out, rest := exit(there, p.outer)
		if d := here.Far[h.at] + rest; d < best {
			best = d
			r.way = append(here.To(h.at), there.To(out)[1:]...)
			r.pins = []int32{tip, h.at}
		}
	}
	r.way = p.pulled(r)
	return r, len(r.way) > 1
}

// pulled takes vertices out of a way as long as that makes it no longer.
func (p *Part) pulled(r route) []int32 {
	t := cut.NewTracer(p.Top)
	m := p.Top.Mesh
	long := func(from int32, path []cut.Stop) (sum float64) {
		at := m.Vertices[from]
		for _, s := range path {
			sum += r3.Norm(r3.Sub(s.At(m), at))
			at = s.At(m)
		}
		return sum
	}
	way := r.way
	// doubling strides: straight runs shrink to their ends in a few passes
	for stride := len(way); stride >= 2; stride /= 2 {
		for i := 0; i+2 < len(way); {
			j := min(i+stride, len(way)-1)
			if k := slices.IndexFunc(way[i+1:j], r.pinned); k >= 0 {
				j = i + 1 + k
			}
			if j-i < 2 {
				i++
				continue
			}
			was := 0.0
			for k := i; k < j; k++ {
				was += cut.Length(m, way[k], way[k+1])
			}
			path, _, ok := t.Leg(way[i], way[j])
			if ok && len(path) > 0 && path[len(path)-1] == (cut.Stop{A: way[j], B: -1}) && long(way[i], path) < was*(1+straightEnough) {
				way = append(slices.Clone(way[:i+1]), way[j:]...)
			}
			i++
		}
	}
	return way
}

// straightEnough is how much longer a straight cut may measure than the steps it
// replaces, which cut corners over sides.
const straightEnough = 2e-3
