package drape

import (
	"math"

	"laywright/internal/base/si"
)

// term is one squared part of the energy of a triangle: its value and its
// derivative with respect to the entries of the gradient.
type term struct {
	value      float64
	a, b, c, d float64
}

func (t term) scaled(w float64) term {
	return term{w * t.value, w * t.a, w * t.b, w * t.c, w * t.d}
}

// sheet is a kind of sheet: how its energy depends on the gradient. The energy
// of a triangle of unit area is half the sum of the squares of its terms.
type sheet interface {
	terms(g gradient, out []term) []term
	// foldsFree tells whether a descent must not turn a triangle over.
	foldsFree() bool
}

// Stiffnesses relative to a yarn's stretch.
//
// shearStiffness picks one net where geometry leaves a choice; it is small
// enough that its pull on the yarns, strains of its own order, moves shear by
// some hundredths of a degree. Dry cloth is of the order 1e-4 to 1e-3 (from
// memory). Beyond locking the cloth is lockedFactor times as stiff in shear:
// the sheet still lies down whole, and what is over the limit is reported.
//
// Beyond jammed the yarns lie side by side (here at a quarter of the width they
// have in flat cloth); jamStiffness is what they then resist, of the order of
// their own stiffness sideways (from memory).
const (
	shearStiffness = 1e-4
	lockedFactor   = 10
	jammed         = 75 * math.Pi / 180
	jamStiffness   = 1e-3
)

// mostTerms is how many terms a triangle can have.
const mostTerms = 5

// cloth is woven: two families of yarns that keep their length and turn against
// each other at the crossings.
//
//	E = ½[ln²λu + ln²λv + k·γ² + 10·k·⟨|γ| − γl⟩² + 10·k·⟨|tan γ| − tan 75°⟩²]
//
// λu = |X_u| and λv = |X_v| are the yarns' stretch, γ the shear, γl the locking
// angle, k the shear stiffness against the yarns'. With n_u = |∇u|, n_v = |∇v|,
// D = det of the gradient:
//
//	λu = n_v/D, λv = n_u/D, tan γ = −(∇u·∇v)/D
//
// The last term is that of yarns that jam, side by side: it has no bound, for
// where γ is 90° a piece of cloth of any length covers no surface, and would
// cost nothing.
type cloth struct{ locking float64 }

// newCloth returns cloth with a locking angle; with 0 it has none.
func newCloth(locking si.Angle) cloth {
	if locking == 0 {
		return cloth{math.Pi}
	}
	return cloth{float64(locking)}
}

func (cloth) foldsFree() bool { return true }

func (c cloth) terms(g gradient, out []term) []term {
	D := g.det()
	nu2, nv2 := g.a*g.a+g.b*g.b, g.c*g.c+g.d*g.d
	nu, nv := math.Sqrt(nu2), math.Sqrt(nv2)
	out = append(out,
		term{math.Log(nv / D), -g.d / D, g.c / D, g.c/nv2 + g.b/D, g.d/nv2 - g.a/D},
		term{math.Log(nu / D), g.a/nu2 - g.d/D, g.b/nu2 + g.c/D, g.b / D, -g.a / D})
	return jam(g, c.shear(g, out))
}

// jam adds what yarns resist that are pushed against each other, side by side.
func jam(g gradient, out []term) []term {
	D, N := g.det(), -(g.a*g.c + g.b*g.d)
	over := math.Abs(N/D) - math.Tan(jammed)
	if !(over > 0) {
		return out
	}
	D2 := D * D
	t := term{math.Copysign(over, N), (-g.c*D - N*g.d) / D2, (-g.d*D + N*g.c) / D2, (-g.a*D + N*g.b) / D2, (-g.b*D - N*g.a) / D2}
	return append(out, t.scaled(math.Sqrt(jamStiffness)))
}

// shear adds the terms of the angle between the yarns.
func (c cloth) shear(g gradient, out []term) []term {
	D, N := g.det(), -(g.a*g.c + g.b*g.d)
	γ := math.Atan2(N, D)
	n2 := D*D + N*N // = n_u²·n_v²
	t := term{γ, (-g.c*D - N*g.d) / n2, (-g.d*D + N*g.c) / n2, (-g.a*D + N*g.b) / n2, (-g.b*D - N*g.a) / n2}
	out = append(out, t.scaled(math.Sqrt(shearStiffness)))
	if over := math.Abs(γ) - c.locking; over > 0 {
		t.value = math.Copysign(over, γ)
		out = append(out, t.scaled(math.Sqrt(lockedFactor*shearStiffness)))
	}
	return out
}

// opening is cloth whose triangles may be turned over, at a price: the place of
// the determinant D is taken by
//
//	χ(D) = (D + √(ε² + D²))/2
//
// which is D where that is well above ε, and small and positive below, so that
// the more a triangle is turned over the more its yarns seem to stretch.
//
// Source: [garanzha2021].
type opening struct {
	cloth
	ε float64
}

func (opening) foldsFree() bool { return false }

func (o opening) terms(g gradient, out []term) []term {
	D := g.det()
	root := math.Hypot(o.ε, D)
	χ := (D + root) / 2
	if D < 0 {
		χ = o.ε * o.ε / (2 * (root - D))
	}
	slope := χ / root // dχ/dD
	nu, nv := math.Hypot(g.a, g.b), math.Hypot(g.c, g.d)
	s := slope / (χ * χ)
	out = append(out,
		term{nv/χ - 1, -s * nv * g.d, s * nv * g.c, g.c/(nv*χ) + s*nv*g.b, g.d/(nv*χ) - s*nv*g.a},
		term{nu/χ - 1, g.a/(nu*χ) - s*nu*g.d, g.b/(nu*χ) + s*nu*g.c, s * nu * g.b, -s * nu * g.a})
	return o.shear(g, out)
}

// unfolding is cloth with the stretch measured so that a triangle that is turned
// over can be turned back: λ − 1 is multiplied by the determinant, which leaves
// the same answer where both are zero and no wall at D = 0.
type unfolding struct{ cloth }

func (unfolding) foldsFree() bool { return false }

func (o unfolding) terms(g gradient, out []term) []term {
	D := g.det()
	nu, nv := math.Hypot(g.a, g.b), math.Hypot(g.c, g.d)
	out = append(out,
		term{nv - D, -g.d, g.c, g.c/nv + g.b, g.d/nv - g.a},
		term{nu - D, g.a/nu - g.d, g.b/nu + g.c, g.b, -g.a})
	return o.shear(g, out)
}
