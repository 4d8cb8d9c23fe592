package wall

import "math"

// shearStiffness returns what the wall answers a force across it with, N/m, for
// forces in the x-z and the y-z plane.
//
//	S = D² / ∫ g²/G dz    g(z) = ∫ E·(z−zₙ) dz from the mould face
//	D = ∫ E·(z−zₙ)² dz    zₙ: where E·(z−zₙ) balances
//
// E is the ply's stiffness Q̄ along the direction, G its shear modulus through
// the wall. It is the shear whose work equals that of the stress which
// equilibrium asks for when the wall bends along the direction alone: 5/6·G·h for
// one material, about G·d²/c for a sandwich with a core of thickness c and skins
// d apart.
//
// Source: [reddy2004] (energy equivalence, cylindrical bending).
func shearStiffness(plies []Ply, h float64) [2]float64 {
	var out [2]float64
	for axis := range out {
		out[axis] = shearAlong(plies, h, axis)
	}
	return out
}

// through returns a ply's shear modulus through the wall along x or y.
func (p Ply) through(axis int) float64 {
	g13, g23 := float64(p.G13), float64(p.G23)
	if g13 == 0 {
		g13 = float64(p.Elastic.G12)
	}
	if g23 == 0 {
		g23 = float64(p.Elastic.G12)
	}
	s, c := sincos(p.Angle)
	if axis == 1 {
		s, c = c, s
	}
	return c*c*g13 + s*s*g23
}

// bendingAlong is a wall bent along one axis: the stiffness of each ply along it,
// the height of the neutral plane, and D about it.
type bendingAlong struct {
	e             []float64
	neutral, bend float64
}

func bendAlong(plies []Ply, h float64, axis int) bendingAlong {
	b := bendingAlong{e: make([]float64, len(plies))}
	var sum, moment float64
	z := -h / 2
	for i, p := range plies {
		q, _ := p.own()
		b.e[i] = q.Turned(p.Angle)[axis][axis]
		t := float64(p.Thickness)
		sum += b.e[i] * t
		moment += b.e[i] * t * (z + t/2)
		z += t
	}
	b.neutral = moment / sum
	z = -h/2 - b.neutral
	for i, p := range plies {
		t := float64(p.Thickness)
		b.bend += b.e[i] * ((z+t)*(z+t)*(z+t) - z*z*z) / 3
		z += t
	}
	return b
}

func shearAlong(plies []Ply, h float64, axis int) float64 {
	b := bendAlong(plies, h, axis)
	var work, g float64
	z := -h/2 - b.neutral
	for i, p := range plies {
		t := float64(p.Thickness)
		for k, x := range gauss { // g² is of fourth degree in z: three points are exact
			y := z + t*(1+x)/2
			flow := g + b.e[i]*(y*y-z*z)/2
			work += gaussWeight[k] * t / 2 * flow * flow / p.through(axis)
		}
		g += b.e[i] * ((z+t)*(z+t) - z*z) / 2
		z += t
	}
	return b.bend * b.bend / work
}

// ThroughStress returns for each ply the largest shear stress through the wall
// that a force of 1 N/m across it brings, Pa/(N/m), along x and y.
//
//	τ = −g(z)/D    with g and D as for the shear stiffness
//
// Source: [reddy2004] (equilibrium in cylindrical bending).
func ThroughStress(plies []Ply) [][2]float64 {
	var h float64
	for _, p := range plies {
		h += float64(p.Thickness)
	}
	out := make([][2]float64, len(plies))
	for axis := range 2 {
		b := bendAlong(plies, h, axis)
		var g float64
		z := -h/2 - b.neutral
		for i, p := range plies {
			top := z + float64(p.Thickness)
			at := func(y float64) float64 { return math.Abs(g+b.e[i]*(y*y-z*z)/2) / b.bend }
			out[i][axis] = math.Max(at(z), at(top))
			if z < 0 && top > 0 { // the peak lies on the neutral plane
				out[i][axis] = math.Max(out[i][axis], at(0))
			}
			g += b.e[i] * (top*top - z*z) / 2
			z = top
		}
	}
	return out
}

var (
	gauss       = [3]float64{-math.Sqrt(0.6), 0, math.Sqrt(0.6)}
	gaussWeight = [3]float64{5.0 / 9, 8.0 / 9, 5.0 / 9}
)
