package shell

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// A moment of 2π·EI/L closes a strip into a circle: the tip comes back to the root.
func TestStripRollsIntoACircle(t *testing.T) {
	s, sv := strip(t, 32)
	load := sv.NoLoad()
	for j, share := range []float64{0.25, 0.5, 0.25} {
		load.Moment[s.at(32, j)].Y = -2 * math.Pi * share
	}
	tip := moved(t, sv, Push{Load: load}, 16).Move[s.at(32, 1)]
	if off := r3.Norm(r3.Add(tip, xDir)); off > 0.01 {
		t.Errorf("the tip ends %.3g of the length from the root", off)
	}
}

// A ring cut through, one end clamped, the other lifted by 0.8 a width: its inner and
// outer corner rise by 13.891 and 17.528 (Sze, Liu and Lo 2004, from memory).
func TestSlitRingIsLifted(t *testing.T) {
	const n, wide = 60, 6
	s := newSheet(n, wide, true, func(u, v float64) r3.Vec {
		sin, cos := math.Sincos(-2 * math.Pi * u)
		return r3.Scale(6+4*v, r3.Vec{X: cos, Y: sin})
	})
	m := s.model(isotropic(21e6, 0, 0.03, 1), xDir)
	s.hold(m, Clamped, func(i, j int) bool { return i == n })
	sv := solver(t, m)
	p := Push{Load: sv.NoLoad()}
	for j := range wide + 1 {
		p.Force[s.at(0, j)].Z = 0.8 * 4 / wide
		if j == 0 || j == wide {
			p.Force[s.at(0, j)].Z /= 2
		}
	}
	got := moved(t, sv, p, 40)
	within(t, "inner corner", got.Move[s.at(0, 0)].Z, 13.891, 0.02)
	within(t, "outer corner", got.Move[s.at(0, wide)].Z, 17.528, 0.02)
}

// A clamped round plate under even pressure whose rim does not give, against von
// Kármán's equations for it, solved by shooting (Way 1934 has their series). Beside
// them, to a thickness of motion, Chien's estimate of 1947, from memory: with ν = 0.3,
// w/h + 0.544·(w/h)³ = 0.1706·q·a⁴/(E·h⁴).
func TestClampedRoundPlateStiffensAsItMoves(t *testing.T) {
	const e, nu, h, a = 70e9, 0.3, 1e-3, 0.1
	d := disc(6, 6, a)
	s := solver(t, d.model(isotropic(e, nu, h, 1)))
	for _, load := range []float64{2, 10, 50} {
		q := load * e * math.Pow(h/a, 4)
		want := roundPlate{e, nu, h, a, q}.middle(t) / h
		w, _ := furthest(moved(t, s, Push{Load: s.NoLoad(), Follow: si.Pressure(q)}, 2).Move)
		t.Logf("load %g: w/h %.4f, by the equations %.4f", load, w/h, want)
		within(t, "middle", w/h, want, 0.01)
		if load <= 10 {
			within(t, "estimate", want+0.544*want*want*want, 0.1706*load, 0.015)
		}
	}
}

// roundPlate is von Kármán's plate with ψ = dw/dr and the radial motion u:
//
//	D·(ψ'' + ψ'/r − ψ/r²) = N·ψ + q·r/2    N = E·h/(1−ν²)·(u' + ψ²/2 + ν·u/r)
//	u'' + u'/r − u/r² = −(1−ν)·ψ²/(2r) − ψ·ψ'    ψ = u = 0 at r = 0 and a
type roundPlate struct{ e, nu, h, a, q float64 }

// middle finds the slopes of ψ and u at the middle that bring both to nought at the
// rim, by Newton's iteration, the load growing.
func (p roundPlate) middle(t *testing.T) float64 {
	var slope [2]float64
	const steps = 60
	for k := 1; k <= steps; k++ {
		part := p
		part.q = p.q * float64(k) / steps
		for n := 0; ; n++ {
			miss, _ := part.shoot(slope)
			if math.Hypot(miss[0], miss[1]) < 1e-10 {
				break
			}
			if n == 30 {
				t.Fatal("the equations do not settle")
			}
			var j [2][2]float64
			for c := range 2 {
				by := slope
				step := 1e-6 * (1e-3 + math.Abs(slope[c]))
				by[c] += step
				m, _ := part.shoot(by)
				j[0][c], j[1][c] = (m[0]-miss[0])/step, (m[1]-miss[1])/step
			}
			det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
			slope[0] -= (j[1][1]*miss[0] - j[0][1]*miss[1]) / det
			slope[1] -= (j[0][0]*miss[1] - j[1][0]*miss[0]) / det
		}
	}
	_, w := p.shoot(slope)
	return w
}

// shoot goes from the middle to the rim with Runge and Kutta's steps: what is left of
// ψ and u/a there, and how far the middle lies above the rim.
func (p roundPlate) shoot(slope [2]float64) (miss [2]float64, w float64) {
	bend := p.e * p.h * p.h * p.h / (12 * (1 - p.nu*p.nu))
	change := func(r float64, y [5]float64) [5]float64 {
		psi, dpsi, u, du := y[0], y[1], y[2], y[3]
		n := p.e * p.h / (1 - p.nu*p.nu) * (du + psi*psi/2 + p.nu*u/r)
		return [5]float64{dpsi, (n*psi+p.q*r/2)/bend - dpsi/r + psi/(r*r), du,
			-(1-p.nu)*psi*psi/(2*r) - psi*dpsi - du/r + u/(r*r), psi}
	}
	add := func(y [5]float64, by float64, k [5]float64) [5]float64 {
		for i := range y {
			y[i] += by * k[i]
		}
		return y
	}
	const steps = 400
	start := p.a / 1000
	r, h := start, (p.a-start)/steps
	y := [5]float64{slope[0] * start, slope[0], slope[1] * start, slope[1], slope[0] * start * start / 2}
	for range steps {
		k1 := change(r, y)
		k2 := change(r+h/2, add(y, h/2, k1))
		k3 := change(r+h/2, add(y, h/2, k2))
		k4 := change(r+h, add(y, h, k3))
		for i := range y {
			y[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
		}
		r += h
	}
	return [2]float64{y[0], y[2] / p.a}, -y[4]
}
