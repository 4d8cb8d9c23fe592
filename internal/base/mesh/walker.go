package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// rates returns how fast each weight grows along the direction, 1/m.
func (w *walker) rates() [3]float64 {
	a, b, c := w.t.Mesh.Corners(w.face)
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	s := r3.Norm2(n)
	return [3]float64{r3.Dot(r3.Cross(n, r3.Sub(c, b)), w.dir) / s,
		r3.Dot(r3.Cross(n, r3.Sub(a, c)), w.dir) / s,
		r3.Dot(r3.Cross(n, r3.Sub(b, a)), w.dir) / s}
}

// follow goes from triangle to triangle until the length or the surface ends.
func (w *walker) follow(length float64) (Line, error) {
	limit := 1000 + 100*len(w.t.Mesh.Triangles)
	for step := 0; ; step++ {
		if step == limit {
			return w.line, &fault.NoSolution{What: "a straightest line on the mesh", Steps: step, Residual: length - w.line.Length, Do: "clean the mesh: triangles may have no area"}
		}
		side, reach := w.exit()
		bend := w.bend(min(reach, length-w.line.Length)) / 2
		if bend != 0 {
			w.turn(bend)
			side, reach = w.exit()
		}
		if side < 0 {
			return w.line, &fault.Input{Field: "mesh", What: fmt.Sprintf("triangle %d has no area to follow a line in", w.face), Do: "clean the mesh first"}
		}
		if left := length - w.line.Length; reach >= left {
			w.advance(-1, left)
			w.ends(bend)
			return w.line, nil
		}
		w.advance(side, reach)
		w.ends(bend)
		if !w.cross(side) {
			w.line.AtRim = true
			return w.line, nil
		}
	}
}

// exit returns the corner whose weight is first to reach 0, and how far off
// that is, m.
func (w *walker) exit() (side int, reach float64) {
	side, reach = -1, math.Inf(1)
	for k, rate := range w.rates() {
		if rate < 0 && !w.entry[k] {
			if d := -w.bary[k] / rate; d < reach {
				side, reach = k, d
			}
		}
	}
	return side, reach
}

// bend returns what the line turns by over the next part of its way, rad to the
// left. Along a side it does not: as much is on either hand.
func (w *walker) bend(way float64) float64 {
	if w.round == nil || math.IsInf(way, 1) {
		return 0
	}
	to, along := w.bary, false
	for k, rate := range w.rates() {
		to[k] += way * rate
		along = along || w.bary[k] < cornerWeight && to[k] < cornerWeight
	}
	if along {
		return 0
	}
	return w.round.within(w.face, w.bary, to)
}

// ends turns the head at the end of a piece by the half that is left, and notes
// it there.
func (w *walker) ends(half float64) {
	if half == 0 {
		return
	}
	if n := len(w.line.Pieces); n > 0 {
		w.line.Pieces[n-1].Bend = 2 * half
	}
	w.turn(half)
}

// turn turns the head to the left, rad.
func (w *walker) turn(angle float64) {
	if angle != 0 {
		sin, cos := math.Sincos(angle)
		w.dir = r3.Add(r3.Scale(cos, w.dir), r3.Scale(sin, r3.Cross(w.t.Mesh.FaceNormal(w.face), w.dir)))
	}
}

// advance moves the head by the distance; the weight of corner zero, if any,
// is then 0.
func (w *walker) advance(zero int, distance float64) {
	p := Piece{Face: w.face, From: w.bary, Start: w.line.Length, Length: distance, Dir: w.dir}
	var sum float64
	for k, rate := range w.rates() {
		w.bary[k] = math.Max(0, w.bary[k]+distance*rate)
		if k == zero {
			w.bary[k] = 0
		}
		sum += w.bary[k]
	}
	for k := range w.bary {
		w.bary[k] /= sum
	}
	p.To = w.bary
	w.line.Length += distance
	if distance > 0 || len(w.line.Pieces) == 0 {
		w.line.Pieces = append(w.line.Pieces, p)
	}
}

