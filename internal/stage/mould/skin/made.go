package skin

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// Made is a finished surface.
type Made struct {
	Mesh    *mesh.Mesh
	Normals []r3.Vec // the field's normal at each vertex; on a crease that of one side
	Creases [][2]int32
	Rims    []Rim
	Off     float64 // most that a vertex stands off the true surface, m
}

// Rim is a closed chain of vertices with the surface on its left seen from
// outside, and the number of the cutter that made most of it, -1 for none.
type Rim struct {
	Vertices []int32
	Cutter   int32
}

// mostOff is how many chords a vertex may stand off the surface: where a sharp
// edge dies out between other faces, one in thousands does.
const mostOff = 4

// Off reports a vertex that could not be brought onto the true surface.
type Off struct {
	At       r3.Vec
	By, Most float64 // m, how far it stands off and may
}

func (e *Off) Error() string {
	return fmt.Sprintf("a vertex of the mould's mesh near (%.1f, %.1f, %.1f) mm stands %.3g mm off the surface, more than %.3g mm", 1e3*e.At.X, 1e3*e.At.Y, 1e3*e.At.Z, 1e3*e.By, 1e3*e.Most)
}

// Made returns the surface as it is. A vertex that could not be brought onto the
// true surface within a few chords is the error [Off].
func (s *Skin) Made() (Made, error) {
	m := Made{Mesh: &mesh.Mesh{}}
	number := make([]int32, len(s.p))
	var old []int32
	for v := range s.p {
		if len(s.around[v]) > 0 {
			number[v] = int32(len(old))
			old = append(old, int32(v))
			d, _ := s.f.At(s.p[v])
			m.Off = max(m.Off, math.Abs(d))
			if !(math.Abs(d) <= mostOff*s.o.Chord) {
				return m, &Off{s.p[v], math.Abs(d), mostOff * s.o.Chord}
			}
			m.Mesh.Vertices = append(m.Mesh.Vertices, s.p[v])
			m.Normals = append(m.Normals, s.n[v])
		}
	}
	for _, t := range s.tri {
		if t[0] >= 0 {
			m.Mesh.Triangles = append(m.Mesh.Triangles, [3]int32{number[t[0]], number[t[1]], number[t[2]]})
		}
	}
	for _, e := range s.edges() {
		if c, bound := s.curve[key(e[0], e[1])]; bound && c == crease {
			m.Creases = append(m.Creases, [2]int32{number[e[0]], number[e[1]]})
		}
	}
	t, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		return m, err
	}
	for _, loop := range t.RimLoops() {
		r := Rim{Vertices: t.LoopVertices(loop), Cutter: -1}
		votes, most := make([]int, len(s.cuts)), 0
		for i, v := range r.Vertices {
			w := r.Vertices[(i+1)%len(r.Vertices)]
			if c, bound := s.curve[key(old[v], old[w])]; bound && c >= 0 {
				if votes[c]++; votes[c] > most {
					most, r.Cutter = votes[c], c
				}
			}
		}
		m.Rims = append(m.Rims, r)
	}
	return m, nil
}
