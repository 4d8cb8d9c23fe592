package flat

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// face is what a closed line that crosses itself parts from the rest of the plane:
// its border, which stretches of the line lie along it, and how often the line goes
// round it.
type face struct {
	border  geom.Polygon
	along   []int // pieces of the line, as they were given
	winding int
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

// tangle is a closed line that crosses itself, cut into stretches at its crossings.
// Stretch k runs from the k-th visit to a crossing to the next; taken forward it is
// half 2k, backward half 2k+1.
type tangle struct {
	line   []r2.Vec
	found  []crossing
	visits []visit  // in the order in which the line comes by
	at     [][2]int // where among the visits a crossing's two are
	faces  []face
	of     []int // the face on the left of each half
}

// visit is one of the two times that the line comes by a crossing.
type visit struct{ crossing, which int }

// tangleOf cuts a line into faces. From each stretch, either way, one goes on by the
// sharpest turn to the left until the way closes: that is one face. The winding
// number is one more on the left of a stretch than on its right, and none outside.
func tangleOf(ring []border) *tangle {
	t := &tangle{line: make([]r2.Vec, len(ring))}
	for i, e := range ring {
		sin, cos := math.Sincos(float64(i) * 2.399963) // the golden angle spreads them evenly
		t.line[i] = r2.Add(e.a, r2.Vec{X: hair * cos, Y: hair * sin})
	}
	t.found = crossings(t.line)
	for i := range t.found {
		t.visits = append(t.visits, visit{i, 0}, visit{i, 1})
	}
	slices.SortFunc(t.visits, func(a, b visit) int {
		x, y := t.found[a.crossing], t.found[b.crossing]
		return cmp.Or(cmp.Compare(x.piece[a.which], y.piece[b.which]), cmp.Compare(x.t[a.which], y.t[b.which]))
	})
	t.at = make([][2]int, len(t.found))
	for k, v := range t.visits {
		t.at[v.crossing][v.which] = k
	}
	if len(t.visits) == 0 {
		t.faces = []face{{border: t.line, winding: 1}}
		return t
	}
	t.of = make([]int, 2*len(t.visits))
	for h := range t.of {
		t.of[h] = -1
	}
	for first := range t.of {
		if t.of[first] >= 0 {
			continue
		}
		var f face
		for h := first; t.of[h] < 0; h = t.leftmost(h) {
			t.of[h] = len(t.faces)
			points, along := t.stretch(h)
			f.border, f.along = append(f.border, points...), append(f.along, along...)
		}
		t.faces = append(t.faces, f)
	}
	t.wind()
	return t
}

// end returns where among the visits a half ends.
func (t *tangle) end(half int) int {
	if half%2 == 1 {
		return half / 2
	}
	return (half/2 + 1) % len(t.visits)
}

// from returns the halves that leave a visit, forward and backward.
func (t *tangle) from(visit int) (forward, backward int) {
	return 2 * visit, 2*((visit+len(t.visits)-1)%len(t.visits)) + 1
}

// leftmost returns the half that leaves the end of another by the sharpest turn to
// the left: along the other line through that crossing.
func (t *tangle) leftmost(half int) int {
	v := t.visits[t.end(half)]
	forward, backward := t.from(t.at[v.crossing][1-v.which])
	if left := t.found[v.crossing].left == (v.which == 0); left == (half%2 == 0) {
		return forward
	}
	return backward
}

// wind numbers the faces from the outer one, which alone is travelled clockwise.
func (t *tangle) wind() {
	outer := 0
	for i := range t.faces {
		if t.faces[i].border.Area() < t.faces[outer].border.Area() {
			outer = i
		}
	}
	known := make([]bool, len(t.faces))
	known[outer] = true
	for changed := true; changed; {
		changed = false
		for k := 0; k < len(t.of); k += 2 {
			left, right := t.of[k], t.of[k+1]
			if known[right] && !known[left] {
				t.faces[left].winding, known[left], changed = t.faces[right].winding+1, true, true
			} else if known[left] && !known[right] {
				t.faces[right].winding, known[right], changed = t.faces[left].winding-1, true, true
			}
		}
	}
}

// rings returns the borders of what lies where a winding number counts as in, those
// that enclose it, the largest first; its holes are left out. At a crossing of two
// lines the windings about it are k, k+1, k+2 and k+1, so that a border between one
// number and the next passes there once at most.
func (t *tangle) rings(in func(winding int) bool) (out []geom.Polygon) {
	borders := func(h int) bool { return in(t.faces[t.of[h]].winding) && !in(t.faces[t.of[h^1]].winding) }
	done := make([]bool, len(t.of))
	for first := range t.of {
		if done[first] || !borders(first) {
			continue
		}
		var ring geom.Polygon
		for h := first; !done[h]; {
			done[h] = true
			points, _ := t.stretch(h)
			ring = append(ring, points...)
			v := t.visits[t.end(h)]
			for _, which := range [...]int{0, 1} {
				forward, backward := t.from(t.at[v.crossing][which])
				if borders(forward) {
					h = forward
				} else if borders(backward) {
					h = backward
				}
			}
		}
		if ring = ring.Clean(1e-9); ring.Area() > speck {
			out = append(out, ring)
		}
	}
	slices.SortStableFunc(out, func(a, b geom.Polygon) int { return cmp.Compare(b.Area(), a.Area()) })
	return out
}

// stretch returns the points of a half, the last left out, and the pieces of the
// line that it runs along.
func (t *tangle) stretch(half int) (points []r2.Vec, along []int) {
	m, n := len(t.visits), len(t.line)
	from, to := t.visits[half/2], t.visits[(half/2+1)%m]
	i, j := t.found[from.crossing].piece[from.which], t.found[to.crossing].piece[to.which]
	points, along = []r2.Vec{t.found[from.crossing].at}, []int{i}
	steps := (j - i + n) % n
	if steps == 0 && t.found[to.crossing].t[to.which] <= t.found[from.crossing].t[from.which] {
		steps = n
	}
	for k := 1; k <= steps; k++ {
		points, along = append(points, t.line[(i+k)%n]), append(along, (i+k)%n)
	}
	points = append(points, t.found[to.crossing].at)
	if half%2 == 1 {
		slices.Reverse(points)
	}
	return points[:len(points)-1], along
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
