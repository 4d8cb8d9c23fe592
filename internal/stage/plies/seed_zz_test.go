package plies
import ("math";"gonum.org/v1/gonum/spatial/r3";"laywright/internal/base/mesh")
func dome(n int, pole r3.Vec, h, b float64) *mesh.Mesh {
	return sheetOf(n, n, func(s, t float64) r3.Vec {
		x, y := 0.6*(s-0.5), 0.5*(t-0.5)
		return r3.Vec{X: x, Y: y, Z: h * math.Exp(-(math.Pow(x-pole.X, 2)+math.Pow(y-pole.Y, 2))/(b*b))}
	})
}
