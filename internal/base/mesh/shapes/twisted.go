package shapes

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Moebius is a strip of a width round a circle with half a twist: it has one
// side only.
func Moebius(radius, width float64, around, across int) *mesh.Mesh {
	g := grid{nu: around, nv: across, join: func(i, j int) (int, int) {
		if i == around {
			return 0, across - j
		}
		return i, j
	}}
	return g.mesh(func(u, v float64) r3.Vec { return twistedStrip(radius, width, u, v) })
}

// TwistedStrip is a [Moebius] strip cut across, a gap of a share of its round
// left: it has two sides again.
func TwistedStrip(radius, width, gap float64, around, across int) *mesh.Mesh {
	return Patch(around, across, func(u, v float64) r3.Vec { return twistedStrip(radius, width, (1-gap)*u, v) })
}

func twistedStrip(radius, width, u, v float64) r3.Vec {
	φ, w := 2*math.Pi*u, width*(v-0.5)
	return polar(radius+w*math.Cos(φ/2), φ, w*math.Sin(φ/2))
}

// Bottle is a closed surface with one side only that runs through itself: a
// figure of eight carried round a circle with half a turn.
func Bottle(radius, size float64, around, across int) *mesh.Mesh {
	g := grid{nu: around, nv: across, join: func(i, j int) (int, int) {
		if i == around {
			i, j = 0, across-j
		}
		return i, j % across
	}}
	return g.mesh(func(u, v float64) r3.Vec { return bottle(radius, size, u, v) })
}

// CutBottle is a [Bottle] with a gap of a share of its round both ways: a sheet
// with two sides and one rim that runs through itself.
func CutBottle(radius, size, gap float64, around, across int) *mesh.Mesh {
	return Patch(around, across, func(u, v float64) r3.Vec {
		return bottle(radius, size, (1-gap)*u, (1-gap)*v+gap/3)
	})
}

func bottle(radius, size, u, v float64) r3.Vec {
	sin, cos := math.Sincos(math.Pi * u)
	p, q := size*math.Sin(2*math.Pi*v), size*math.Sin(4*math.Pi*v)
	return polar(radius+cos*p-sin*q, 2*math.Pi*u, sin*p+cos*q)
}

// Eight is a tube whose section is a figure of eight, so that it runs through
// itself along a line.
func Eight(size, height float64, around, up int) *mesh.Mesh {
	shift := 0.5 / float64(around) // no two vertices in the same place
	return Wound(around, up, func(u, v float64) r3.Vec {
		a := 2 * math.Pi * (u + shift)
		return r3.Vec{X: size * math.Sin(a), Y: size * math.Sin(a) * math.Cos(a), Z: height * v}
	})
}

// Stair is a spiral ramp: straight lines from an inner to an outer radius that
// climb by a pitch in each turn.
func Stair(inner, outer, pitch, turns float64, around, across int) *mesh.Mesh {
	return Patch(around, across, func(u, v float64) r3.Vec {
		return polar(outer-(outer-inner)*v, 2*math.Pi*turns*u, pitch*turns*u)
	})
}
