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
