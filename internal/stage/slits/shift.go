package slits

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// How fast a moved route leaves its best line, sideways against along: between two
// places that it must run through, to which it comes back, and from the last of them
// out, where it does not.
const (
	ramp    = 0.5
	outRamp = 1.0
)

// shifted returns the way of the route moved to its left by r.by, in straight
// legs, and back to its pins at no steep angle. Only a tip that is no pin moves
// too.
//
//	pin ____________ pin ______ rim      best line
//	   \__________/    \_____
func (p *Part) shifted(r route) []int32 {
	t := p.shared.tracer()
	path, ok := t.Along(r.way)
	if !ok || r.by == 0 {
		return r.way
	}
	m := p.Top.Mesh
	line, arc := make([]r3.Vec, len(path)), make([]float64, len(path))
	var pins, turns []float64
	for i, s := range path {
		line[i] = s.At(m)
		if i > 0 {
			arc[i] = arc[i-1] + r3.Norm(r3.Sub(line[i], line[i-1]))
		}
		if s.B < 0 && r.pinned(s.A) {
			pins = append(pins, arc[i])
		} else if s.B < 0 && slices.Contains(r.way, s.A) {
			turns = append(turns, arc[i])
		}
	}
	room := func(at float64) float64 {
		o := math.Abs(r.by)
		for i, pin := range pins {
			slope := ramp
			if i == len(pins)-1 && at > pin {
				slope = outRamp
			}
			o = min(o, slope*math.Abs(at-pin))
		}
		return o
	}
	stations := append(slices.Clone(pins), turns...)
	stations = append(stations, breaks(pins, arc[len(arc)-1], math.Abs(r.by))...)
	slices.Sort(stations)
	var way []int32
	for _, at := range append(stations, arc[len(arc)-1]) {
		i, _ := slices.BinarySearch(arc, at)
		i = min(i, len(arc)-1)
		// a line along the rim itself would leave the surface: the end is moved one stop inside
		inside := min(i, max(0, len(line)-2))
		if i == 0 && r.rims {
			inside = min(1, len(line)-1)
		}
		v := p.aside(t.Normals, line, inside, sign(r.by)*room(at))
		onRim := path[i].B < 0 && p.rim[path[i].A] || path[i].B >= 0 && p.rim[path[i].A] && p.rim[path[i].B]
		switch {
		case path[i].B < 0 && r.pinned(path[i].A):
			v = path[i].A
		case (i == len(line)-1 || i == 0 && r.rims) && onRim:
			v = m.NearestVertex(m.Vertices[v], func(u int) bool { return p.rim[u] })
		case p.rim[v]:
			continue
		}
		if !slices.Contains(way, v) {
			way = append(way, v)
		}
	}
	if len(way) < 2 {
		return r.way // there is no room beside it
	}
	return way
}

// breaks returns where a moved route turns: at the end of each ramp, or halfway
// between two pins where there is no room for two ramps.
func breaks(pins []float64, end, by float64) (out []float64) {
	ramped := by / ramp
	for i, at := range pins {
		switch {
		case i+1 == len(pins):
			if at+by/outRamp < end {
				out = append(out, at+by/outRamp)
			}
		case pins[i+1]-at > 2*ramped:
			out = append(out, at+ramped, pins[i+1]-ramped)
		default:
			out = append(out, (at+pins[i+1])/2)
		}
	}
	return out
}

// aside returns the vertex beside point i of a line, to its left seen from the free
// side, as far over the surface as by tells: of the vertices round that place the
// nearest to it that lies no nearer to the line.
func (p *Part) aside(normals []r3.Vec, line []r3.Vec, i int, by float64) int32 {
	m := p.Top.Mesh
	hit, _ := p.Locator.Closest(line[i])
	var normal r3.Vec // of the vertices: at a sharp edge the mean of both sides
	for k, v := range m.Triangles[hit.Face] {
		normal = r3.Add(normal, r3.Scale(hit.Bary[k], normals[v]))
	}
	along := r3.Sub(line[min(i+1, len(line)-1)], line[max(i-1, 0)])
	left := r3.Scale(sign(by), r3.Cross(normal, along))
	at := hit.Point
	if l, err := p.Top.Trace(at, left, math.Abs(by)); err == nil && len(l.Pieces) > 0 {
		at = l.End(m).Point
	}
	place := m.At(at)
	best, out := math.Inf(1), m.Triangles[at.Face][heaviest(at.Bary)]
	for _, v := range m.Triangles[at.Face] {
		for _, e := range append([]int32{-1}, p.Top.VertexEdges(int(v))...) {
			u := v
			if e >= 0 {
				u = int32(p.Top.Other(int(e), int(v)))
			}
			x := m.Vertices[u]
			if d := r3.Norm(r3.Sub(x, place)); d < best-1e-12 && off(line, x) >= math.Abs(by)*(1-1e-9) {
				best, out = d, u
			}
		}
	}
	return out
}

// off is how far a place lies from a line.
func off(line []r3.Vec, x r3.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		d, q := r3.Sub(line[i], line[i-1]), r3.Sub(x, line[i-1])
		if n := r3.Norm2(d); n > 0 {
			q = r3.Sub(q, r3.Scale(min(1, max(0, r3.Dot(q, d)/n)), d))
		}
		best = min(best, r3.Norm(q))
	}
	return best
}

func heaviest(bary [3]float64) int {
	k := 0
	for j, b := range bary {
		if b > bary[k] {
			k = j
		}
	}
	return k
}
