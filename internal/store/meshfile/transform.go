package meshfile

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// transform is an affine map of row vectors, as 3MF writes it: rows for x, y and
// z, then the shift, m.
type transform [4]r3.Vec

var identity = transform{{X: 1}, {Y: 1}, {Z: 1}, {}}

func (t transform) turn(v r3.Vec) r3.Vec {
	return r3.Add(r3.Scale(v.X, t[0]), r3.Add(r3.Scale(v.Y, t[1]), r3.Scale(v.Z, t[2])))
}

func (t transform) apply(v r3.Vec) r3.Vec { return r3.Add(t.turn(v), t[3]) }

// then returns the map that does t first and u next.
func (t transform) then(u transform) transform {
	return transform{u.turn(t[0]), u.turn(t[1]), u.turn(t[2]), u.apply(t[3])}
}

func (t transform) determinant() float64 { return r3.Dot(t[0], r3.Cross(t[1], t[2])) }

// parseTransform reads twelve numbers; ok is false where they are not that, or
// press the object flat.
func parseTransform(text string, unit float64) (t transform, ok bool) {
	words := strings.Fields(text)
	if len(words) != 12 {
		return t, false
	}
	var x [12]float64
	for i, w := range words {
		var err error
		if x[i], err = strconv.ParseFloat(w, 64); err != nil || math.IsNaN(x[i]) || math.IsInf(x[i], 0) {
			return t, false
		}
	}
	for i := range t {
		t[i] = r3.Vec{X: x[3*i], Y: x[3*i+1], Z: x[3*i+2]}
	}
	t[3] = r3.Scale(unit, t[3])
	d := t.determinant()
	return t, d != 0 && !math.IsNaN(d) && !math.IsInf(d, 0)
}
