package skin

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
)

// MostPoints bounds the points of the first grid: 8 million take 64 MB and a
// few seconds.
const MostPoints = 8_000_000

// gridShift keeps flat faces on round numbers out of the grid's planes, cells.
var gridShift = r3.Scale(0.37, r3.Vec{X: 1, Y: 1.03, Z: 0.97})

// Points returns how many points the first grid over a box has.
func Points(box r3.Box, cell float64) float64 {
	n := gridSize(box, cell)
	return n.X * n.Y * n.Z
}

// gridSize returns the points along each axis.
func gridSize(box r3.Box, cell float64) r3.Vec {
	n := r3.Add(r3.Scale(1/cell, r3.Sub(box.Max, box.Min)), r3.Scale(2, gridShift))
	return r3.Vec{X: math.Ceil(n.X) + 1, Y: math.Ceil(n.Y) + 1, Z: math.Ceil(n.Z) + 1}
}

// lattice is a grid of distances; those far from the surface are not worked out.
type lattice struct {
	f       Field
	origin  r3.Vec
	cell    float64
	x, y, z int // points along each axis
	d       []float64
	sure    float64 // a distance may be this much too great
}

// block is the number of cells along each side of the pieces that are skipped
// where their middle is farther from the surface than their corners.
const block = 4

// March covers the surface of f inside the box with raw triangles from a grid
// of the given cell. Each cell is cut into six tetrahedra, which has no
// ambiguous case: the surface is one sheet without fins, open only at the box.
//
// Source: [doi-koide1991].
func March(f Field, box r3.Box, cell float64, o Options) (*Skin, error) {
	l := lattice{f: f, origin: r3.Sub(box.Min, r3.Scale(cell, gridShift)), cell: cell, sure: 1.3}
	if n := Points(box, cell); !(n <= MostPoints) {
		return nil, &fault.Input{Field: "mould.triangle", What: fmt.Sprintf("triangles this fine need a grid of %.0f points, more than %d", n, MostPoints), Do: "write a larger size"}
	}
	n := gridSize(box, cell)
	l.x, l.y, l.z = int(n.X), int(n.Y), int(n.Z)
	l.d = make([]float64, l.x*l.y*l.z)
	for i := range l.d {
		l.d[i] = math.NaN()
	}
	s := &Skin{f: f, o: o, curve: map[[2]int32]int32{}}
	on := map[int]int32{}
	for k := 0; k < l.z-1; k += block {
		for j := 0; j < l.y-1; j += block {
			for i := 0; i < l.x-1; i += block {
				if l.far(i, j, k) {
					continue
				}
				l.cells(i, j, k, func(c int) { s.cell(&l, c, on) })
			}
		}
	}
	s.dropVoids()
	return s, nil
}

// far tells whether the surface misses the block of cells from i, j, k: by the
// distance from its middle, and, as that may be too great deep in a body, by the
// sides that its corners lie on.
func (l *lattice) far(i, j, k int) bool {
	half := float64(block) / 2
	d, _ := l.f.At(l.at(float64(i)+half, float64(j)+half, float64(k)+half))
	if !(math.Abs(d) > l.sure*math.Sqrt(3)*half*l.cell) {
		return false
	}
	for b := range 8 {
		x, y, z := min(i+block*(b&1), l.x-1), min(j+block*(b>>1&1), l.y-1), min(k+block*(b>>2), l.z-1)
		if (l.value((z*l.y+y)*l.x+x) < 0) != (d < 0) {
			return false
		}
	}
	return true
}

func (l *lattice) at(i, j, k float64) r3.Vec {
	return r3.Add(l.origin, r3.Scale(l.cell, r3.Vec{X: i, Y: j, Z: k}))
}

func (l *lattice) cells(i0, j0, k0 int, do func(c int)) {
	for k := k0; k < min(k0+block, l.z-1); k++ {
		for j := j0; j < min(j0+block, l.y-1); j++ {
			for i := i0; i < min(i0+block, l.x-1); i++ {
				do((k*l.y+j)*l.x + i)
			}
		}
	}
}

func (l *lattice) point(c int) r3.Vec {
	return l.at(float64(c%l.x), float64(c/l.x%l.y), float64(c/(l.x*l.y)))
}

func (l *lattice) value(c int) float64 {
	if math.IsNaN(l.d[c]) {
		l.d[c], _ = l.f.At(l.point(c))
	}
	return l.d[c]
}

