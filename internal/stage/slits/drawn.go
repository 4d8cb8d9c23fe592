package slits

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// Line is a cut that the person draws: its ends, over or on the surface.
type Line struct {
	From, To r3.Vec
	Part     bool // from rim to rim: it parts the ply, or opens a tube
}

// Drawn lays a ply with the slits that the person drew.
func (p *Part) Drawn(ctx context.Context, lines []Line, k Ask) (*Bed, error) {
	var routes []route
	lost := 0
	for _, line := range lines {
		r, ok := p.drawnRoute(line)
		if !ok {
			lost++
			continue
		}
		routes = append(routes, r)
	}
	g := p.openAll(routes)
	lost += len(routes) - len(g.Slits)
	b, err := p.Lay(ctx, g, k)
	if err != nil {
		return nil, fmt.Errorf("with the drawn slits: %w", err)
	}
	b.routes, b.Unreachable = routes, lost
	return b, nil
}

// drawnRoute lays a drawn line onto the surface. The end nearer to the rim is
// where it leaves.
func (p *Part) drawnRoute(line Line) (route, bool) {
	m := p.Top.Mesh
	isRim := func(v int) bool { return p.favour[v] > 0 }
	ends := [2]r3.Vec{line.From, line.To}
	var rim [2]int32
	var off [2]float64
	for i, at := range ends {
		hit, _ := p.Locator.Closest(at)
		ends[i] = hit.At
		rim[i] = m.NearestVertex(hit.At, isRim)
		off[i] = r3.Norm(r3.Sub(m.Vertices[rim[i]], hit.At))
	}
	tip, out := ends[0], rim[1]
	if off[0] < off[1] {
		tip, out = ends[1], rim[0]
	}
	from := m.NearestVertex(tip, func(v int) bool { return p.favour[v] == 0 && len(p.Top.VertexFaces(v)) > 0 })
	if from < 0 || out < 0 {
		return route{}, false
	}
	r := route{way: cut.RoadsFrom(p.Top, from).To(out)}
	if _, atRim, ok := cut.NewTracer(p.Top).Leg(from, out); ok && atRim {
		r.way = []int32{from, out}
	}
	return r, len(r.way) > 1
}
