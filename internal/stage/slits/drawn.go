package slits

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// drawn lays drawn lines onto the surface; lost counts those that can't be.
func (p *Part) drawn(lines []Line) (out []route, lost int) {
	for _, line := range lines {
		r, ok := p.drawnRoute(line)
		if !ok {
			lost++
			continue
		}
		out = append(out, r)
	}
	return out, lost
}

// drawnRoute lays a drawn line onto the surface. Of a slit the end nearer to the
// rim is where it leaves; a line that parts begins and ends at the rim vertices
// nearest to its ends.
func (p *Part) drawnRoute(line Line) (route, bool) {
	m := p.Top.Mesh
	isRim := func(v int) bool { return p.rim[v] }
	ends := [2]r3.Vec{line.From, line.To}
	var rim [2]int32
	var off [2]float64
	for i, at := range ends {
		hit, _ := p.Locator.Closest(at)
		ends[i] = hit.At
		rim[i] = m.NearestVertex(hit.At, isRim)
		off[i] = r3.Norm(r3.Sub(m.Vertices[rim[i]], hit.At))
	}
	from, out := rim[0], rim[1]
	if !line.Part {
		tip := ends[0]
		if off[0] < off[1] {
			tip, out = ends[1], rim[0]
		}
		from = m.NearestVertex(tip, func(v int) bool { return !p.rim[v] && len(p.Top.VertexFaces(v)) > 0 })
	}
	if from < 0 || out < 0 || from == out {
		return route{}, false
	}
	ends2 := cut.Terms{Ends: func(v int32) bool { return p.rim[v] }}
	r := route{way: cut.RoadsOn(p.Top, []int32{from}, ends2).To(out), rims: line.Part}
	if path, atRim, ok := p.shared.tracer().Leg(from, out); ok && atRim && len(path) > 0 {
		r.way = []int32{from, out}
	}
	return r, len(r.way) > 1
}
