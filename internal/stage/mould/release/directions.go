package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// fineness is how many steps lie between two axes on the grid of directions: 15
// deg apart, 146 in all.
const fineness = 6

// directions returns the corners of a divided octahedron, pushed out onto the
// sphere: evenly spread, the axes and the halves between them among them, and with
// each its opposite.
func directions(steps int) (out []r3.Vec) {
	for x := -steps; x <= steps; x++ {
		for y := -steps; y <= steps; y++ {
			z := steps - abs(x) - abs(y)
			if z < 0 {
				continue
			}
			out = append(out, r3.Unit(r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
			if z > 0 {
				out = append(out, r3.Unit(r3.Vec{X: float64(x), Y: float64(y), Z: float64(-z)}))
			}
		}
	}
	return out
}

// halfOf keeps one of each pair of opposites.
func halfOf(dirs []r3.Vec) (out []r3.Vec) {
	for _, d := range dirs {
		if d.Z > 0 || d.Z == 0 && (d.Y > 0 || d.Y == 0 && d.X > 0) {
			out = append(out, d)
		}
	}
	return out
}

// around returns n unit vectors across e, evenly turned.
func around(e r3.Vec, n int) []r3.Vec {
	a, b := frame(e)
	out := make([]r3.Vec, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = r3.Add(r3.Scale(c, a), r3.Scale(s, b))
	}
	return out
}

// frame returns two unit vectors that stand across e and each other, with a, b, e
// turning right-handed.
func frame(e r3.Vec) (a, b r3.Vec) {
	by := r3.Vec{X: 1}
	if math.Abs(e.X) > 0.8 {
		by = r3.Vec{Y: 1}
	}
	b = r3.Unit(r3.Cross(e, by))
	return r3.Cross(b, e), b
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}
