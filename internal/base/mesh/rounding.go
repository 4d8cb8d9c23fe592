package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Rounding tells how straightest lines turn on the smooth surface that triangles
// stand for. The triangles have all their curvature in their corners, so that a
// line between two rows of them feels none until it crosses a row. With a normal
// at each corner, that changes evenly between them, curvature is spread over the
// triangles: what a line turns by between two places of a triangle is the area
// that the triangle's normal and the normals there enclose on a ball of radius 1,
// and likewise, from triangle to triangle, their two normals and that of the place
// between. On flat ground, and where lines of the mesh follow a cylinder or a
// cone, that is nothing; the whole curvature is what it was.
//
// Across a crease normals jump, and curvature stays where it is.
//
// Source: Gauss's map of the normals.
type Rounding struct {
	in   [][3]float64 // by triangle: areas with two corners, opposite to each
	over []float64    // rad, over each half-edge at its start, into the other triangle
	at   []r3.Vec     // normals, by corner
}

// Rounded spreads the curvature of a mesh whose edges are those that bend by more
// than crease, rad. Triangles from part on are a strip that goes on beyond the
// surface; there is no curvature in it.
func (t *Topology) Rounded(crease float64, part int) *Rounding {
	faces := t.Mesh.FaceNormals()
	n := normals{t: t, faces: faces, at: make([]r3.Vec, len(t.Twin)), smooth: math.Cos(crease), part: part}
	n.inside()
	n.atRim()
	n.beyond()
	r := &Rounding{in: make([][3]float64, len(faces)), over: make([]float64, len(t.Twin)), at: n.at}
	for f, up := range faces {
		for k := range 3 {
			r.in[f][k] = r3.Dot(up, r3.Cross(n.at[3*f+(k+1)%3], n.at[3*f+(k+2)%3])) / 2
		}
	}
	for h, g := range t.Twin {
		if g < 0 {
			continue
		}
		a, b := n.at[h], n.at[Next(int(g))] // the same corner, seen from either side
		r.over[h] = OnBall(faces[h/3], a, b) + OnBall(faces[h/3], b, faces[g/3])
	}
	return r
}

// Normal returns the normal of the smooth surface at a place.
func (r *Rounding) Normal(p Point) (up r3.Vec) {
	for k, b := range p.Bary {
		up = r3.Add(up, r3.Scale(b, r.at[3*p.Face+k]))
	}
	return unit(up)
}

// OnBall returns the area of the triangle of three unit vectors on the ball,
// positive where they turn left.
func OnBall(a, b, c r3.Vec) float64 {
	return 2 * math.Atan2(r3.Dot(a, r3.Cross(b, c)), 1+r3.Dot(a, b)+r3.Dot(b, c)+r3.Dot(c, a))
}

// within returns what a line turns by between two places of triangle f, rad to
// the left.
func (r *Rounding) within(f int, a, b [3]float64) float64 {
	d := &r.in[f]
	return d[0]*(a[1]*b[2]-a[2]*b[1]) + d[1]*(a[2]*b[0]-a[0]*b[2]) + d[2]*(a[0]*b[1]-a[1]*b[0])
}

// across returns what a line turns by over half-edge h, at a share of the way from
// its start, into the triangle of its twin.
func (r *Rounding) across(h, twin int, share float64) float64 {
	return (1-share)*r.over[h] - share*r.over[twin]
}
