package plies

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// drawn lays a ply with the slits that the person drew, on the part nearest to
// each.
func (w *work) drawn(ctx context.Context, p *part, k kind) (*bed, error) {
	var routes []route
	lost := 0
	for _, line := range w.in.Spec.Slits.Drawn {
		if w.nearestPart(line.From.V) != p {
			continue
		}
		r, ok := p.drawnRoute(line)
		if !ok {
			lost++
			continue
		}
		routes = append(routes, r)
	}
	g := p.openAll(routes)
	lost += len(routes) - len(g.slits)
	b, err := p.spreadOn(ctx, g, k.key)
	if err != nil {
		return nil, fmt.Errorf("with the drawn slits: %w", err)
	}
	b.routes, b.unreachable = routes, lost
	return b, nil
}

func (w *work) nearestPart(at r3.Vec) *part {
	best, out := math.Inf(1), &w.parts[0]
	for i := range w.parts {
		if hit, ok := w.parts[i].locator.Closest(at); ok && hit.Distance < best {
			best, out = hit.Distance, &w.parts[i]
		}
	}
	return out
}

// drawnRoute lays a drawn line onto the surface. The end nearer to the rim is
// where it leaves.
func (p *part) drawnRoute(line Drawn) (route, bool) {
	m := p.top.Mesh
	isRim := func(v int) bool { return p.favour[v] > 0 }
	ends := [2]r3.Vec{line.From.V, line.To.V}
	var rim [2]int32
	var off [2]float64
	for i, at := range ends {
		hit, _ := p.locator.Closest(at)
		ends[i] = hit.At
		rim[i] = nearestWhere(m, hit.At, isRim)
		off[i] = r3.Norm(r3.Sub(m.Vertices[rim[i]], hit.At))
	}
	tip, exit := ends[0], rim[1]
	if off[0] < off[1] {
		tip, exit = ends[1], rim[0]
	}
	from := nearestWhere(m, tip, func(v int) bool { return p.favour[v] == 0 && len(p.top.VertexFaces(v)) > 0 })
	if from < 0 || exit < 0 {
		return route{}, false
	}
	r := route{way: p.roadsFrom(from).to(exit)}
	if _, atRim, ok := newTracer(p.top).leg(from, exit); ok && atRim {
		r.way = []int32{from, exit}
	}
	return r, len(r.way) > 1
}
