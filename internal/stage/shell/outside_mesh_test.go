package shell

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
)

// quads is a surface of squares with eight points each, four corners and then the
// middles of the sides, as a general-purpose solver's curved shell elements have.
// ours are triangles over the same points: four that cut the corners off, and two
// that share the rest. Every square's wall has its x along one direction.
type quads struct {
	at      []r3.Vec
	squares [][8]int32
	axis    []r3.Vec // of each square
	rim     []int32
	ours    *mesh.Mesh
}

// trianglesASquare is how many of ours lie over a square, those of the middle last.
const trianglesASquare = 6

// round is a plane grid like a coin: a square block of n by n, and rows of squares
// round it. block gives a point of the block at u, v from -1 to 1; ring one at side
// s from 0 to 4, from the block's corner (-1, -1) round by (1, -1), and at row r.
type round struct {
	n, rows int
	block   func(u, v float64) r3.Vec
	ring    func(s, r float64) r3.Vec
}

func (g round) mesh(along r3.Vec) *quads {
	q := &quads{}
	side := 2 * g.n
	block := map[[2]int]int32{}
	inner := func(i, j int) int32 {
		k, ok := block[[2]int{i, j}]
		if !ok {
			k = q.add(g.block(float64(i)/float64(g.n)-1, float64(j)/float64(g.n)-1))
			block[[2]int{i, j}] = k
		}
		return k
	}
	for j := 0; j < side; j += 2 {
		for i := 0; i < side; i += 2 {
			q.squares = append(q.squares, eight(inner, i, j))
		}
	}
	edge := func(s int) int32 {
		k := s % side
		return inner4(inner, s/side%4, k, side)
	}
	around := map[[2]int]int32{}
	outer := func(s, r int) int32 {
		if r == 0 {
			return edge(s)
		}
		key := [2]int{s % (4 * side), r}
		k, ok := around[key]
		if !ok {
			k = q.add(g.ring(float64(key[0])/float64(side), float64(r)/2))
			around[key] = k
			if r == 2*g.rows {
				q.rim = append(q.rim, k)
			}
		}
		return k
	}
	flipped := func(r, s int) int32 { return outer(s, r) }
	for r := 0; r < 2*g.rows; r += 2 {
		for s := 0; s < 4*side; s += 2 {
			q.squares = append(q.squares, eight(flipped, r, s))
		}
	}
	q.finish(along)
	return q
}

func inner4(inner func(i, j int) int32, quarter, k, side int) int32 {
	switch quarter {
	case 0:
		return inner(k, 0)
	case 1:
		return inner(side, k)
	case 2:
		return inner(side-k, side)
	}
	return inner(0, side-k)
}

func eight(at func(i, j int) int32, i, j int) [8]int32 {
	return [8]int32{at(i, j), at(i+2, j), at(i+2, j+2), at(i, j+2), at(i+1, j), at(i+2, j+1), at(i+1, j+2), at(i, j+1)}
}

func (q *quads) add(p r3.Vec) int32 {
	q.at = append(q.at, p)
	return int32(len(q.at) - 1)
}

// finish gives each square its direction, the given one laid into it, and cuts it.
func (q *quads) finish(along r3.Vec) {
	q.ours = &mesh.Mesh{Vertices: q.at}
	for k, s := range q.squares {
		n := q.normal(k)
		q.axis = append(q.axis, r3.Unit(r3.Sub(along, r3.Scale(r3.Dot(along, n), n))))
		for c := range 4 {
			q.ours.Triangles = append(q.ours.Triangles, [3]int32{s[c], s[4+c], s[4+(c+3)%4]})
		}
		q.ours.Triangles = append(q.ours.Triangles, [3]int32{s[4], s[5], s[7]}, [3]int32{s[5], s[6], s[7]})
	}
}

func (q *quads) normal(k int) r3.Vec {
	s := q.squares[k]
	return r3.Unit(r3.Cross(r3.Sub(q.at[s[5]], q.at[s[7]]), r3.Sub(q.at[s[6]], q.at[s[4]])))
}

// model is ours, clamped at the rim.
func (q *quads) model(sec Section) *Model {
	m := &Model{Mesh: q.ours, Sections: []Section{sec}, Held: make([]Hold, len(q.at)), Axis: make([]r3.Vec, len(q.ours.Triangles))}
	for f := range m.Axis {
		m.Axis[f] = q.axis[f/trianglesASquare]
	}
	for _, v := range q.rim {
		m.Held[v] = Clamped
	}
	return m
}

