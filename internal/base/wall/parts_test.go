package wall

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// Moved off its middle by e, a wall has B = e·A and D = D₀ + e²·A (Steiner's theorem);
// of two parts side by side each counts with its share, and a bare one with nothing.
func TestPartsAddUp(t *testing.T) {
	a := []Ply{graphite.ply(0, 1e-3), graphite.ply(40, 2e-3)}
	b := []Ply{graphite.ply(-20, 1.5e-3)}
	one, err := Stiffen(a)
	if err != nil {
		t.Fatal(err)
	}
	two, _ := Stiffen(b)
	const e, f, share = 0.3e-3, -0.2e-3, 0.35
	got, err := Together([]Part{{a, share, e - 1.5e-3}, {b, 0.5, f - 0.75e-3}, {nil, 0.15, 0}})
	if err != nil {
		t.Fatal(err)
	}
	var want Stiffness
	for i := range 3 {
		for j := range 3 {
			want.A[i][j] = share*one.A[i][j] + 0.5*two.A[i][j]
			want.B[i][j] = share*(one.B[i][j]+e*one.A[i][j]) + 0.5*f*two.A[i][j]
			want.D[i][j] = share*(one.D[i][j]+2*e*one.B[i][j]+e*e*one.A[i][j]) + 0.5*(two.D[i][j]+f*f*two.A[i][j])
		}
		near(t, "NT", got.NT[i], share*one.NT[i]+0.5*two.NT[i], math.Abs(got.NT[0]))
		near(t, "MT", got.MT[i], share*(one.MT[i]+e*one.NT[i])+0.5*f*two.NT[i], math.Abs(got.NT[0])*1e-3)
	}
	nearMatrix(t, "A", got.A, want.A)
	nearMatrix(t, "B", got.B, want.B)
	nearMatrix(t, "D", got.D, want.D)
	near(t, "thickness", got.Thickness, share*3e-3+0.5*1.5e-3, 1)
	near(t, "shear", got.Shear[0], share*one.Shear[0]+0.5*two.Shear[0], 1)
}

// The load of a strain brings that strain back, with heat and coupling.
func TestCarryIsTheInverseOfRespond(t *testing.T) {
	w, _ := Stiffen([]Ply{graphite.ply(0, 1e-3), graphite.ply(40, 2e-3)})
	e := Strain{Mid: Vec{1e-3, -2e-4, 3e-4}, Curvature: Vec{0.2, -0.1, 0.05}}
	got := w.Respond(w.Carry(e, 30))
	for i := range 3 {
		near(t, "mid", got.Mid[i], e.Mid[i], 1e-3)
		near(t, "curvature", got.Curvature[i], e.Curvature[i], 0.2)
	}
}

// Beside a butted seam a ply is a bundle of strips along it: pulled along the seam it
// answers with the modulus that a coupon cut that way has, 1/Ex = c⁴/E₁ + (1/G₁₂ −
// 2ν₁₂/E₁)s²c² + s⁴/E₂ (Kaw, eq. 2.112), and in other ways not at all. Heated it is
// squeezed by that modulus times its expansion along the seam.
func TestPartedPlyCarriesAlongTheSeam(t *testing.T) {
	p := graphite.ply(25, 1e-3)
	for _, seam := range []float64{0, 25, 70, 115} {
		q, heat := p.PartedAlong(si.Degrees(seam)).own()
		q, heat = q.Turned(p.Angle), StressIn(heat, -p.Angle)
		s, c := math.Sincos((seam - 25) * math.Pi / 180)
		e := p.Elastic
		ex := 1 / (c*c*c*c/float64(e.E1) + (1/float64(e.G12)-2*e.Nu12/float64(e.E1))*s*s*c*c + s*s*s*s/float64(e.E2))
		alpha := c*c*float64(p.Expansion.Alpha1) + s*s*float64(p.Expansion.Alpha2)
		nearMatrix(t, "stiffness", q, Matrix{{ex}}.Turned(si.Degrees(seam)))
		for i, want := range StressIn(Vec{ex * alpha}, -si.Degrees(seam)) {
			near(t, "heat", heat[i], want, math.Abs(ex*alpha))
		}
	}
}
