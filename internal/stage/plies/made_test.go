package plies_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

// smoothStep goes from 0 to 1 without a corner while x goes from 0 to 1.
func smoothStep(x float64) float64 {
	x = max(0, min(1, x))
	return x * x * (3 - 2*x)
}

// ovalBowl is 390 mm by 260 mm over its flange and 60 mm deep; its wall stands at
// 67° on the long sides.
func ovalBowl(*testing.T) *mesh.Mesh {
	const foot, rim, deep, flange = 0.075, 0.1, 0.06, 0.03
	wall := math.Hypot(rim-foot, deep)
	whole := foot + wall + flange
	return shapes.Disc(30, func(r, φ float64) r3.Vec {
		x, z := 0.0, 0.0
		const steps = 9 // the section is rounded by its mean over 16 mm
		for k := range steps {
			s := min(whole, max(0, r*whole+0.008*(2*float64(k)/(steps-1)-1)))
			t := min(1, max(0, (s-foot)/wall))
			x += (min(s, foot) + t*(rim-foot) + max(0, s-foot-wall)) / steps
			z += (t - 1) * deep / steps
		}
		if r == 0 {
			x = 0
		}
		return r3.Vec{X: 1.5 * x * math.Cos(φ), Y: x * math.Sin(φ), Z: z}
	})
}

// wedge is a sharp-edged box of which one wall is nearly upright and three lean, its
// lid falling from 90 mm to 40 mm.
func wedge(*testing.T) *mesh.Mesh {
	foot := [4]r3.Vec{{}, {X: 0.3}, {X: 0.3, Y: 0.2}, {Y: 0.2}}
	lid := [4]r3.Vec{{X: 0.005, Y: 0.03, Z: 0.09}, {X: 0.28, Y: 0.015, Z: 0.04}, {X: 0.28, Y: 0.185, Z: 0.04}, {X: 0.005, Y: 0.17, Z: 0.09}}
	quad := func(a, b, c, d r3.Vec) *mesh.Mesh {
		return shapes.Patch(20, 20, func(u, v float64) r3.Vec {
			at := func(a, b, c, d float64) float64 {
				return math.Round(1e9*((1-u)*(1-v)*a+u*(1-v)*b+u*v*c+(1-u)*v*d))/1e9 + 0 // neighbours meet in the very same places
			}
			return r3.Vec{X: at(a.X, b.X, c.X, d.X), Y: at(a.Y, b.Y, c.Y, d.Y), Z: at(a.Z, b.Z, c.Z, d.Z)}
		})
	}
	faces := []*mesh.Mesh{quad(lid[0], lid[1], lid[2], lid[3])}
	for i := range foot {
		j := (i + 1) % 4
		faces = append(faces, quad(foot[i], foot[j], lid[j], lid[i]))
	}
	return shapes.Together(true, faces...)
}

// bump is a blister 50 mm high, askew, on a skin of 300 mm radius.
func bump(*testing.T) *mesh.Mesh {
	const radius, high, long, wide = 0.3, 0.05, 0.11, 0.06
	return shapes.Patch(56, 40, func(u, v float64) r3.Vec {
		x, s := 0.35*(u-0.5), 0.25*(v-0.5)
		q := max(0, 1-(x*x/long/long+s*s/wide/wide))
		r := radius + high*q*q*(1+0.5*x/long)
		return r3.Vec{X: x, Y: r * math.Sin(s/radius), Z: r*math.Cos(s/radius) - radius}
	})
}

// saddleCover is bent both ways, with its long edges turned down and a hole where the
// middle would be.
func saddleCover(t *testing.T) *mesh.Mesh {
	m := shapes.Patch(56, 48, func(u, v float64) r3.Vec {
		x, y := 0.3*(u-0.5), 0.22*(v-0.5)
		d := max(0, math.Abs(y)-0.085)
		return r3.Vec{X: x, Y: y, Z: 2*x*x - 2.5*y*y - 1.8*d*d/(d+0.006)}
	})
	return clipped(t, m, func(p r3.Vec) float64 { return math.Hypot(p.X-0.03, p.Y+0.01) - 0.035 })
}

// pockets is a five-sided box with upright walls, and a round and a square pocket in
// its lid.
func pockets(*testing.T) *mesh.Mesh {
	size := r3.Vec{X: 0.32, Y: 0.2, Z: 0.07}
	m := shapes.OpenBox(size, 24)
	for i, p := range m.Vertices {
		if p.Z > size.Z-1e-9 {
			round := 0.045 - math.Hypot(p.X-0.09, p.Y-0.1)
			square := min(0.05-math.Abs(p.X-0.22), 0.06-math.Abs(p.Y-0.1))
			m.Vertices[i].Z -= 0.012*smoothStep(round/0.015) + 0.014*smoothStep(square/0.015)
		}
	}
	return m
}
