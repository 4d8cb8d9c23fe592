package mould

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/scan"
)

// fromMesh makes the part's surface of an imported mesh. Vertices stay where
// they were unless mould.import says otherwise; cuts add some.
func (r *Result) fromMesh(in Input) error {
	if err := refuseWithFile(in); err != nil {
		return err
	}
	r.doubtSize(in.Mould, in.Imported)
	options, err := in.Mould.importOptions()
	if err != nil {
		return err
	}
	taken, err := scan.Take(in.Imported, options)
	if err != nil {
		return err
	}
	r.imported(in.Mould, taken)
	r.turnToPull(in.Mould, &taken)
	m := taken.Mesh
	closed := taken.Closed
	r.Closed = &closed
	if closed {
		v := si.Volume(m.Volume())
		r.Volume = &v
	}
	r.Face, r.FaceArea = m, si.Area(m.Area())
	if err := r.cutMesh(in.Part, taken); err != nil {
		return err
	}
	surface := r.Surface
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
	if err := r.thicken(in.Mould, pullOfMesh(in.Mould, r.Surface)); err != nil {
		return err
	}
	r.curveMesh(t, in)
	if err := r.releaseMesh(in); err != nil {
		return err
	}
	return r.buildMesh(in, m)
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
func (r *Result) cutMesh(p PartSpec, taken scan.Taken) error {
	m, filled := taken.Mesh, taken.Filled
	l := mesh.NewLocator(m)
	ks, err := knives(p, func(at r3.Vec) (r3.Vec, r3.Vec) {
		hit, ok := l.Closest(at)
		if !ok {
			return at, r3.Vec{Z: 1}
		}
		return hit.At, m.FaceNormal(hit.Face)
	})
	if err != nil {
		return err
	}
	cutter := make([]int, len(m.Vertices)) // of each vertex on a cut, 1 + its number
	for i, k := range ks {
		left, err := k.scanned().Off(m)
		if err != nil {
			return err
		}
		if err := k.missed(m.Area() - left.Mesh.Area()); err != nil {
			return err
		}
		if len(left.Mesh.Triangles) == 0 {
			return &fault.Input{Field: k.field, What: "nothing of the surface is left", Do: "check its place and direction"}
		}
		next := make([]int, len(left.Mesh.Vertices))
		for v, old := range left.Old {
			if old >= 0 {
				next[v] = cutter[old]
			}
			if left.OnCut[v] {
				next[v] = i + 1
			}
		}
		still := make([]bool, len(left.Face))
		for f, old := range left.Face {
			still[f] = filled[old]
		}
		m, cutter, filled = left.Mesh, next, still
	}
	r.Surface, r.Filled = m, filled
	r.Rims, err = rimsOf(m, cutter, ks)
	return err
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

func placeText(p r3.Vec) string {
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", 1e3*p.X, 1e3*p.Y, 1e3*p.Z)
}
