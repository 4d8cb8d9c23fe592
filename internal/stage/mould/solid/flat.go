package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Flats is a convex solid between planes with its outer edges rounded: every
// point within Edge of the same solid moved in by Edge.
type Flats struct {
	planes []half // moved in by edge
	edge   float64
	bounds r3.Box
}

// Bounds returns a box round the solid.
func (s *Flats) Bounds() r3.Box { return s.bounds }

// Crisp returns the greatest distance from a face where edges are sharp.
func (s *Flats) Crisp(p r3.Vec) (float64, r3.Vec) {
	if s.edge > 0 {
		return s.At(p)
	}
	return s.deepest(p)
}

func (s *Flats) deepest(p r3.Vec) (deep float64, n r3.Vec) {
	deep, n = math.Inf(-1), r3.Vec{Z: 1}
	for _, a := range s.planes {
		if x := a.over(p); x > deep {
			deep, n = x, a.n
		}
	}
	return
}

// At returns the exact distance.
func (s *Flats) At(p r3.Vec) (float64, r3.Vec) {
	deep, n := s.deepest(p)
	if deep <= inTolerance { // on an edge no direction leads from the nearest point to p
		return deep - s.edge, n
	}
	q, ok := nearest(s.planes, p)
	if !ok {
		return deep - s.edge, n // a bound from below: the greatest distance from a plane
	}
	d, n := apart(p, q)
	return d - s.edge, n
}

// Draft is the lean of the four side faces, rad: positive where the solid gets
// narrower upwards.
type Draft struct{ PosX, NegX, PosY, NegY float64 }

// Block is a box with size at its foot, standing on its frame's origin (the
// middle of the foot), with leaning sides and rounded edges. The foot's edges
// are not rounded: the body goes on below, until [Footed] cuts it off.
//
//	      ______        draft leans the sides in
//	     /      \       edge rounds all but the foot
//	____/________\____
func Block(f Frame, size r3.Vec, edge float64, d Draft) Solid {
	return prism(f, size, edge, d, half{r3.Vec{Z: 1}, size.Z})
}

// Wedge is a block whose top slopes along x: size.Z high at its low-x side and
// low high at the other.
func Wedge(f Frame, size r3.Vec, low, edge float64, d Draft) Solid {
	x := size.X / 2
	slope := math.Atan2(size.Z-low, size.X)
	s, c := math.Sincos(slope)
	top := half{r3.Vec{X: s, Z: c}, s*-x + c*size.Z}
	return prism(f, size, edge, d, top)
}

// leaning is a side face through the foot's edge at reach, leaning in by δ.
func leaning(out r3.Vec, reach, δ float64) half {
	s, c := math.Sincos(δ)
	return half{r3.Add(r3.Scale(c, out), r3.Vec{Z: s}), c * reach}
}

// prism is four leaning sides under a top.
func prism(f Frame, size r3.Vec, edge float64, d Draft, top half) Solid {
	s := &Flats{edge: edge}
	x, y := size.X/2, size.Y/2
	deep := 3 * (size.X + size.Y + size.Z)
	for _, a := range []half{
		leaning(r3.Vec{X: 1}, x, d.PosX), leaning(r3.Vec{X: -1}, x, d.NegX),
		leaning(r3.Vec{Y: 1}, y, d.PosY), leaning(r3.Vec{Y: -1}, y, d.NegY),
		top, {r3.Vec{Z: -1}, deep},
	} {
		n := f.Out(a.n)
		s.planes = append(s.planes, half{n, a.h - edge + r3.Dot(n, f.O)})
	}
	wide := func(half, δ float64) float64 { return half + max(0, -size.Z*math.Tan(δ)) } // where a side leans out
	s.bounds = boxOf(f, r3.Vec{X: -wide(size.X/2, d.NegX), Y: -wide(size.Y/2, d.NegY)},
		r3.Vec{X: wide(size.X/2, d.PosX), Y: wide(size.Y/2, d.PosY), Z: size.Z})
	return s
}
