package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// fromMesh makes the part's surface of an imported mesh. Vertices stay where
// they were; cuts add some.
func (r *Result) fromMesh(in Input) error {
	if err := refuseWithFile(in); err != nil {
		return err
	}
	m, report, err := mesh.Clean(in.Imported, mesh.CleanOptions{})
	if err != nil {
		return fmt.Errorf("mould.file %s: %w", in.Mould.File, err)
	}
	r.mended(in.Mould.File, report)
	r.doubtSize(in.Mould, m)
	if len(report.NonManifold) > 0 || len(report.Twisted) > 0 {
		at := append(report.NonManifold, report.Twisted...)[0].At
		return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s has %d edges of three or more triangles and %d where the sides can't agree (one at %s), so it is no surface to lay cloth on", in.Mould.File, len(report.NonManifold), len(report.Twisted), placeText(at)), Do: "mend them where it was drawn"}
	}
	if report.Components > 1 {
		return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s holds %d separate pieces", in.Mould.File, report.Components), Do: "leave the one that the part is laid on"}
	}
	closed := report.Closed
	r.Closed = &closed
	if closed {
		v := si.Volume(m.Volume())
		r.Volume = &v
	}
	r.Face, r.FaceArea = m, si.Area(m.Area())
	surface, rims, err := cutMesh(in.Part, m)
	if err != nil {
		return err
	}
	r.Surface, r.Rims = surface, rims
	r.Area = si.Area(surface.Area())
	r.Triangles = len(surface.Triangles)
	r.Edge, r.MinAngle = si.Length(surface.MeanEdge()), si.Angle(leastAngle(surface))
	if in.Mould.Kind == Cavity {
		r.Normals = make([]r3.Vec, 0)
		r.turnOver()
	}
	t, err := mesh.NewTopology(r.Surface)
	if err != nil {
		return err
	}
	r.Normals = r.Surface.VertexNormals()
	r.curveMesh(t, in)
	return r.releaseMesh(in)
}

// refuseWithFile refuses what belongs to solids only.
func refuseWithFile(in Input) error {
	for _, one := range []struct {
		field string
		given bool
	}{{"mould.fillet", in.Mould.Fillet != 0}, {"mould.flange", in.Mould.Flange != 0}, {"mould.triangle", in.Mould.Triangle != 0},
		{"part.trim", in.Part.Trim != nil && in.Part.Trim.Word == "flange"}} {
		if one.given {
			return &fault.Input{Field: one.field, What: "an imported mesh is taken as it is", Do: "take the line out, or draw it into the mesh"}
		}
	}
	return nil
}

// pullOfMesh is the given way, or else the one that most of an open surface
// looks: its summed normals. A closed one has none, so that up is taken.
func pullOfMesh(s *Spec, m *mesh.Mesh) r3.Vec {
	if s.Pull != nil {
		return pullOf(s)
	}
	var sum r3.Vec
	for f := range m.Triangles {
		sum = r3.Add(sum, m.AreaVector(f))
	}
	if r3.Norm(sum) < 1e-3*m.Area() {
		return pullOf(s)
	}
	return r3.Unit(sum)
}

// cutMesh trims an imported mesh and cuts its holes.
func cutMesh(p PartSpec, m *mesh.Mesh) (*mesh.Mesh, []Rim, error) {
	l := mesh.NewLocator(m)
	ks, err := knives(p, func(at r3.Vec) (r3.Vec, r3.Vec) {
		hit, ok := l.Closest(at)
		if !ok {
			return at, r3.Vec{Z: 1}
		}
		return hit.At, m.FaceNormal(hit.Face)
	})
	if err != nil {
		return nil, nil, err
	}
	cutter := make([]int, len(m.Vertices)) // of each vertex on a cut, 1 + its number
	for i, k := range ks {
		t, err := mesh.NewTopology(m)
		if err != nil {
			return nil, nil, err
		}
		d := keptSide(t, k)
		c, err := t.Clip(d, mesh.ClipOptions{Snap: 0, Distance: func(q r3.Vec) float64 { g, _ := k.cut.Field.At(q); return -g }})
		if err != nil {
			return nil, nil, err
		}
		if err := k.missed(m.Area() - c.Mesh.Area()); err != nil {
			return nil, nil, err
		}
		if len(c.Mesh.Triangles) == 0 {
			return nil, nil, &fault.Input{Field: k.field, What: "nothing of the surface is left", Do: "check its place and direction"}
		}
		next := make([]int, len(c.Mesh.Vertices))
		for v, o := range c.Origin {
			if next[v] = cutter[o.A]; c.OnCut[v] {
				next[v] = i + 1
			}
		}
		m, cutter = c.Mesh, next
	}
	rims, err := rimsOf(m, cutter, ks)
	return m, rims, err
}

