package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// offRim is how far a seed at the rim is taken into its triangle, as a share of
// the way to the middle, so that all four generators have somewhere to begin.
const offRim = 1e-3

// ray is where a generator begins: a triangle that holds the seed, and a unit
// vector in its plane.
type ray struct {
	mesh.Point
	dir r3.Vec
}

// fourRays returns the rays of the generators: along the warp and at each
// quarter of the whole angle that the surface has round the seed, which at a
// vertex is a little less than 360° on a dome and more on a saddle.
func (s *surface) fourRays(seed mesh.Point, warp r3.Vec) (rays [4]ray, err error) {
	if s.atRim(seed) {
		for k := range seed.Bary {
			seed.Bary[k] += offRim * (1.0/3 - seed.Bary[k])
		}
	}
	first, err := s.topology.Trace(seed, warp, s.edge*offRim)
	if err != nil {
		return rays, &fault.Input{Field: "plies.warp", What: "the warp can't start at the seed: " + err.Error(), Do: "give a direction along the surface there"}
	}
	p := first.Pieces[0]
	rays[0] = ray{mesh.Point{Face: p.Face, Bary: p.From}, p.Dir}
	corner, side := -1, -1 // of the triangle, that the seed lies on
	for k, b := range p.From {
		if b > 1-onCorner {
			corner = k
		} else if b < onCorner {
			side = k
		}
	}
	switch {
	case corner >= 0:
		rays[0] = s.fromCorner(3*p.Face+corner, warp)
		for k, b := range rays[0].Bary {
			if b == 1 {
				corner = k
			}
		}
	case side >= 0:
		rays[0] = s.fromSide(rays[0], side, warp)
	}
	for q := 1; q < 4; q++ {
		if corner >= 0 {
			rays[q] = s.aroundCorner(3*rays[0].Face+corner, rays[0].dir, float64(q)/4)
		} else {
			sin, cos := math.Sincos(float64(q) * math.Pi / 2)
			d := rays[0].dir
			rays[q] = ray{rays[0].Point, r3.Add(r3.Scale(cos, d), r3.Scale(sin, r3.Cross(s.normal[rays[0].Face], d)))}
			if side >= 0 {
				rays[q] = s.overSide(rays[q], side)
			}
		}
	}
	return rays, nil
}

func (s *surface) atRim(p mesh.Point) bool {
	for k, b := range p.Bary {
		i := (k + 1) % 3
		if b < onCorner && s.topology.Twin[3*p.Face+i] < 0 {
			return true
		}
	}
	_, closed := s.fan(3*p.Face + largest(p.Bary))
	return p.Bary[largest(p.Bary)] > 1-onCorner && !closed
}

func largest(b [3]float64) int {
	k := 0
	for i := range b {
		if b[i] > b[k] {
			k = i
		}
	}
	return k
}

// fan lists the half-edges away from the start of h, turning left from h on,
// and tells whether they go all the way round.
func (s *surface) fan(h int) (half []int, closed bool) {
	half = []int{h}
	for g := int(s.topology.Twin[mesh.Prev(h)]); g != h; g = int(s.topology.Twin[mesh.Prev(g)]) {
		if g < 0 || len(half) > len(s.Triangles) {
			return half, false
		}
		half = append(half, g)
	}
	return half, true
}

// fromCorner lays a direction into the surface at a vertex, by the angles that
// the sides there make in the plane of the mean normal. A warp along a line of
// the mesh that mirrors it stays on that line so; laid into either triangle
// beside it, it would leave it, and pass all its vertices on one hand.
func (s *surface) fromCorner(h int, dir r3.Vec) ray {
	half, _ := s.fan(h)
	var normal r3.Vec
	for _, g := range half {
		normal = r3.Add(normal, r3.Scale(s.Angles(g / 3)[g%3], s.normal[g/3]))
	}
	dir = level(dir, normal)
	best, share := -1, 0.0
	for i, g := range half {
		a, b := level(s.along(g), normal), level(s.along(half[(i+1)%len(half)]), normal)
		wedge, from := bearing(a, b, normal), bearing(a, dir, normal)
		if best < 0 || from < wedge {
			best, share = g, min(1, from/wedge)
		}
		if from < wedge {
			break
		}
	}
	angle := s.Angles(best / 3)[best%3] * share
	sin, cos := math.Sincos(angle)
	e := s.along(best)
	r := ray{mesh.Point{Face: best / 3}, r3.Add(r3.Scale(cos, e), r3.Scale(sin, r3.Cross(s.normal[best/3], e)))}
	r.Bary[best%3] = 1
	return r
}

