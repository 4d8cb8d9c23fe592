package shapes

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Flaws says what is wrong with a [Scan].
type Flaws struct {
	Noise   float64 // standard deviation of the height of a vertex, m
	Spikes  int     // vertices that stand up by SpikeUp
	SpikeUp float64 // m
	Holes   int     // places that the scanner did not see, six cells wide
	Slivers int     // triangles without width to speak of
	Torn    float64 // share of triangles that have corners of their own, as in a file of loose triangles
	Turned  float64 // share of triangles turned the wrong way round
}

// UsualFlaws are those of a fair scan by hand; from memory, no source.
var UsualFlaws = Flaws{Noise: 5e-5, Spikes: 8, SpikeUp: 4e-3, Holes: 12, Slivers: 200, Torn: 0.3, Turned: 0.01}

// Scan is a height field of about as many triangles as asked, 400 by 300 mm,
// with two swells and the flaws of a scanner. Triangles come in random order.
func Scan(seed uint64, triangles int, flaws Flaws) *mesh.Mesh {
	chance := rand.New(rand.NewPCG(seed, 1))
	const long, wide = 0.4, 0.3
	cells := math.Sqrt(float64(triangles) / 2 / (long * wide)) // in a metre
	nu, nv := max(1, int(math.Round(long*cells))), max(1, int(math.Round(wide*cells)))
	m := Patch(nu, nv, func(u, v float64) r3.Vec {
		z := 0.03*math.Sin(math.Pi*u)*math.Sin(math.Pi*v) + 0.008*math.Sin(3*math.Pi*u)
		return r3.Vec{X: long * u, Y: wide * v, Z: z + flaws.Noise*chance.NormFloat64()}
	})
	for range flaws.Spikes {
		m.Vertices[chance.IntN(len(m.Vertices))].Z += flaws.SpikeUp
	}
	m = holed(m, chance, flaws.Holes, 3/cells)
	slivered(m, chance, flaws.Slivers)
	torn(m, chance, flaws.Torn)
	for f := range m.Triangles {
		if t := &m.Triangles[f]; chance.Float64() < flaws.Turned {
			t[1], t[2] = t[2], t[1]
		}
	}
	return Shuffled(m, seed)
}

// holed leaves out round places of a radius, seen from above.
func holed(m *mesh.Mesh, chance *rand.Rand, holes int, radius float64) *mesh.Mesh {
	out := make([]bool, len(m.Vertices))
	for range holes {
		middle := m.Vertices[chance.IntN(len(m.Vertices))]
		for v, p := range m.Vertices {
			out[v] = out[v] || math.Hypot(p.X-middle.X, p.Y-middle.Y) < radius
		}
	}
	return without(m, func(f int) bool {
		t := m.Triangles[f]
		return out[t[0]] && out[t[1]] && out[t[2]]
	})
}

// slivered puts a vertex all but on a side of a triangle, and so makes three of
// it of which one has no width to speak of.
func slivered(m *mesh.Mesh, chance *rand.Rand, count int) {
	for range count {
		f := chance.IntN(len(m.Triangles))
		t := m.Triangles[f]
		a, b, c := m.Corners(f)
		m.Vertices = append(m.Vertices, r3.Add(r3.Scale(0.4995, a), r3.Add(r3.Scale(0.4995, b), r3.Scale(0.001, c))))
		p := int32(len(m.Vertices) - 1)
		m.Triangles[f] = [3]int32{t[0], t[1], p}
		m.Triangles = append(m.Triangles, [3]int32{t[1], t[2], p}, [3]int32{t[2], t[0], p})
	}
}

// torn gives a share of the triangles corners of their own.
func torn(m *mesh.Mesh, chance *rand.Rand, share float64) {
	for f, t := range m.Triangles {
		if chance.Float64() >= share {
			continue
		}
		for k, v := range t {
			m.Vertices = append(m.Vertices, m.Vertices[v])
			m.Triangles[f][k] = int32(len(m.Vertices) - 1)
		}
	}
}