// tetrahedra are the six ways from corner 0 of a cell to corner 7 along its
// axes; bits 0, 1, 2 of a corner are x, y, z.
var tetrahedra = [6][4]int{{0, 1, 3, 7}, {0, 1, 5, 7}, {0, 2, 3, 7}, {0, 2, 6, 7}, {0, 4, 5, 7}, {0, 4, 6, 7}}

// corners are those of one cell: lattice points and their distances.
type corners struct {
	index [8]int
	d     [8]float64
}

func (s *Skin) cell(l *lattice, c int, on map[int]int32) {
	var k corners
	below := 0
	for b := range 8 {
		k.index[b] = c + b&1 + (b>>1&1)*l.x + (b>>2)*l.x*l.y
		k.d[b] = l.value(k.index[b])
		if k.d[b] < 0 {
			below++
		}
	}
	if below == 0 || below == 8 {
		return
	}
	for _, t := range tetrahedra {
		s.tetrahedron(l, &k, t, on)
	}
}

// tetrahedron adds the one or two triangles that part its corners below zero
// from those above.
func (s *Skin) tetrahedron(l *lattice, k *corners, t [4]int, on map[int]int32) {
	var in, out []int
	for _, b := range t {
		if k.d[b] < 0 {
			in = append(in, b)
		} else {
			out = append(out, b)
		}
	}
	if len(in) == 0 || len(out) == 0 {
		return
	}
	vertex := func(a, b int) int32 { return s.crossing(l, k, min(a, b), max(a, b), on) }
	up := r3.Sub(l.middle(k, out), l.middle(k, in))
	switch len(in) {
	case 1:
		s.facing(up, vertex(in[0], out[0]), vertex(in[0], out[1]), vertex(in[0], out[2]))
	case 3:
		s.facing(up, vertex(out[0], in[0]), vertex(out[0], in[1]), vertex(out[0], in[2]))
	case 2:
		a, b := vertex(in[0], out[0]), vertex(in[0], out[1])
		c, e := vertex(in[1], out[1]), vertex(in[1], out[0])
		s.facing(up, a, b, c)
		s.facing(up, a, c, e)
	}
}

// crossing returns the vertex between two corners of a cell, the same one for
// every cell that has both.
func (s *Skin) crossing(l *lattice, k *corners, low, high int, on map[int]int32) int32 {
	id := k.index[low]*8 + (high ^ low)
	if v, ok := on[id]; ok {
		return v
	}
	p, n := s.between(l.point(k.index[low]), l.point(k.index[high]), k.d[low], k.d[high])
	on[id] = s.addVertex(p, n, s.o.Size, free)
	return on[id]
}

func (l *lattice) middle(k *corners, of []int) (m r3.Vec) {
	for _, b := range of {
		m = r3.Add(m, r3.Scale(1/float64(len(of)), l.point(k.index[b])))
	}
	return
}

// between returns where the surface crosses the way from p to q. It stays on
// that way, since the nearest place beside a sharp edge would be the edge
// itself, where the normal has no one direction; and a little off both ends,
// since several ways meet there.
func (s *Skin) between(p, q r3.Vec, dp, dq float64) (r3.Vec, r3.Vec) {
	const ends = 1e-3
	step := r3.Sub(q, p)
	low, high := 0.0, 1.0
	t := dp / (dp - dq)
	for i := range 40 {
		if high < ends || low > 1-ends {
			break
		}
		d, n := s.f.At(r3.Add(p, r3.Scale(t, step)))
		if math.Abs(d) <= onSurface && ends <= t && t <= 1-ends {
			return r3.Add(p, r3.Scale(t, step)), n
		}
		if (d < 0) == (dp < 0) {
			low, dp = t, d
		} else {
			high, dq = t, d
		}
		if t = low + (high-low)*dp/(dp-dq); i%3 == 2 {
			t = (low + high) / 2 // regula falsi alone may creep
		}
	}
	x := r3.Add(p, r3.Scale(min(1-ends, max(ends, t)), step))
	_, n := s.f.At(x)
	return x, n
}

func (s *Skin) facing(up r3.Vec, a, b, c int32) {
	if r3.Dot(s.vector([3]int32{a, b, c}), up) < 0 {
		b, c = c, b
	}
	s.addTriangle([3]int32{a, b, c})
}