// bearing returns the angle from a to b, to the left about the normal, 0 to 2π;
// what is nearly 2π is 0.
func bearing(a, b, normal r3.Vec) float64 {
	n := r3.Norm(normal)
	if n == 0 {
		return 0
	}
	x := math.Atan2(r3.Dot(normal, r3.Cross(a, b))/n, r3.Dot(a, b))
	if x < 0 {
		x += 2 * math.Pi
	}
	if x > 2*math.Pi-1e-9 {
		return 0
	}
	return x
}

// fromSide does the same on the side opposite to corner k of the ray's triangle.
func (s *surface) fromSide(r ray, k int, dir r3.Vec) ray {
	h := 3*r.Face + (k+1)%3
	t := int(s.topology.Twin[h])
	if t < 0 {
		return r
	}
	e := s.along(h)
	normal := r3.Add(s.normal[r.Face], s.normal[t/3])
	dir = level(dir, normal)
	left := level(r3.Cross(normal, e), e)
	r.dir = r3.Add(r3.Scale(r3.Dot(dir, e), e), r3.Scale(r3.Dot(dir, left), r3.Cross(s.normal[r.Face], e)))
	return s.overSide(r, k)
}

// aroundCorner turns a direction in the triangle of h to the left about the
// start of h by a share of the whole angle there.
func (s *surface) aroundCorner(h int, dir r3.Vec, share float64) ray {
	half, _ := s.fan(h)
	var whole float64
	for _, g := range half {
		whole += s.Angles(g / 3)[g%3]
	}
	e := s.along(h)
	turn := math.Mod(math.Atan2(r3.Norm(r3.Cross(e, dir)), r3.Dot(e, dir))+share*whole, whole)
	for i, g := range half {
		angle := s.Angles(g / 3)[g%3]
		if turn > angle-alongSide && i+1 < len(half) {
			turn = max(0, turn-angle)
			continue
		}
		sin, cos := math.Sincos(turn)
		e := s.along(g)
		r := ray{mesh.Point{Face: g / 3}, r3.Add(r3.Scale(cos, e), r3.Scale(sin, r3.Cross(s.normal[g/3], e)))}
		r.Bary[g%3] = 1
		return r
	}
	return ray{}
}

// alongSide is the angle, rad, within which a ray follows a side, in the triangle
// on its left.
const alongSide = 1e-9

// along returns the unit vector along half-edge h.
func (s *surface) along(h int) r3.Vec {
	return r3.Unit(r3.Sub(s.Vertices[s.topology.To(h)], s.Vertices[s.topology.From(h)]))
}

// overSide carries a ray that leaves its triangle at once over the side
// opposite to corner k into the triangle beyond.
func (s *surface) overSide(r ray, k int) ray {
	h := 3*r.Face + (k+1)%3
	t := int(s.topology.Twin[h])
	e := s.along(h)
	in := r3.Dot(r.dir, r3.Cross(s.normal[r.Face], e))
	if in >= 0 || t < 0 {
		return r
	}
	out := ray{mesh.Point{Face: t / 3}, r3.Add(r3.Scale(r3.Dot(r.dir, e), e), r3.Scale(in, r3.Cross(s.normal[t/3], e)))}
	out.Bary[t%3], out.Bary[mesh.Next(t)%3] = r.Bary[(k+2)%3], r.Bary[(k+1)%3]
	return out
}
