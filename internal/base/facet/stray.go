package facet

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Stray is how far one surface stands off another.
type Stray struct {
	Most float64 // m
	RMS  float64 // m, by area
	At   r3.Vec  // where it stands off most
}

// StrayFrom returns how far m stands off the surface of l: at its vertices, and
// in each triangle on a net of places no farther apart than a step, m, up to 10
// in a row. What lies between them may stand off by the step more at a crease,
// and by far less elsewhere.
func StrayFrom(l *mesh.Locator, m *mesh.Mesh, step float64) Stray {
	var s Stray
	sum, area := 0.0, 0.0
	for f := range m.Triangles {
		a, b, c := m.Corners(f)
		long := max(r3.Norm(r3.Sub(b, a)), r3.Norm(r3.Sub(c, b)), r3.Norm(r3.Sub(a, c)))
		n := max(1, min(10, int(math.Ceil(long/step))))
		share := m.FaceArea(f) / float64((n+1)*(n+2)/2)
		for i := range n + 1 {
			for j := range n + 1 - i {
				u, v := float64(i)/float64(n), float64(j)/float64(n)
				p := r3.Add(a, r3.Add(r3.Scale(u, r3.Sub(b, a)), r3.Scale(v, r3.Sub(c, a))))
				hit, ok := l.Closest(p)
				if !ok {
					continue
				}
				sum, area = sum+share*hit.Distance*hit.Distance, area+share
				if hit.Distance > s.Most {
					s.Most, s.At = hit.Distance, p
				}
			}
		}
	}
	if area > 0 {
		s.RMS = math.Sqrt(sum / area)
	}
	return s
}
