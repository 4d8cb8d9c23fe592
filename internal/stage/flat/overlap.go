package flat

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// speck is the area below which what a rim encloses wrongly is a slip of the flat
// map, not cloth, m².
const speck = 2e-6

// face is what a closed line that crosses itself parts from the rest of the plane:
// its border, which stretches of the line lie along it, and how often the line goes
// round it.
type face struct {
	border  geom.Polygon
	along   []int // pieces of the line, as they were given
	winding int
}

// untangled resolves a rim that may cross itself. Where the two sides of one slit
// overlap in the flat, the cloth there is counted once, and the overlap is returned
// with its slit; ok is false where the rim overlaps in any other way.
func untangled(ring []border) (whole geom.Region, doubled []overlap, ok bool) {
	outer := ringOf(ring)
	if outer.Valid() == nil {
		return geom.Region{Outer: outer}, nil, true
	}
	var parts []geom.Region
	for _, f := range faces(ring) {
		area := math.Abs(f.border.Area())
		if area < 1e-12 {
			continue
		}
		if f.winding > 0 && f.border.Valid() == nil {
			parts = append(parts, f.border.Region())
		}
		if area < speck || f.winding == 0 || f.winding == 1 {
			continue
		}
		slit, between := f.betweenSides(ring)
		if f.winding != 2 || !between {
			return geom.Region{Outer: outer}, nil, false
		}
		doubled = append(doubled, overlap{slit, f.border})
	}
	all, err := geom.Union(parts...)
	if err != nil || len(all) == 0 {
		return geom.Region{Outer: outer}, nil, false
	}
	return largest(all), doubled, true
}

// overlap is where the two sides of a slit overlap in the flat.
type overlap struct {
	slit int
	area geom.Polygon
}

func ringOf(ring []border) geom.Polygon {
	out := make(geom.Polygon, len(ring))
	for i, e := range ring {
		out[i] = e.a
	}
	return out.Clean(1e-9)
}

// betweenSides returns the slit of which both sides border the face.
func (f face) betweenSides(ring []border) (slit int, ok bool) {
	seen := map[side]bool{}
	for _, i := range f.along {
		seen[ring[i].side] = true
	}
	for _, i := range f.along {
		if s := ring[i].slit; s >= 0 && seen[side{s, true}] && seen[side{s, false}] {
			return s, true
		}
	}
	return 0, false
}

// hair is how far corners of a line are moved, m, so that no three of its pieces
// meet in one point and none ends on another.
const hair = 1e-10

// crossing is a place where two pieces of a line cross: at share t of each, and
// whether the second goes to the left of the first.
type crossing struct {
	piece [2]int
	t     [2]float64
	left  bool
	at    r2.Vec
}

// faces returns what a closed line encloses. At every crossing the line is cut into
// stretches; from each stretch, either way, one goes on by the sharpest turn to the
// left until the way closes: that is one face. The winding number is one more on
// the left of a stretch than on its right, and none outside.
func faces(ring []border) []face {
	n := len(ring)
	line := make([]r2.Vec, n)
	for i, e := range ring {
		sin, cos := math.Sincos(float64(i) * 2.399963) // the golden angle spreads them evenly
		line[i] = r2.Add(e.a, r2.Vec{X: hair * cos, Y: hair * sin})
	}
	found := crossings(line)
	// visits to crossings in the order in which the line comes by
	type visit struct{ crossing, which int }
	var order []visit
	for i := range found {
		order = append(order, visit{i, 0}, visit{i, 1})
	}
	place := func(v visit) (int, float64) { return found[v.crossing].piece[v.which], found[v.crossing].t[v.which] }
	slices.SortFunc(order, func(a, b visit) int {
		pa, ta := place(a)
		pb, tb := place(b)
		return cmp.Or(cmp.Compare(pa, pb), cmp.Compare(ta, tb))
	})
	m := len(order)
	if m == 0 {
		return []face{{border: line, winding: 1}}
	}
	at := make([][2]int, len(found)) // where in the order each crossing is visited
	for k, v := range order {
		at[v.crossing][v.which] = k
	}
	// stretch k runs from visit k to visit k+1; forward it is 2k, backward 2k+1
	after := func(half int) int {
		end := half / 2
		if half%2 == 0 {
			end = (end + 1) % m
		}
		v := order[end]
		other := at[v.crossing][1-v.which]
		left := found[v.crossing].left == (v.which == 0) // the other line goes to the left of this one
		if left == (half%2 == 0) {
			return 2 * other // forward from the crossing
		}
		return 2*((other+m-1)%m) + 1
	}
	of := make([]int, 2*m)
	for i := range of {
		of[i] = -1
	}
	var out []face
	for first := range of {
		if of[first] >= 0 {
			continue
		}
		var f face
		for h := first; of[h] < 0; h = after(h) {
			of[h] = len(out)
			from, to := order[h/2], order[(h/2+1)%m]
			points, along := stretch(line, found, from.crossing, from.which, to.crossing, to.which)
			if h%2 == 1 {
				slices.Reverse(points)
			}
			f.border = append(f.border, points[:len(points)-1]...)
			f.along = append(f.along, along...)
		}
		out = append(out, f)
	}
	wind(out, of)
	return out
}

// wind numbers the faces from the outer one, which alone is travelled clockwise.
// of holds by stretch, forward and backward in turn, the face on its left.
func wind(out []face, of []int) {
	outer := 0
	for i := range out {
		if out[i].border.Area() < out[outer].border.Area() {
			outer = i
		}
	}
	known := make([]bool, len(out))
	known[outer] = true
	for changed := true; changed; {
		changed = false
		for k := 0; k < len(of); k += 2 {
			left, right := of[k], of[k+1]
			if known[right] && !known[left] {
				out[left].winding, known[left], changed = out[right].winding+1, true, true
			} else if known[left] && !known[right] {
				out[right].winding, known[right], changed = out[left].winding-1, true, true
			}
		}
	}
}

// stretch returns the line from one visit to a crossing to another, and the pieces
// that it runs along.
func stretch(line []r2.Vec, found []crossing, from, a, to, b int) (points []r2.Vec, along []int) {
	n := len(line)
	i, j := found[from].piece[a], found[to].piece[b]
	points, along = []r2.Vec{found[from].at}, []int{i}
	steps := (j - i + n) % n
	if steps == 0 && found[to].t[b] <= found[from].t[a] {
		steps = n
	}
	for k := 1; k <= steps; k++ {
		points, along = append(points, line[(i+k)%n]), append(along, (i+k)%n)
	}
	return append(points, found[to].at), along
}

// crossings returns where pieces of a closed line cross.
func crossings(line []r2.Vec) (out []crossing) {
	n := len(line)
	for i := range n {
		a, b := line[i], line[(i+1)%n]
		low, high := min(a.X, b.X), max(a.X, b.X)
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			c, d := line[j], line[(j+1)%n]
			if max(c.X, d.X) < low || min(c.X, d.X) > high {
				continue
			}
			u, v, w := r2.Sub(b, a), r2.Sub(d, c), r2.Sub(c, a)
			det := r2.Cross(u, v)
			if det == 0 {
				continue
			}
			s, t := r2.Cross(w, v)/det, r2.Cross(w, u)/det
			if s >= 0 && s < 1 && t >= 0 && t < 1 {
				out = append(out, crossing{[2]int{i, j}, [2]float64{s, t}, det > 0, r2.Add(a, r2.Scale(s, u))})
			}
		}
	}
	return out
}