// cross goes over the side opposite to corner k, or through a corner of it. It
// returns false at the rim.
func (w *walker) cross(k int) bool {
	i, j := (k+1)%3, (k+2)%3
	switch {
	case w.bary[i] < cornerWeight:
		return w.throughCorner(j)
	case w.bary[j] < cornerWeight:
		return w.throughCorner(i)
	}
	twin := int(w.t.Twin[3*w.face+i])
	if twin < 0 {
		return false
	}
	m := w.t.Mesh
	if w.round != nil {
		w.turn(w.round.across(3*w.face+i, twin, w.bary[j]))
	}
	e := unit(r3.Sub(m.Vertices[m.Triangles[w.face][j]], m.Vertices[m.Triangles[w.face][i]]))
	out := r3.Cross(e, m.FaceNormal(w.face))
	g := twin / 3
	in := r3.Cross(e, m.FaceNormal(g))
	dir := r3.Add(r3.Scale(r3.Dot(w.dir, e), e), r3.Scale(math.Max(0, r3.Dot(w.dir, out)), in))
	bi, bj := w.bary[i], w.bary[j]
	w.face, w.dir = g, unit(dir)
	w.bary, w.entry = [3]float64{}, [3]bool{}
	w.bary[twin%3], w.bary[(twin+1)%3] = bj, bi // the twin runs from j to i
	w.entry[(twin+2)%3] = true
	return true
}

// alongSide is the angle, rad, within which a line follows a side, in the triangle
// on its left.
const alongSide = 1e-9

// throughCorner turns about corner k: with θ the sum of the angles there, the
// line goes on at θ/2 from where it came, on either side.
func (w *walker) throughCorner(k int) bool {
	first := 3*w.face + k // runs away from the corner
	half, sum := []int{first}, w.t.cornerAngle(first)
	for h := int(w.t.Twin[Prev(first)]); h != first; h = int(w.t.Twin[Prev(h)]) {
		if h < 0 || len(half) > len(w.t.VertexFaces(int(w.t.From(first)))) {
			return false
		}
		half = append(half, h)
		sum += w.t.cornerAngle(h)
	}
	m := w.t.Mesh
	back := r3.Scale(-1, w.dir)
	a, b := m.Vertices[w.t.From(first)], m.Vertices[w.t.To(first)]
	came := angleBetween(r3.Sub(b, a), back)
	turn := math.Mod(came+sum/2, sum)
	if turn > sum-alongSide {
		turn = 0
	}
	for i, h := range half {
		angle := w.t.cornerAngle(h)
		if turn > angle-alongSide && i < len(half)-1 {
			turn = math.Max(0, turn-angle)
			continue
		}
		w.leave(h, math.Min(turn, angle))
		break
	}
	return true
}

// leave sets the head at the start of half-edge h, at an angle from it.
func (w *walker) leave(h int, angle float64) {
	m := w.t.Mesh
	e := unit(r3.Sub(m.Vertices[w.t.To(h)], m.Vertices[w.t.From(h)]))
	n := m.FaceNormal(h / 3)
	sin, cos := math.Sincos(angle)
	w.face = h / 3
	w.dir = r3.Add(r3.Scale(cos, e), r3.Scale(sin, r3.Cross(n, e)))
	w.bary, w.entry = [3]float64{}, [3]bool{true, true, true}
	w.bary[h%3], w.entry[h%3] = 1, false
}

// cornerAngle returns the angle of h's triangle at the start of h, rad.
func (t *Topology) cornerAngle(h int) float64 {
	m := t.Mesh
	a := m.Vertices[t.From(h)]
	return angleBetween(r3.Sub(m.Vertices[t.To(h)], a), r3.Sub(m.Vertices[t.From(Prev(h))], a))
}
