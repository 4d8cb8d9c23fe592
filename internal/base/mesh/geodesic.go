package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// Line is a straightest line on the surface: straight pieces, one a triangle.
type Line struct {
	Pieces []Piece
	Length float64 // m
	AtRim  bool    // it ended at the rim before its full length
}

// Piece is the part of a line inside one triangle.
type Piece struct {
	Face     int
	From, To [3]float64 // weights of the corners at its ends
	Start    float64    // arc length at From, m
	Length   float64    // m
	Dir      r3.Vec     // unit vector along it
	Bend     float64    // rad to the left, of a line that is rounded, spread about Dir
}

// Station is a place on a line.
type Station struct {
	Point
	At  r3.Vec
	Dir r3.Vec  // unit vector along the line
	Arc float64 // length from the start, m
}

// cornerWeight is how near a line comes to a corner, as the weight of the other
// end of the side it crosses, to count as running through the corner.
const cornerWeight = 1e-9

// Trace follows the straightest line from a place along a direction for a
// length, m. Across a side it goes on as if both triangles were unfolded into a
// plane; through a corner it leaves the same angle on both sides, half of what
// is there; along a side it follows the side. At the rim it ends.
//
// The direction is laid into the surface; it is refused where it stands
// straight up on it. A mesh has its curvature in its corners only, so on a smooth
// surface each triangle of size h turns the line wrongly by about h²; the turns
// are of either sign, and over 1/h triangles the line misses the geodesic by
// about the power 3/2 of h.
//
// Source: [polthier1998].
func (t *Topology) Trace(start Point, dir r3.Vec, length float64) (Line, error) {
	return t.trace(start, dir, length, nil)
}

func (t *Topology) trace(start Point, dir r3.Vec, length float64, round *Rounding) (Line, error) {
	if start.Face < 0 || start.Face >= len(t.Mesh.Triangles) {
		return Line{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("a line starts in triangle %d of %d", start.Face, len(t.Mesh.Triangles))}
	}
	if !(length >= 0) || math.IsInf(length, 0) {
		return Line{}, &fault.Input{Field: "mesh", What: fmt.Sprintf("a line of %g m can't be followed", length)}
	}
	w, err := t.newWalker(start, dir)
	if err != nil {
		return Line{}, err
	}
	if w.round = round; w.line.AtRim {
		w.advance(-1, 0)
		return w.line, nil
	}
	return w.follow(length)
}

// walker is a line's head: a place, and a unit vector in the triangle's plane.
type walker struct {
	t     *Topology
	face  int
	bary  [3]float64
	dir   r3.Vec
	entry [3]bool // weights of the sides it came in by: it can't leave there
	round *Rounding
	line  Line
}

// newWalker lays the direction into the triangle; from a side or a corner into
// that of the triangles there that it points into most. What lies in its triangle
// and leaves it over the side that it starts on goes on as any line does there. Round a sharp corner a
// direction may point into none of them; it then follows the nearest side, or is
// refused as standing up on the corner. From a rim it leaves the surface at once.
func (t *Topology) newWalker(start Point, dir r3.Vec) (*walker, error) {
	best, room := (*walker)(nil), math.Inf(-1)
	if w := t.overSide(start, dir); w != nil {
		return w, nil
	}
	for _, p := range t.same(start) {
		n := t.Mesh.FaceNormal(p.Face)
		d := r3.Sub(dir, r3.Scale(r3.Dot(dir, n), n))
		if !(r3.Norm(d) > 1e-9*r3.Norm(dir)) || n == (r3.Vec{}) {
			continue
		}
		w := &walker{t: t, face: p.Face, bary: p.Bary, dir: unit(d)}
		if least := w.room(); best == nil || least > room {
			best, room = w, least
		}
	}
	if best != nil {
		best.line.AtRim = room < -1e-6 && t.touchesRim(start)
		best.settle()
		if best.line.AtRim || best.room() >= -1e-9 {
			return best, nil
		}
	}
	return nil, &fault.Input{Field: "mesh", What: "the direction of a line stands straight up on the surface", Do: "give a direction that lies along the surface"}
}

// overSide returns the head of a line that leaves its triangle at once over the
// side that it starts on, beyond that side; nil for any other line.
func (t *Topology) overSide(start Point, dir r3.Vec) *walker {
	n, side := t.Mesh.FaceNormal(start.Face), -1
	if n == (r3.Vec{}) || math.Abs(r3.Dot(dir, n)) > 1e-9*r3.Norm(dir) {
		return nil
	}
	for k, b := range start.Bary {
		if b <= cornerWeight {
			if side >= 0 {
				return nil
			}
			side = k
		}
	}
	w := &walker{t: t, face: start.Face, bary: start.Bary, dir: unit(dir)}
	if side < 0 || w.rates()[side] >= 0 || !w.cross(side) {
		return nil
	}
	return w
}

// room returns the least rate, as a share of all, of the weights that are zero:
// negative where the direction points out of the triangle.
func (w *walker) room() float64 {
	least, rate := math.Inf(1), w.rates()
	all := math.Sqrt(rate[0]*rate[0] + rate[1]*rate[1] + rate[2]*rate[2])
	for k, b := range w.bary {
		if b <= cornerWeight {
			least = math.Min(least, rate[k]/all)
		}
	}
	return least
}

// settle sets small weights to zero, bars the sides there as ways out, and lays
// a direction that points out over one along it.
func (w *walker) settle() {
	for k, b := range w.bary {
		if b > cornerWeight {
			continue
		}
		w.bary[k], w.entry[k] = 0, true
		if w.rates()[k] < 0 {
			tri := w.t.Mesh.Triangles[w.face]
			e := r3.Sub(w.t.Mesh.Vertices[tri[(k+2)%3]], w.t.Mesh.Vertices[tri[(k+1)%3]])
			w.dir = unit(r3.Scale(r3.Dot(w.dir, e), e))
		}
	}
}

// touchesRim tells whether a side or corner that p lies on is at the rim.
func (t *Topology) touchesRim(p Point) bool {
	for _, q := range t.same(p) {
		for k := range 3 {
			h := 3*q.Face + k
			touches := q.Bary[(k+2)%3] <= cornerWeight && (q.Bary[k] > cornerWeight || q.Bary[(k+1)%3] > cornerWeight)
			if touches && t.Twin[h] < 0 {
				return true
			}
		}
	}
	return false
}

// same lists the triangles that a place belongs to, with its weights in each.
func (t *Topology) same(p Point) []Point {
	out := []Point{p}
	tri := t.Mesh.Triangles[p.Face]
	for _, v := range tri {
		for _, g := range t.VertexFaces(int(v)) {
			if q, ok := t.carry(p, int(g)); ok && !hasFace(out, q.Face) {
				out = append(out, q)
			}
		}
	}
	return out
}

func hasFace(list []Point, f int) bool {
	for _, p := range list {
		if p.Face == f {
			return true
		}
	}
	return false
}

// carry writes p in terms of triangle g, if all its weight is on corners that g
// has too.
func (t *Topology) carry(p Point, g int) (Point, bool) {
	q := Point{Face: g}
	for k, v := range t.Mesh.Triangles[p.Face] {
		if p.Bary[k] <= cornerWeight {
			continue
		}
		found := false
		for j, u := range t.Mesh.Triangles[g] {
			if u == v {
				q.Bary[j], found = p.Bary[k], true
			}
		}
		if !found {
			return q, false
		}
	}
	return q, true
}

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
