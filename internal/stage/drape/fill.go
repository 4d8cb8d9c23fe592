package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// mostFilled is the curvature, rad, beyond which an opening is not a hole that
// cloth lies over but an end of the surface, such as a pipe's.
const mostFilled = math.Pi / 4

// overHoles returns the surface with its holes closed by smooth patches, whose
// triangles and vertices come after its own: cloth is laid over a hole and cut out
// later, and goes on behind it as if there were ground below. What the shear
// behind a hole is does not depend on how the patch is shaped, for by Gauss and
// Bonnet all that fill the hole hold the same curvature, what the rim's turning θ
// leaves of a full turn:
//
//	∫K dA = 2π − Σθ
//
// The longest rim is the outer one. Openings that hold more than mostFilled, and
// those of a form that the patch can't take, such as slits, stay open.
func (s *surface) overHoles() (*surface, error) {
	loops := s.topology.RimLoops()
	if len(loops) < 2 {
		return s, nil
	}
	outer, most := 0, 0.0
	for i, loop := range loops {
		if long := s.rimLength(loop); long > most {
			outer, most = i, long
		}
	}
	defects, normals := s.topology.AngleDefects(), s.VertexNormals()
	m := s.Clone()
	for i, loop := range loops {
		if i == outer {
			continue
		}
		rim := s.topology.LoopVertices(loop)
		curvature := 2 * math.Pi
		for _, v := range rim {
			curvature += defects[v] // at a rim what the angles lack to half a turn
		}
		if math.Abs(curvature) <= mostFilled && !patch(m, rim, normals, s.edge) {
			lid(m, rim)
		}
	}
	if len(m.Triangles) == len(s.Triangles) {
		return s, nil
	}
	t, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	out := newSurface(t)
	out.edge = s.edge
	return out, nil
}

// rimLength returns the length of a rim, m.
func (s *surface) rimLength(loop []int32) (long float64) {
	for _, h := range loop {
		long += r3.Norm(r3.Sub(s.Vertices[s.topology.To(int(h))], s.Vertices[s.topology.From(int(h))]))
	}
	return long
}

// patch closes a hole with rings of triangles round a middle. From each vertex of
// the rim a parabola leaves along the surface and arrives there level:
//
//	X(s) = (1−s)²·r + 2s(1−s)·p + s²·c,  s from 0 at the rim
//
// where p is half the way from r to the rim's centroid, laid into the tangent
// plane at r, and the middle c is the mean of all p. A patch with a triangle that
// is turned over or has no area is not added.
func patch(m *mesh.Mesh, rim []int32, normals []r3.Vec, edge float64) bool {
	n := len(rim)
	var g, c, up r3.Vec
	for _, v := range rim {
		g = r3.Add(g, r3.Scale(1/float64(n), m.Vertices[v]))
	}
	p, radius := make([]r3.Vec, n), 0.0
	for i, v := range rim {
		e := r3.Sub(g, m.Vertices[v])
		radius += r3.Norm(e) / float64(n)
		p[i] = r3.Add(m.Vertices[v], r3.Scale(0.5, r3.Sub(e, r3.Scale(r3.Dot(e, normals[v]), normals[v]))))
		c = r3.Add(c, r3.Scale(1/float64(n), p[i]))
		up = r3.Add(up, normals[v])
	}
	rings := max(1, int(math.Round(radius/edge)))
	first := int32(len(m.Vertices))
	id := func(ring, i int) int32 {
		switch i %= n; ring {
		case 0:
			return rim[i]
		case rings:
			return first
		}
		return first + 1 + int32((ring-1)*n+i)
	}
	add := mesh.Mesh{Vertices: []r3.Vec{c}}
	for ring := 1; ring < rings; ring++ {
		s := float64(ring) / float64(rings)
		for i, v := range rim {
			x := r3.Add(r3.Scale((1-s)*(1-s), m.Vertices[v]), r3.Add(r3.Scale(2*s*(1-s), p[i]), r3.Scale(s*s, c)))
			add.Vertices = append(add.Vertices, x)
		}
	}
	for ring := range rings {
		for i := range n {
			a, b, d, e := id(ring, i+1), id(ring, i), id(ring+1, i), id(ring+1, i+1)
			add.Triangles = append(add.Triangles, [3]int32{a, b, d})
			if ring+1 < rings {
				add.Triangles = append(add.Triangles, [3]int32{a, d, e})
			}
		}
	}
	out := mesh.Mesh{Vertices: append(m.Vertices, add.Vertices...), Triangles: add.Triangles}
	for f := range out.Triangles {
		if !(r3.Dot(out.FaceNormal(f), up) > 0.3*r3.Norm(up)) || out.Quality(f) < sliver {
			return false
		}
	}
	m.Vertices, m.Triangles = out.Vertices, append(m.Triangles, add.Triangles...)
	return true
}
