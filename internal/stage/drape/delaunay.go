package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/mesh"
)

// flipBeyond is how much, rad, the two angles opposite to a side may exceed 180°
// before the side is turned: near ties are left as they came.
const flipBeyond = 0.05

// reshaped returns the same surface cut into other triangles on the same
// vertices: a side whose opposite angles add up to more than 180° gives way to
// the other diagonal, until there is none. All is measured on the surface as it
// is, by the lengths of sides alone, so that its form does not change; but thin
// triangles with a wide angle, which make cloth look stiff, are gone where they
// can be.
//
// Source: [bobenko2007].
func (s *surface) reshaped() (*surface, error) {
	d := newFlipper(s)
	for h := range d.twin {
		d.push(h)
	}
	for limit := 50 * len(d.twin); len(d.queue) > 0 && limit > 0; limit-- {
		h := int(d.queue[len(d.queue)-1])
		d.queue = d.queue[:len(d.queue)-1]
		d.queued[h] = false
		d.consider(h)
	}
	if len(d.turned) == 0 {
		return s, nil
	}
	m := &mesh.Mesh{Vertices: s.Vertices, Triangles: d.tri}
	t, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	n := len(d.tri)
	out := &surface{Mesh: m, topology: t, local: make([][3]r2.Vec, n), slope: make([][3]r2.Vec, n),
		area: make([]float64, n), none: make([]bool, n), edge: s.edge, whole: s.whole, up: s.normals()}
	split(n, func(_, from, to int) {
		for f := from; f < to; f++ {
			p := d.lay(f)
			out.area[f] = p[1].X * p[2].Y / 2
			out.shape(f, p)
		}
	})
	return out, nil
}

// flipper holds triangles by the lengths of their sides.
type flipper struct {
	tri    [][3]int32
	twin   []int32
	long   []float64
	edges  *mesh.Topology    // as they were
	turned map[[2]int32]bool // what has changed since: there now, or not any more
	queue  []int32
	queued []bool
}

func newFlipper(s *surface) *flipper {
	n := len(s.topology.Twin)
	d := &flipper{tri: append([][3]int32(nil), s.Triangles...), twin: append([]int32(nil), s.topology.Twin...),
		long: make([]float64, n), edges: s.topology, turned: map[[2]int32]bool{}, queued: make([]bool, n)}
	for h := range d.long {
		p := s.local[h/3]
		d.long[h] = r2.Norm(r2.Sub(p[(h%3+1)%3], p[h%3]))
	}
	return d
}

// has tells whether there is a side between two vertices.
func (d *flipper) has(a, b int32) bool {
	if is, changed := d.turned[ends(a, b)]; changed {
		return is
	}
	return d.edges.EdgeBetween(int(a), int(b)) >= 0
}

func (d *flipper) push(h int) {
	if d.twin[h] >= 0 && !d.queued[h] {
		d.queued[h] = true
		d.queue = append(d.queue, int32(h))
	}
}

// lay puts triangle f into the plane: corner 0 at the origin, side 0 along x.
func (d *flipper) lay(f int) [3]r2.Vec {
	a, b, c := d.long[3*f], d.long[3*f+1], d.long[3*f+2]
	if a == 0 {
		return [3]r2.Vec{}
	}
	x := (a*a + c*c - b*b) / (2 * a)
	return [3]r2.Vec{{}, {X: a}, {X: x, Y: math.Sqrt(max(0, c*c-x*x))}}
}

// opposite returns the cosine of the angle across from half-edge h.
func (d *flipper) opposite(h int) float64 {
	a, b, c := d.long[h], d.long[mesh.Next(h)], d.long[mesh.Prev(h)]
	return max(-1, min(1, (b*b+c*c-a*a)/(2*b*c)))
}

// wide tells whether the angles across from half-edge h and its twin t are too wide
// together: most are not wider than 180°, which their cosines tell.
func (d *flipper) wide(h, t int) bool {
	a, b := d.opposite(h), d.opposite(t)
	return a+b < 0 && math.Acos(a)+math.Acos(b) > math.Pi+flipBeyond
}

// consider turns half-edge h if the angles across from it are too wide.
func (d *flipper) consider(h int) {
	t := int(d.twin[h])
	if t < 0 || !d.wide(h, t) {
		return
	}
	f, g := h/3, t/3
	hn, hp, tn, tp := mesh.Next(h), mesh.Prev(h), mesh.Next(t), mesh.Prev(t)
	a, b, c, e := d.tri[f][h%3], d.tri[g][t%3], d.tri[f][hp%3], d.tri[g][tp%3]
	if c == e || d.has(c, e) {
		return
	}
	// the two triangles in one plane: side h along x, c above, e below
	l, lca, lae := d.long[h], d.long[hp], d.long[tn]
	cx := (l*l + lca*lca - d.long[hn]*d.long[hn]) / (2 * l)
	ex := (l*l + lae*lae - d.long[tp]*d.long[tp]) / (2 * l)
	cy, ey := math.Sqrt(max(0, lca*lca-cx*cx)), -math.Sqrt(max(0, lae*lae-ex*ex))
	d.turned[ends(a, b)], d.turned[ends(c, e)] = false, true
	across := math.Hypot(cx-ex, cy-ey)
	type side struct {
		twin int32
		long float64
	}
	var old [4]side
	for i, k := range []int{hp, tn, tp, hn} {
		old[i] = side{d.twin[k], d.long[k]}
	}
	d.tri[f], d.tri[g] = [3]int32{c, a, e}, [3]int32{e, b, c}
	for i, k := range []int{3 * f, 3*f + 1, 3 * g, 3*g + 1} {
		d.twin[k], d.long[k] = old[i].twin, old[i].long
		if old[i].twin >= 0 {
			d.twin[old[i].twin] = int32(k)
		}
	}
	d.twin[3*f+2], d.twin[3*g+2] = int32(3*g+2), int32(3*f+2)
	d.long[3*f+2], d.long[3*g+2] = across, across
	for _, k := range []int{3 * f, 3*f + 1, 3 * g, 3*g + 1} {
		d.push(k)
	}
}

func ends(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }
