package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/carve"
)

// pose is where the shape stands for building: its place at the datum, and its
// directions, z away from the base.
type pose struct {
	o       r3.Vec
	x, y, z r3.Vec
	names   [2]string // of x and y
}

func uprightAt(o r3.Vec) pose {
	return pose{o, r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}, [2]string{"x", "y"}}
}

func (p pose) in(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(v, p.x), Y: r3.Dot(v, p.y), Z: r3.Dot(v, p.z)}
}

func (p pose) mesh(m *mesh.Mesh) *mesh.Mesh {
	out := m.Clone()
	for i, v := range out.Vertices {
		out.Vertices[i] = p.in(r3.Sub(v, p.o))
	}
	return out
}

// field carries a distance over; nil stays nil.
func (p pose) field(f carve.Field) carve.Field {
	if f == nil {
		return nil
	}
	return func(q r3.Vec) (float64, r3.Vec) {
		d, n := f(r3.Add(p.o, r3.Add(r3.Scale(q.X, p.x), r3.Add(r3.Scale(q.Y, p.y), r3.Scale(q.Z, p.z)))))
		return d, p.in(n)
	}
}

// poseFor stands a mesh so that the part comes off upwards, along the axis that its
// pull is nearest to; of a cavity the hollow, mouth down.
func poseFor(pull r3.Vec, cavity bool) pose {
	if cavity {
		pull = r3.Scale(-1, pull)
	}
	size := [3]float64{pull.X, pull.Y, pull.Z}
	k := 2
	for i, v := range size {
		if math.Abs(v) > math.Abs(size[k])*(1+1e-9) {
			k = i
		}
	}
	unit := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	name := [3]string{"x", "y", "z"}
	x, y, z := (k+1)%3, (k+2)%3, k
	p := pose{x: unit[x], y: unit[y], z: unit[z], names: [2]string{name[x], name[y]}}
	if size[k] < 0 { // turned over about x
		p.y, p.z = r3.Scale(-1, p.y), r3.Scale(-1, p.z)
		p.names[1] = "-" + p.names[1]
	}
	return p
}

// datum is the place that measures count from: the origin where it lies within the
// shape seen from above, else the round measure next to its middle; at the height of
// the shape's lowest point.
func datum(box r3.Box) r3.Vec {
	const round = 5e-3 // m
	next := func(low, high float64) float64 {
		if low < 0 && 0 < high {
			return 0
		}
		return math.Round((low+high)/2/round) * round
	}
	return r3.Vec{X: next(box.Min.X, box.Max.X), Y: next(box.Min.Y, box.Max.Y), Z: box.Min.Z}
}
