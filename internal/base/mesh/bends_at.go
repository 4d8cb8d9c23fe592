package mesh

import (
	"runtime"
	"sync"
)

// BendsAt is [Topology.Bends] at the listed vertices alone, in their order. Vertices
// do not depend on each other, so that any number of processors gives the same.
func (t *Topology) BendsAt(at []int32, radius float64) []Bend {
	normals := t.Mesh.VertexNormals()
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
				out[i] = fitQuadric(t.Mesh, v, normals[v], points, reach)
			}
		})
	}
	wait.Wait()
	return out
}