// coin is a grid of the unit circle, laid on a surface.
func coin(n, rows int, lift func(x, y float64) r3.Vec) *quads {
	const block = 0.4 // half the block's side
	return round{n, rows, func(u, v float64) r3.Vec { return lift(block*u, block*v) },
		func(s, row float64) r3.Vec {
			share, edge := row/float64(rows), squareEdge(s)
			sin, cos := math.Sincos(math.Pi * (s/2 - 0.75))
			return lift(block*(1-share)*edge.X+share*cos, block*(1-share)*edge.Y+share*sin)
		}}.mesh(xDir)
}

func disc(n, rows int, r float64) *quads {
	return coin(n, rows, func(x, y float64) r3.Vec { return r3.Vec{X: r * x, Y: r * y} })
}

// dome is a cap of a sphere of radius r, half an angle wide, its top upward.
func dome(n, rows int, r, half float64) *quads {
	return coin(n, rows, func(x, y float64) r3.Vec { // arcs from the top keep their length
		a, lon := half*math.Hypot(x, y), math.Atan2(y, x)
		return r3.Vec{X: r * math.Sin(a) * math.Cos(lon), Y: r * math.Sin(a) * math.Sin(lon), Z: r * math.Cos(a)}
	})
}

// squareEdge goes round the square of half side 1 from (-1, -1) in four sides.
func squareEdge(s float64) r3.Vec {
	k := math.Floor(s)
	along := 2*(s-k) - 1
	switch int(k) % 4 {
	case 0:
		return r3.Vec{X: along, Y: -1}
	case 1:
		return r3.Vec{X: 1, Y: along}
	case 2:
		return r3.Vec{X: -along, Y: 1}
	}
	return r3.Vec{X: -1, Y: -along}
}

// pan is an open box with rounded corners, its floor down: half its floor a by b to
// where its fillet begins, with corners of a radius there, a fillet, and walls of a
// draft up to a height. rows are those of squares round the floor, in the fillet and
// in the walls.
type pan struct {
	a, b, corner, fillet, draft, height float64
	rows                                [3]int
}

func (p pan) mesh(n int) *quads {
	const block = 0.6 // of the floor
	bend := math.Pi/2 - p.draft
	slant := (p.height - p.fillet*(1-math.Cos(bend))) / math.Sin(bend)
	return round{n, p.rows[0] + p.rows[1] + p.rows[2],
		func(u, v float64) r3.Vec { return r3.Vec{X: block * p.a * u, Y: block * p.b * v} },
		func(s, row float64) r3.Vec {
			if share := row / float64(p.rows[0]); share < 1 {
				e := squareEdge(s)
				return r3.Add(r3.Scale(1-share, r3.Vec{X: block * p.a * e.X, Y: block * p.b * e.Y}), r3.Scale(share, p.contour(s, 0)))
			}
			row -= float64(p.rows[0])
			turned := bend * math.Min(1, row/float64(p.rows[1]))
			up := slant * math.Max(0, row-float64(p.rows[1])) / float64(p.rows[2])
			at := p.contour(s, p.fillet*math.Sin(turned)+up*math.Cos(bend))
			at.Z = p.fillet*(1-math.Cos(turned)) + up*math.Sin(bend)
			return at
		}}.mesh(xDir)
}

// contour goes round the floor's outline grown by out. A quarter of each side at
// either end is half a corner.
func (p pan) contour(s, out float64) r3.Vec {
	k := math.Floor(s)
	t := s - k
	half := [2]float64{p.a, p.b}
	if int(k)%2 == 1 {
		half = [2]float64{p.b, p.a}
	}
	r := p.corner + out
	straight := half[0] - p.corner
	var x, y float64 // along the side and outward from it
	switch {
	case t < 0.25:
		a := (1 - t/0.25) * math.Pi / 4
		x, y = -straight-r*math.Sin(a), half[1]-p.corner+r*math.Cos(a)
	case t > 0.75:
		a := (t - 0.75) / 0.25 * math.Pi / 4
		x, y = straight+r*math.Sin(a), half[1]-p.corner+r*math.Cos(a)
	default:
		x, y = straight*(4*t-2), half[1]+out
	}
	switch int(k) % 4 {
	case 0:
		return r3.Vec{X: x, Y: -y}
	case 1:
		return r3.Vec{X: y, Y: x}
	case 2:
		return r3.Vec{X: -x, Y: y}
	}
	return r3.Vec{X: -y, Y: -x}
}
