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
// tolerance. Inside its steps, as long as they may be here, the cubic is no better
// than a cubic can follow a cosine: h⁴/384.
func TestStiffFollowsCosine(t *testing.T) {
	worst := func(tol float64) float64 {
		s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(t float64, y, d []float64) {
			d[0] = -1e4*(y[0]-math.Cos(t)) - math.Sin(t)
		}}, tol)
		y, mid, e := []float64{1}, []float64{0}, 0.0
		if err := s.Run(0, 10, y, func(st *Step) bool {
			e = math.Max(e, math.Abs(st.End()[0]-math.Cos(st.T1())))
			t0 := st.T0 + 0.5*st.H
			st.At(t0, mid)
			if off := math.Abs(mid[0] - math.Cos(t0)); off > 2*math.Pow(st.H, 4)/384 {
				t.Errorf("off by %.2g within a step of %.2g", off, st.H)
			}
			return true
		}); err != nil {
			t.Fatal(err)
		}
		return e
	}
	if e := worst(1e-6); e > 1e-6 {
		t.Errorf("error %.2g at tolerance 1e-6", e)
	}
	if a, b := worst(1e-5), worst(1e-8); b > a/10 {
		t.Errorf("error %.2g at 1e-5 and %.2g at 1e-8: it does not follow the tolerance", a, b)
	}
}

// fixed runs to end in n even steps, and says how far the middle of each step is
// from truth at most.
func fixed(t *testing.T, p Problem, y []float64, end float64, n int, truth func(t float64, y []float64)) (inside float64) {
	t.Helper()
	s := NewSolver(p, 1e9)
	got, want := make([]float64, p.N), make([]float64, p.N)
	for i := range n {
		s.h = end / float64(n)
		if err := s.Run(end*float64(i)/float64(n), end*float64(i+1)/float64(n), y, func(st *Step) bool {
			at := st.T0 + 0.4*st.H
			st.At(at, got)
			truth(at, want)
			for j := range got {
				inside = math.Max(inside, math.Abs(got[j]-want[j]))
			}
			return true
		}); err != nil {
			t.Fatal(err)
		}
	}
	if s.Steps != n {
		t.Fatalf("%d steps, want %d", s.Steps, n)
	}
	return inside
}

// With steps of fixed length the global error of a smooth problem falls as h⁴, and
// inside the steps too. Closed forms: y' = −2ty² with y = 1/(1+t²), beside a
// second variable z' = yz with z = exp(atan t).
func TestFourthOrder(t *testing.T) {
	truth := func(t float64, y []float64) { y[0], y[1] = 1/(1+t*t), math.Exp(math.Atan(t)) }
	p := Problem{N: 2, Lower: 1, Upper: 1, Scale: []float64{1, 1}, F: func(t float64, y, d []float64) {
		d[0], d[1] = -2*t*y[0]*y[0], y[0]*y[1]
	}}
	e := func(n int) (end, inside float64) {
		y, want := []float64{1, 1}, []float64{0, 0}
		inside = fixed(t, p, y, 2, n, truth)
		truth(2, want)
		return math.Max(math.Abs(y[0]-want[0]), math.Abs(y[1]-want[1])), inside
	}
	a, ai := e(60)
	b, bi := e(120)
	if p := math.Log2(a / b); math.Abs(p-4) > 0.3 {
		t.Errorf("observed order %.2f (%.2g, %.2g), want 4", p, a, b)
	}
	if p := math.Log2(ai / bi); p < 3.7 {
		t.Errorf("observed order within the step %.2f (%.2g, %.2g), want 4", p, ai, bi)
	}
}

// The order holds where the problem is stiff and moves with time: Prothero and
// Robinson's y' = −λ(y − cos t) − sin t, whose solution is cos t, and a bar whose
// end follows a sine wave, held against itself in small steps.
func TestOrderOfStiffProblems(t *testing.T) {
	const n = 40
	inv := float64(n * n)
	p := Problem{N: n, Lower: 1, Upper: 1, Scale: make([]float64, n), F: func(t float64, y, d []float64) {
		left := math.Sin(3 * t)
		for i := range y {
			right := y[i]
			if i < n-1 {
				right = y[i+1]
			}
			d[i] = inv * (left - 2*y[i] + right)
			left = y[i]
		}
	}}
	for i := range p.Scale {
		p.Scale[i] = 1
	}
	bar := func(steps int) []float64 {
		y := make([]float64, n)
		fixed(t, p, y, 1, steps, func(float64, []float64) {})
		return y
	}
	truth := bar(1280)
	e := func(steps int) (worst float64) {
		for i, v := range bar(steps) {
			worst = math.Max(worst, math.Abs(v-truth[i]))
		}
		return worst
	}
	if a, b := e(40), e(80); math.Log2(a/b) < 3.5 {
		t.Errorf("observed order %.2f (%.2g, %.2g) of a warmed bar", math.Log2(a/b), a, b)
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

// The error is the distance to a companion of order 3: where the step is halved
// its own error in one step falls by 16.
func TestErrorIsThatOfThirdOrder(t *testing.T) {
	miss := func(h float64) float64 {
		s := NewSolver(Problem{N: 1, Scale: []float64{1}, F: func(_ float64, y, d []float64) { d[0] = -y[0] * y[0] }}, 1)
		y := []float64{1}
		s.p.F(0, y, s.f0)
		s.jacobian(y, h)
		s.try(h, y)
		want := 1 / (1 + h)
		return math.Abs(s.y1[0] - s.k[stages-1][0] - want)
	}
	if p := math.Log2(miss(0.04) / miss(0.02)); math.Abs(p-4) > 0.4 {
		t.Errorf("error of the companion: order %.2f, want 4", p)
	}
}
