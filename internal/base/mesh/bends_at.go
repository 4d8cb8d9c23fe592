package mesh

import (
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// BendsAt is [Topology.Bends] at the listed vertices alone, in their order. Vertices
// do not depend on each other, so that any number of processors gives the same.
func (t *Topology) BendsAt(at []int32, radius float64) []Bend {
	out := make([]Bend, len(at))
	const least = 4096 // for fewer a processor is not worth its start
	parts := max(1, min(runtime.GOMAXPROCS(0), len(at)/least))
	var wait sync.WaitGroup
	for p := range parts {
		wait.Go(func() {
			n := newNeighbourhood(t)
			for i := p * len(at) / parts; i < (p+1)*len(at)/parts; i++ {
				v := int(at[i])
				points, reach := n.around(v, radius)
				out[i] = fitQuadric(t.Mesh, v, t.vertexNormal(v), points, reach)
			}
		})
	}
	wait.Wait()
	return out
}

// vertexNormal is that of one vertex of [Mesh.VertexNormals], to the last bit.
func (t *Topology) vertexNormal(v int) (n r3.Vec) {
	for _, f := range t.VertexFaces(v) {
		tri := t.Mesh.Triangles[f]
		k := 0
		for int(tri[k]) != v {
			k++
		}
		a, b, c := t.Mesh.Vertices[v], t.Mesh.Vertices[tri[(k+1)%3]], t.Mesh.Vertices[tri[(k+2)%3]]
		n = r3.Add(n, r3.Scale(angleBetween(r3.Sub(b, a), r3.Sub(c, a)), t.Mesh.FaceNormal(int(f))))
	}
	return unit(n)
}
