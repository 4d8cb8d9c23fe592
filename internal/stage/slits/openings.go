package slits

import (
	"math"

	"laywright/internal/base/cut"
)

// openings returns the cuts from rim to rim that open tubes: from each hole whose
// filling would hold more curvature than cloth takes to another rim. What two
// holes hold together counts once they are joined. A tube is opened on the side far
// from the seed, or across from there.
func (w *planner) openings() []route {
	usual := w.openingsOff([]int32{w.p.Top.Mesh.Triangles[w.p.Seed.Face][0]}, awayFromSeed)
	if !w.k.Opposite || len(usual) == 0 {
		return usual
	}
	var lines []int32
	for _, r := range usual {
		path, _ := w.p.shared.tracer().Along(r.way)
		for _, s := range path {
			lines = append(lines, s.A)
		}
	}
	return w.openingsOff(lines, across)
}

// How much longer a step at the seed, or at the usual opening, counts than one far
// from it.
const (
	awayFromSeed = 1.5
	across       = 4
)

// openingsOff are the openings that keep off some places: there a step counts
// dearer times its length.
func (w *planner) openingsOff(places []int32, dearer float64) (out []route) {
	g := cut.Uncut(w.p.Top)
	far := cut.RoadsOn(w.p.Top, places, cut.Terms{}).Far
	most := 0.0
	for _, d := range far {
		if !math.IsInf(d, 1) {
			most = max(most, d)
		}
	}
	toll := func(u int32) float64 {
		if u < 0 || most == 0 {
			return 1
		}
		return 1 + (dearer-1)*(1-far[u]/most)
	}
	for range mostSlits {
		var at *hole
		holes := holesOf(g.Top)
		for i := range holes {
			if h := &holes[i]; math.Abs(h.curvature) >= w.k.Limit && (at == nil || math.Abs(h.curvature) > math.Abs(at.curvature)) {
				at = h
			}
		}
		if at == nil {
			return out
		}
		r, ok := w.opening(g, *at, toll)
		if !ok {
			return out
		}
		wider, ok := w.p.openOne(g, r.way, len(out), true)
		if !ok {
			return out
		}
		g, out = wider, append(out, r)
	}
	return out
}

// opening returns the shortest cut from a hole to another rim.
func (w *planner) opening(g *cut.Ground, h hole, toll func(u int32) float64) (route, bool) {
	rim := g.Top.RimVertices()
	own := make([]bool, len(rim))
	var from []int32
	for _, v := range h.loop {
		own[v] = true
		from = append(from, v)
	}
	t := cut.Terms{Ends: func(v int32) bool { return rim[v] }, Toll: func(v int32) float64 {
		return w.k.toll(g.Top.Mesh.Vertices[v]) * toll(g.From[v])
	}}
	r := cut.RoadsOn(g.Top, from, t)
	best, end := math.Inf(1), int32(-1)
	for v, is := range rim {
		if is && !own[v] && g.From[v] >= 0 && r.Far[v] < best {
			best, end = r.Far[v], int32(v)
		}
	}
	if end < 0 {
		return route{}, false
	}
	out := route{rims: true}
	for _, v := range r.To(end) {
		if g.From[v] >= 0 {
			out.way = append(out.way, g.From[v])
		}
	}
	out.way = w.p.pulled(out)
	return out, len(out.way) > 1
}
