package relay

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Region is the part of the surface that a patch over a short stretch of seam
// covers, to lay cloth on and cut it.
type Region struct {
	Top   *mesh.Topology
	Seed  mesh.Point // at the middle of the stretch
	Along r3.Vec     // unit vector of the seam there
	Stretch
}

const (
	// spare is what a patch is wider than the lap on each side, m: what clipping
	// and drawing take.
	spare = 0.0015
	// finest is the longest side of a patch's triangles, as a share of the lap.
	finest = 1.0 / 3
	// mostFine is how many triangles a patch is clipped from at the most.
	mostFine = 30_000
	// Levels within these shares of the shortest side at a vertex, outside and
	// inside the border, are taken as the border, so that no slivers come of it.
	outer, inner = 0.2, 0.1
)

// Patches returns a region for each stretch: what of the surface is nearer to it
// than the lap, and as much more as the cloth gapes. Stretches for which there is no such
// region, as where the surface closes in too far, are left out. find is the surface's.
func Patches(top *mesh.Topology, find *mesh.Locator, short []Stretch, lap float64) ([]Region, error) {
	if !(lap > 0) || len(short) == 0 {
		return nil, nil
	}
	edge := top.Mesh.MeanEdge()
	var out []Region
	for _, s := range short {
		wide := lap + spare + min(lap, max(0, -s.Left, -s.Right))
		d := distances(top, find, s.Line, wide+2*max(edge, lap))
		faces := top.Mesh.FacesWhere(func(f int) bool {
			t := top.Mesh.Triangles[f]
			return min(d[t[0]], d[t[1]], d[t[2]]) < wide+edge
		})
		if len(faces) == 0 {
			continue
		}
		r, ok, err := region(top.Mesh.Extract(faces).Mesh, s, wide, finest*lap)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, r)
		}
	}
	return out, nil
}

// region clips a piece of surface to what is nearer to a stretch than a width.
func region(m *mesh.Mesh, s Stretch, wide, side float64) (out Region, ok bool, err error) {
	fine, err := m.Refine(mesh.RefineLimits{Edge: side, Triangles: mostFine})
	if err != nil {
		return out, false, nil // triangles of the surface that dwarf the lap
	}
	top, err := mesh.NewTopology(fine.Mesh)
	if err != nil {
		return out, false, err
	}
	d := distances(top, mesh.NewLocator(fine.Mesh), s.Line, wide+4*side)
	kept, err := top.Clip(levels(top, d, wide), mesh.ClipOptions{})
	if err != nil || len(kept.Mesh.Triangles) == 0 {
		return out, false, err
	}
	at, along, _ := halfway(s.Line)
	whole, err := mesh.NewTopology(kept.Mesh)
	if err != nil {
		return out, false, err
	}
	hit, _ := mesh.NewLocator(kept.Mesh).Closest(at)
	out = Region{Along: along, Stretch: s}
	part := kept.Mesh.Extract(whole.Region(hit.Face, nil))
	if out.Top, err = mesh.NewTopology(part.Mesh); err != nil {
		return out, false, err
	}
	hit, _ = mesh.NewLocator(part.Mesh).Closest(at)
	out.Seed = hit.Point
	return out, len(out.Top.RimEdges()) > 0, nil
}

// levels returns what each vertex lies inside the width, with what is next to
// nothing taken as nothing.
func levels(top *mesh.Topology, d []float64, wide float64) []float64 {
	short := make([]float64, len(d))
	for v := range short {
		short[v] = math.Inf(1)
	}
	for e, ends := range top.Edges {
		long := top.EdgeLength(e)
		short[ends[0]], short[ends[1]] = min(short[ends[0]], long), min(short[ends[1]], long)
	}
	out := make([]float64, len(d))
	for v := range d {
		x := max(-wide, wide-d[v])
		if x < 0 && x > -outer*short[v] || x > 0 && x < inner*short[v] {
			x = 0
		}
		out[v] = x
	}
	return out
}

// Halves parts a stretch half-way; none where it is a point.
func (s Stretch) Halves() []Stretch {
	at, _, side := halfway(s.Line)
	if side == 0 {
		return nil
	}
	a, b := s, s
	a.To = (s.From + s.To) / 2
	b.From = a.To
	a.Line = append(slices.Clone(s.Line[:side]), at)
	b.Line = append([]r3.Vec{at}, s.Line[side:]...)
	return []Stretch{a, b}
}

// halfway returns the place half-way along a line, its direction there, and the
// number of the line's side that it lies on, from 1; 0 where the line is a point.
func halfway(line []r3.Vec) (at, along r3.Vec, side int) {
	long := 0.0
	for i := 1; i < len(line); i++ {
		long += r3.Norm(r3.Sub(line[i], line[i-1]))
	}
	rest := long / 2
	for i := 1; i < len(line); i++ {
		d := r3.Sub(line[i], line[i-1])
		n := r3.Norm(d)
		if n > 0 && rest <= n*(1+1e-9) {
			return between(line[i-1], line[i], min(1, rest/n)), r3.Scale(1/n, d), i
		}
		rest -= n
	}
	return line[0], r3.Vec{X: 1}, 0
}
