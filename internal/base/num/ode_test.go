package num

import (
	"math"
	"testing"
)

// The stiff test problem of Robertson. Values at t = 40 as printed in the LSODE
// report (Hindmarsh 1980; from memory): 7.158e-1, 9.185e-6, 2.842e-1.
func TestRobertson(t *testing.T) {
	s := NewSolver(Problem{N: 3, Lower: 2, Upper: 2, Scale: []float64{1, 1e-5, 1}, F: func(_ float64, y, d []float64) {
		d[0] = -0.04*y[0] + 1e4*y[1]*y[2]
		d[2] = 3e7 * y[1] * y[1]
		d[1] = -d[0] - d[2]
	}}, 1e-8)
	y := []float64{1, 0, 0}
	if err := s.Run(0, 40, y, nil); err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.7158, 9.185e-6, 0.2842} {
		if math.Abs(y[i]/want-1) > 2e-4 {
			t.Errorf("y%d = %.7g, want %g", i+1, y[i], want)
		}
	}
	if math.Abs(y[0]+y[1]+y[2]-1) > 1e-10 {
		t.Errorf("the sum %.12g drifts from 1", y[0]+y[1]+y[2])
	}
}

// y' = −λ(y − cos t) − sin t has the solution cos t from y(0) = 1 for any λ: a
// stiff problem whose right side moves with time. The error must follow the
// tolerance, and the dense output must be as good within the step.
func TestStiffFollowsCosine(t *testing.T) {
	worst := func(tol float64) float64 {
		s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(t float64, y, d []float64) {
			d[0] = -1e4*(y[0]-math.Cos(t)) - math.Sin(t)
		}}, tol)
		y, mid, e := []float64{1}, []float64{0}, 0.0
		if err := s.Run(0, 10, y, func(st *Step) bool {
			t := st.T0 + 0.37*st.H
			st.At(t, mid)
			e = math.Max(e, math.Abs(mid[0]-math.Cos(t)))
			return true
		}); err != nil {
			t.Fatal(err)
		}
		return math.Max(e, math.Abs(y[0]-math.Cos(10)))
	}
	if e := worst(1e-6); e > 1e-4 {
		t.Errorf("error %.2g at tolerance 1e-6", e)
	}
	if a, b := worst(1e-5), worst(1e-8); b > a/10 {
		t.Errorf("error %.2g at 1e-5 and %.2g at 1e-8: it does not follow the tolerance", a, b)
	}
}

// With one step of fixed length the global error of a smooth problem falls as
// h²: y' = −y², y(0) = 1 is 1/(1+t).
func TestSecondOrder(t *testing.T) {
	e := func(n int) float64 {
		s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = -y[0] * y[0] }}, 1e9)
		y := []float64{1}
		for i := range n {
			if err := s.Run(float64(i)/float64(n), float64(i+1)/float64(n), y, nil); err != nil {
				t.Fatal(err)
			}
			s.h = 0
		}
		return math.Abs(y[0] - 0.5)
	}
	if p := math.Log2(e(40) / e(80)); math.Abs(p-2) > 0.15 {
		t.Errorf("observed order %.2f, want 2", p)
	}
}

func TestCrossingOfDecay(t *testing.T) {
	s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = -y[0] }}, 1e-8)
	y, at := []float64{1}, 0.0
	if err := s.Run(0, 5, y, func(st *Step) bool {
		x, ok := st.Crossing(func(_ float64, y []float64) float64 { return 0.5 - y[0] })
		if ok {
			at = x
		}
		return !ok
	}); err != nil {
		t.Fatal(err)
	}
	if math.Abs(at-math.Ln2) > 1e-5 {
		t.Errorf("half is left at %.7f, want ln 2", at)
	}
	if s.T >= 5 || s.T < at {
		t.Errorf("the run went on to %g", s.T)
	}
}