// keptSide returns the cutter's distance at the vertices, positive where the
// surface stays. Of a hole only the piece nearest to its place comes off.
func keptSide(t *mesh.Topology, k knife) []float64 {
	d := make([]float64, len(t.Mesh.Vertices))
	for v, p := range t.Mesh.Vertices {
		g, _ := k.cut.Field.At(p)
		d[v] = -g
	}
	if k.cut.Near == nil {
		return d
	}
	piece := make([]int, len(d))
	chosen, count, apart := 0, 0, math.Inf(1)
	for first := range d {
		if d[first] >= 0 || piece[first] != 0 {
			continue
		}
		count++
		piece[first] = count
		for stack := []int{first}; len(stack) > 0; {
			v := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if a := r3.Norm(r3.Sub(t.Mesh.Vertices[v], *k.cut.Near)); a < apart {
				apart, chosen = a, count
			}
			for _, e := range t.VertexEdges(v) {
				if w := t.Other(int(e), v); d[w] < 0 && piece[w] == 0 {
					piece[w] = count
					stack = append(stack, w)
				}
			}
		}
	}
	for v := range d {
		if d[v] < 0 && piece[v] != chosen {
			d[v] = -d[v]
		}
	}
	return d
}

// rimsOf tells rims of holes from outer ones by the cutter that made most of
// their vertices. Of the others the longest is the first outer rim.
func rimsOf(m *mesh.Mesh, cutter []int, ks []knife) ([]Rim, error) {
	t, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	if _, n := t.Components(); n != 1 {
		return nil, &fault.Input{Field: "part.cutouts", What: fmt.Sprintf("trim line and cut-outs leave %d pieces", n), Do: "let them leave one"}
	}
	var outer, holes []Rim
	longest, at := 0.0, 0
	for _, loop := range t.RimLoops() {
		vs := t.LoopVertices(loop)
		votes, length := map[int]int{}, 0.0
		best := 0
		for i, v := range vs {
			length += r3.Norm(r3.Sub(m.Vertices[vs[(i+1)%len(vs)]], m.Vertices[v]))
			if c := cutter[v]; c > 0 {
				if votes[c]++; best == 0 || votes[c] > votes[best] {
					best = c
				}
			}
		}
		if best > 0 && 2*votes[best] > len(vs) && ks[best-1].rim.Kind == CutRim {
			rim := ks[best-1].rim
			rim.Vertices = vs
			holes = append(holes, rim)
			continue
		}
		if length > longest {
			longest, at = length, len(outer)
		}
		outer = append(outer, Rim{Kind: Outer, Vertices: vs})
	}
	if len(outer) > 0 {
		outer[0], outer[at] = outer[at], outer[0]
	}
	for i := range outer {
		outer[i].Index = i
	}
	return append(outer, holes...), nil
}

// mended tells what was mended and what remains.
func (r *Result) mended(file string, c mesh.Report) {
	if n := c.Degenerate + c.Duplicate + c.Flipped + c.Inverted; n > 0 {
		r.find(fault.Note, "mesh-mended", fmt.Sprintf("%s was mended: %d triangles without area and %d doubled ones dropped, %d turned to agree with their neighbours, %d closed parts turned inside out.", file, c.Degenerate, c.Duplicate, c.Flipped, c.Inverted),
			"drawing programs leave such flaws, and each is safe to mend", "Look at the picture of the mould.")
	}
	if len(c.BowTies) > 0 {
		r.find(fault.Caution, "mesh-touches", fmt.Sprintf("%s touches itself in a point at %s.", file, placeText(c.BowTies[0].At)), "cloth can't pass through a point", "Mend it where it was drawn.")
	}
	if !c.Closed {
		r.find(fault.Note, "mesh-open", fmt.Sprintf("%s is an open surface with %d rims, so it has no volume.", file, len(c.Rims)), "the rims are taken for edges of the part", "Fill what should not be open where it was drawn.")
	}
}

// The diagonal of an imported part within which its unit is not doubted, m.
// Common practice, no source: nobody lays up a part smaller than a thumb by
// hand, and few shops have an oven for more than a wing.
const (
	leastPart = 20e-3
	mostPart  = 10.0
)

// doubtSize asks about the unit of a mesh that is far from a part's size.
func (r *Result) doubtSize(s *Spec, m *mesh.Mesh) {
	box := m.Bounds()
	d := r3.Sub(box.Max, box.Min)
	size, limit := r3.Norm(d), leastPart
	if size >= leastPart && size <= mostPart {
		return
	}
	if size > mostPart {
		limit = mostPart
	}
	unit := s.Unit
	if unit == "" {
		unit = "the file's own unit"
	}
	r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "mesh-size",
		What: fmt.Sprintf("Is the unit right? In %s, %s is %.4g x %.4g x %.4g mm.", unit, s.File, 1e3*d.X, 1e3*d.Y, 1e3*d.Z),
		Why:  "a mesh file rarely says its unit, and parts this small or large are rarely laid up by hand", Do: "Look up the unit that the mesh was drawn in and write it as mould.unit."}, 1e3*size, 1e3*limit, "mm")
}

func placeText(p r3.Vec) string {
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", 1e3*p.X, 1e3*p.Y, 1e3*p.Z)
}
