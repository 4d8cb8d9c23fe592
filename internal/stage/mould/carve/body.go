package carve

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// Field tells the signed distance of a place from the true surface and the way
// in which it grows.
type Field func(p r3.Vec) (d float64, n r3.Vec)

// body is a shape that stands on the base plane z = 0: its skin, open at the base
// at most, ready to be cut by planes.
type body struct {
	mesh    *mesh.Mesh
	field   Field // nil: the triangles are the shape
	bounds  r3.Box
	bins    [][]int32                 // triangles by the heights that they reach through
	rise    float64                   // height of a bin
	flats   []float64                 // heights of level faces, rising
	crossed int                       // outlines that crossed themselves
	trial   float64                   // m, what the outline being drawn could not be brought nearer the field
	left    float64                   // m, the most of it in the last cut
	far     float64                   // m, the most of it in what is drawn
	lefts   map[float64]float64       // by height: left of slices
	slices  map[float64][]geom.Region // by height: those of the boards are wanted twice where no filler is carved
}

// Measures of slicing, m.
const (
	atBase  = 1e-7 // a vertex no higher than this lies on the base plane
	hair    = 1e-5 // a slice is taken so far inside its board
	offFlat = 1e-4 // and so far off a level face
	speck   = 1e-6 // m²: outlines with less area are none
	ChordTo = 5e-5 // what an outline may stand off the true one where that is known
	binsOf  = 256
)

// newBody closes a face into a body. Triangles that lie in the base plane are left
// out: they are the flange. Rims elsewhere are the flat ends of ducts, closed by a
// fan. skirt takes the longest rim straight down to the base: a surface from a
// file, whose edge is where the part ends and not where the mould does.
func newBody(m *mesh.Mesh, field Field, skirt bool) (*body, error) {
	all := &mesh.Mesh{Vertices: append([]r3.Vec(nil), m.Vertices...)}
	for _, t := range m.Triangles {
		if a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]; max(a.Z, b.Z, c.Z) > atBase {
			all.Triangles = append(all.Triangles, t)
		}
	}
	t, err := mesh.NewTopology(all)
	if err != nil {
		return nil, err
	}
	for _, rim := range rimsByLength(t) {
		switch {
		case onBase(all, rim):
		case skirt:
			drop(all, rim)
		default:
			all.Fan(rim)
		}
		skirt = false
	}
	b := &body{mesh: all, field: field, bounds: all.Bounds(), slices: map[float64][]geom.Region{}, lefts: map[float64]float64{}}
	if b.volume() < 0 {
		b.mesh = all.Flipped()
	}
	b.sort()
	b.flats = b.findFlats()
	return b, nil
}

// rimsByLength returns the rims with the surface on their left, the longest first.
func rimsByLength(t *mesh.Topology) (out [][]int32) {
	longest, at := 0.0, 0
	for _, loop := range t.RimLoops() {
		rim := t.LoopVertices(loop)
		length := 0.0
		for i, v := range rim {
			length += r3.Norm(r3.Sub(t.Mesh.Vertices[rim[(i+1)%len(rim)]], t.Mesh.Vertices[v]))
		}
		if length > longest {
			longest, at = length, len(out)
		}
		out = append(out, rim)
	}
	if len(out) > 0 {
		out[0], out[at] = out[at], out[0]
	}
	return out
}

func onBase(m *mesh.Mesh, rim []int32) bool {
	for _, v := range rim {
		if math.Abs(m.Vertices[v].Z) > hair {
			return false
		}
	}
	return true
}

// drop lets an upright wall down from a rim to the base plane.
func drop(m *mesh.Mesh, rim []int32) {
	first := int32(len(m.Vertices))
	for _, v := range rim {
		p := m.Vertices[v]
		m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y})
	}
	for i, v := range rim {
		k := (i + 1) % len(rim)
		low, next := first+int32(i), first+int32(k)
		m.Triangles = append(m.Triangles, [3]int32{rim[k], v, low}, [3]int32{rim[k], low, next})
	}
}

// volume is what the skin holds above the base plane: the divergence theorem with
// the field (0, 0, z), to which an opening at z = 0 adds nothing.
//
//	V = Σ (z₁ + z₂ + z₃)/3 · A_z
func (b *body) volume() (sum float64) {
	for f, t := range b.mesh.Triangles {
		z := b.mesh.Vertices[t[0]].Z + b.mesh.Vertices[t[1]].Z + b.mesh.Vertices[t[2]].Z
		sum += z / 3 * b.mesh.AreaVector(f).Z
	}
	return sum
}

// sort puts the triangles into bins by height, so that a slice looks at few.
func (b *body) sort() {
	b.bins = make([][]int32, binsOf)
	b.rise = max(1e-9, (b.bounds.Max.Z-b.bounds.Min.Z)/binsOf)
	for f, t := range b.mesh.Triangles {
		low, high := b.mesh.Vertices[t[0]].Z, b.mesh.Vertices[t[0]].Z
		for _, v := range t[1:] {
			low, high = min(low, b.mesh.Vertices[v].Z), max(high, b.mesh.Vertices[v].Z)
		}
		for k := b.bin(low); k <= b.bin(high); k++ {
			b.bins[k] = append(b.bins[k], int32(f))
		}
	}
}

func (b *body) bin(z float64) int {
	return max(0, min(binsOf-1, int((z-b.bounds.Min.Z)/b.rise)))
}

// at returns what the body fills of the level plane at z, seen from above.
func (b *body) at(z float64) []geom.Region {
	if known, ok := b.slices[z]; ok {
		return known
	}
	p := plane{at: r3.Vec{Z: z}, u: r3.Vec{X: 1}, v: r3.Vec{Y: 1}, n: r3.Vec{Z: 1}}
	b.slices[z] = b.regions(b.cut(p, b.bins[b.bin(z)]))
	b.lefts[z] = b.left
	return b.slices[z]
}

// findFlats looks for the heights, rising, of level faces of some area: a slice
// changes there at once.
func (b *body) findFlats() (out []float64) {
	area := map[int]float64{} // by height in steps of a hair
	for f, t := range b.mesh.Triangles {
		a := b.mesh.AreaVector(f)
		if size := r3.Norm(a); math.Abs(a.Z) > (1-1e-9)*size {
			area[int(math.Round(b.mesh.Vertices[t[0]].Z/hair))] += size
		}
	}
	for _, k := range slices.Sorted(maps.Keys(area)) {
		if z := hair * float64(k); area[k] > speck && z > atBase {
			out = append(out, z)
		}
	}
	return out
}

// plane is a place to cut, with axes u and v in it and its normal n = u × v.
type plane struct{ at, u, v, n r3.Vec }

// in returns a place in the plane's axes.
func (p plane) in(q r3.Vec) r2.Vec {
	d := r3.Sub(q, p.at)
	return r2.Vec{X: r3.Dot(d, p.u), Y: r3.Dot(d, p.v)}
}

// out returns the place of a point in the plane.
func (p plane) out(q r2.Vec) r3.Vec {
	return r3.Add(p.at, r3.Add(r3.Scale(q.X, p.u), r3.Scale(q.Y, p.v)))
}