// Heat in a bar of 202 cells, ends held at 0, starting as a half sine: the
// discrete bar decays with the eigenvalue 4 sin²(π/2(n+1))/h² exactly.
func TestLongBarDecays(t *testing.T) {
	const n = 202
	scale := make([]float64, n)
	y := make([]float64, n)
	for i := range y {
		scale[i] = 1
		y[i] = math.Sin(math.Pi * float64(i+1) / (n + 1))
	}
	inv := float64((n + 1) * (n + 1))
	s := NewSolver(Problem{N: n, Lower: 1, Upper: 1, Scale: scale, F: func(_ float64, y, d []float64) {
		for i := range y {
			left, right := 0.0, 0.0
			if i > 0 {
				left = y[i-1]
			}
			if i < n-1 {
				right = y[i+1]
			}
			d[i] = inv * (left - 2*y[i] + right)
		}
	}}, 1e-7)
	if err := s.Run(0, 0.1, y, nil); err != nil {
		t.Fatal(err)
	}
	sine := math.Sin(math.Pi / 2 / (n + 1))
	want := math.Exp(-4 * inv * sine * sine * 0.1)
	if got := y[n/2] / math.Sin(math.Pi*float64(n/2+1)/(n+1)); math.Abs(got-want) > 1e-5 {
		t.Errorf("amplitude %.7f, want %.7f", got, want)
	}
	if s.Steps > 600 {
		t.Errorf("%d steps: the method does not see that the problem is smooth", s.Steps)
	}
}

func TestRunawayIsAnError(t *testing.T) {
	s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = y[0] * y[0] }}, 1e-6)
	if err := s.Run(0, 2, []float64{1}, nil); err == nil { // y = 1/(1−t) has no value at t = 1
		t.Error("a solution that blows up gave a number")
	}
}

// The cure of an aerospace prepreg: constants of Lee, Loos and Springer, J.
// Compos. Mater. 16 (1982) 510; the reference values are those constants
// integrated by LSODA. The law jumps at a = 0.3, so the run stops there.
func TestPiecewiseCureLaw(t *testing.T) {
	minutes := []float64{5, 10, 20, 30, 60, 120}
	cases := map[float64][]float64{
		400: {0.103857, 0.164416, 0.234309, 0.274555, 0.405591, 0.631422},
		425: {0.24163, 0.315438, 0.44884, 0.556245, 0.7684, 0.936915},
		450: {0.389187, 0.530853, 0.723235, 0.836728, 0.966479, 0.998587},
	}
	for temperature, want := range cases {
		k := func(a, e float64) float64 { return a * math.Exp(-e/(8.314462618*temperature)) }
		k1, k2, k3 := k(2.101e9, 80700), k(-2.014e9, 77800), k(1.96e5, 56600)
		early := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) {
			d[0] = (k1 + k2*y[0]) * (1 - y[0]) * (0.47 - y[0])
		}}, 1e-7)
		var jump float64
		y := []float64{0}
		got := make([]float64, len(minutes))
		if err := early.Run(0, 120, y, func(st *Step) bool {
			at, ok := st.Crossing(func(_ float64, y []float64) float64 { return y[0] - 0.3 })
			for i, m := range minutes {
				if m > st.T0 && m <= st.T1() {
					st.At(m, got[i:i+1])
				}
			}
			jump = at
			return !ok
		}); err != nil {
			t.Fatal(err)
		}
		for i, m := range minutes {
			if m > jump {
				got[i] = 1 - 0.7*math.Exp(-k3*(m-jump)) // first order from here
			}
			if math.Abs(got[i]-want[i]) > 5e-4 {
				t.Errorf("%g K, %g min: %.6f, want %.6f", temperature, m, got[i], want[i])
			}
		}
	}
}

// An L-stable method forgets a decay that is infinitely fast in one step.
func TestStiffDecayIsForgotten(t *testing.T) {
	s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = -1e9 * y[0] }}, 1e12)
	s.h = 1
	y := []float64{1}
	if err := s.Run(0, 1, y, nil); err != nil || s.Steps != 1 {
		t.Fatal(s.Steps, err)
	}
	if math.Abs(y[0]) > 1e-6 {
		t.Errorf("%g is left", y[0])
	}
}

// The error estimate is the distance to a companion of third order,
// y₀ + h/6·(k₁+4k₂+k₃): for y' = y its own error in one step falls by 16 where
// the step is halved, that of the method by 8.
func TestErrorEstimateIsThirdOrder(t *testing.T) {
	miss := func(h float64) (second, third float64) {
		s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = y[0] }}, 1)
		y := []float64{1}
		s.p.F(0, y, s.f0)
		s.jacobian(y, h)
		s.try(h, y)
		return math.Abs(s.y1[0] - math.Exp(h)), math.Abs(1 + h/6*(s.k1[0]+4*s.k2[0]+s.k3[0]) - math.Exp(h))
	}
	a2, a3 := miss(0.1)
	b2, b3 := miss(0.05)
	if p := math.Log2(a2 / b2); math.Abs(p-3) > 0.2 {
		t.Errorf("error of a step: order %.2f, want 3", p)
	}
	if p := math.Log2(a3 / b3); math.Abs(p-4) > 0.2 {
		t.Errorf("error of the companion: order %.2f, want 4", p)
	}
}
