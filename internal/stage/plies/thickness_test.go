package plies

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// Sheared cloth lies 1/cos γ thick: the integral of that over the part is the flat
// area of the cloth, since yarns keep their length and a cell of the flat cloth of
// area 1 covers cos γ. What the strength check takes as thickness by vertex so
// carries the mass that is cut and wetted, on a bowl and on a box with its slits.
func TestClothKeepsItsMass(t *testing.T) {
	cap := shapes.Starred(32, 32, func(s, u float64) r3.Vec {
		x, y := 2*s-1, 2*u-1
		ρ := max(math.Abs(x), math.Abs(y))
		if ρ == 0 {
			return r3.Vec{Z: 0.1}
		}
		θ, n := ρ*math.Pi/3, math.Hypot(x, y)
		return r3.Vec{X: 0.1 * math.Sin(θ) * x / n, Y: 0.1 * math.Sin(θ) * y / n, Z: 0.1 * math.Cos(θ)}
	})
	for name, c := range map[string]struct {
		m    *mesh.Mesh
		lock float64
	}{"bowl": {cap, 60}, "pyramid": {box(60 * deg), 60}, "slit box": {lid(85*deg, 0.08), 45}} {
		r := laid(t, Input{Surface: c.m, Plies: stackOf(c.lock, 0)})
		var flatArea, laidOn float64
		for i, s := range r.Plies[0].Sheets {
			if r.Plies[0].Pieces[i].Patch {
				continue
			}
			flatArea += float64(r.Plies[0].Pieces[i].Area)
			for v, a := range s.Top.Mesh.VertexAreas() {
				laidOn += a / math.Cos(s.Shear[v])
			}
		}
		if math.Abs(laidOn/flatArea-1) > 0.01 || name != "slit box" && flatArea < 1.005*c.m.Area() {
			t.Errorf("%s: %.5f m² of cloth laid on the part, %.5f m² flat, surface %.5f m²", name, laidOn, flatArea, c.m.Area())
		}
	}
}
