package strength

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

var asked = true

// A clamped square plate, 0.4 m and 2 mm, ν² = 0.1 (Levy 1942, NACA TN 847, from
// memory): 1.902 thicknesses at q·a⁴/(E·h⁴) = 402.
func TestLargeMotionOfAPlate(t *testing.T) {
	in := plate(16, Clamped, math.Sqrt(0.1))
	in.Cases[0].Pressure = 402 * 70e9 * 1.6e-11 / 2.56e-2
	linear := run(t, in)
	in.Spec = Spec{}
	r := run(t, in)
	within(t, "middle", float64(r.Deflection), 1.902*2e-3, 0.02)
	if !r.Large || !has(r, "large-motion") || has(r, "moves-beyond-linear") || linear.Large || !has(linear, "moves-beyond-linear") {
		t.Errorf("large %v, linear %v: %v", r.Large, linear.Large, r.Findings)
	}
	if *r.Margin <= *linear.Margin {
		t.Errorf("margin %g, linear %g: stretch should help", *r.Margin, *linear.Margin)
	}
	within(t, "margin", *r.Margin, 1/(*r.Index*r.Factor)-1, 1e-12)
}

// Where the wall hardly moves both answers are the same, heat and all; and the
// index is that at the load times the factor.
func TestLargeMotionAgreesWhereSmall(t *testing.T) {
	in := plate(8, Clamped, 0.3)
	in.Mesh = panel(8, func(u, v float64) r3.Vec {
		x, y := u-0.5, v-0.5
		return r3.Vec{X: 0.4 * u, Y: 0.4 * v, Z: 0.2 * (0.5 - x*x - y*y)}
	})
	in.Cases = []Case{{Name: "hot", Pressure: 50, DT: 0.1}, {Name: "heavy", Inertia: 0.01, Handling: 0.01}}
	linear := run(t, in)
	in.Spec.LargeDeflection = &asked
	r := run(t, in)
	within(t, "deflection", float64(r.Deflection), float64(linear.Deflection), 1e-3)
	for i := range in.Cases {
		within(t, "index of "+in.Cases[i].Name, *r.Cases[i].Index, *linear.Cases[i].Index, 2e-3)
	}
}

// A clamped shallow cap under suction snaps inward somewhere between 0.5 and 0.8
// of the classical pressure of a whole sphere, where λ = 5 (Budiansky 1959, curve
// from memory):
//
//	q₀ = 2E·(h/R)²/√(3(1−ν²))    λ = (12(1−ν²))^¼·a/√(R·h)
func TestShallowCapSnaps(t *testing.T) {
	const nu, h, a = 0.3, 2e-3, 0.2
	radius := math.Pow(math.Pow(12*(1-nu*nu), 0.25)*a/5, 2) / h
	in := plate(16, Clamped, nu)
	in.Mesh = panel(16, func(u, v float64) r3.Vec {
		x, y := 2*u-1, 2*v-1 // the square laid onto the disc
		p := r3.Vec{X: a * x * math.Sqrt(1-y*y/2), Y: a * y * math.Sqrt(1-x*x/2)}
		p.Z = math.Sqrt(radius*radius-p.X*p.X-p.Y*p.Y) - radius
		return p
	})
	classical := 2 * 70e9 * h * h / (radius * radius) / math.Sqrt(3*(1-nu*nu))
	in.Cases[0].Pressure = si.Pressure(-classical)
	in.Spec.LargeDeflection = &asked
	r := run(t, in)
	if r.Snaps == nil || !(*r.Snaps > 0.5 && *r.Snaps < 0.8) || !has(r, "wall-snaps") {
		t.Fatalf("snaps at %v of the classical pressure", r.Snaps)
	}
	in.Cases[0].Pressure *= -1 // blown outward it only stiffens
	if r := run(t, in); r.Snaps != nil {
		t.Errorf("snaps outward at %v", *r.Snaps)
	}
}
