package exchanger

import (
	"math"
	"testing"
)

// numericBox solves the box cell by cell: in every pass the air goes through
// the depth, the liquid along the tube; the air is mixed between passes and
// turns round, the liquid keeps its layers. Cells are central differences, so
// the error falls with the square of the cell.
func numericBox(a Arrangement, n int, ntu, ratio float64) float64 {
	const cells = 24
	alpha := ntu / float64(n) / cells
	r := ratio
	if a == Along {
		r *= float64(n)
	}
	in := make([]float64, n+1) // air before each pass
	for range 200 {
		before := in[n]
		var layers [cells]float64
		for i := range layers {
			layers[i] = 1
		}
		for step := range n {
			k := step
			if a == AcrossCounter {
				k = n - 1 - step
			}
			if a == Along {
				for i := range layers {
					layers[i] = 1
				}
			}
			in[k+1] = numericPass(&layers, in[k], alpha, r, k%2 == 1)
		}
		if math.Abs(in[n]-before) < 1e-10 {
			return in[n]
		}
	}
	return math.NaN()
}

func numericPass(layers *[24]float64, airIn, alpha, ratio float64, back bool) float64 {
	var sum float64
	for range layers { // columns along the tube
		air := airIn
		for i := range layers {
			row := i
			if back {
				row = len(layers) - 1 - i
			}
			q := alpha * (layers[row] - air) / (1 + alpha*(1+ratio)/2)
			air += q
			layers[row] -= ratio * q
		}
		sum += air
	}
	return sum / float64(len(layers))
}

// layeredBox is box with the liquid's layers kept.
func layeredBox(a Arrangement, n int, ntu, ratio float64) float64 {
	p, passes := make([]float64, n), make([]crossing, n)
	for k := range p {
		p[k] = Cross.AirEffectiveness(ntu/float64(n), 1, 1/ratio)
		passes[k] = crossing{units: ntu / float64(n), ratio: ratio, through: 1}
	}
	return unmixed(a, passes, join(a, p, ratio))[n-1].airOut
}

// The engine against a solution that knows no effectiveness relation: within
// half a point of effectiveness everywhere. The numeric solution's own cells err
// by 0.02 points.
func TestPassesAgainstCells(t *testing.T) {
	for _, a := range []Arrangement{AcrossCounter, AcrossParallel, Along} {
		most := 0.0
		for n := 1; n <= 4; n++ {
			for _, ntu := range []float64{0.25, 0.5, 1, 2, 3, 4} {
				for _, ratio := range []float64{0, 0.1, 0.25, 0.5, 0.75, 1} {
					got := box(a, n, ntu, ratio)
					if a != Along && n > 1 {
						got = layeredBox(a, n, ntu, ratio)
					}
					most = max(most, math.Abs(got-numericBox(a, n, ntu, ratio)))
				}
			}
		}
		t.Logf("%s: %.5f", a, most)
		if !(most < 0.003) {
			t.Errorf("%s: %.4f from the cells, want under 0.003", a, most)
		}
	}
}

// Mixing liquid between passes changes little where the air's capacity is small
// against the liquid's, the usual case: 0.4 points at most up to NTU 2 and C* 0.1.
func TestMixingMattersLittle(t *testing.T) {
	for n := 2; n <= 6; n++ {
		for _, a := range []Arrangement{AcrossCounter, AcrossParallel} {
			if d := math.Abs(layeredBox(a, n, 2, 0.1) - box(a, n, 2, 0.1)); !(d < 0.004) {
				t.Errorf("%s, %d passes: %.4f", a, n, d)
			}
		}
	}
}

// Many passes in counter order are counterflow; an air stream beside an
// unlimited liquid gives 1 − e^−NTU in any order; equal passes follow the closed
// form of [kays-london1984].
func TestPassesLimits(t *testing.T) {
	if got, want := box(AcrossCounter, 400, 2, 0.7), CounterFlow(2, 0.7); math.Abs(got-want) > 1e-3 {
		t.Errorf("400 passes %.5f, counterflow %.5f", got, want)
	}
	for _, a := range []Arrangement{AcrossCounter, AcrossParallel, Along} {
		if got, want := box(a, 5, 1.7, 1e-12), 1-math.Exp(-1.7); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %.9f, want %.9f", a, got, want)
		}
	}
	for _, c := range []float64{0.2, 0.9} {
		e := CrossFlow(0.5, c)
		x := math.Pow((1-e*c)/(1-e), 4)
		if got, want := box(AcrossCounter, 4, 2, c), (x-1)/(x-c); math.Abs(got-want) > 1e-12 {
			t.Errorf("closed form at C %g: %.12f, want %.12f", c, got, want)
		}
		y := (1 - math.Pow(1-(1+c)*e, 4)) / (1 + c)
		if got := box(AcrossParallel, 4, 2, c); math.Abs(got-y) > 1e-12 {
			t.Errorf("parallel closed form at C %g: %.12f, want %.12f", c, got, y)
		}
	}
}

// Each pass gives the air what it takes from the liquid, and passes hang together.
func TestPassesChain(t *testing.T) {
	p, ratio := []float64{0.2, 0.5, 0.35, 0.6}, 0.8
	at := join(AcrossCounter, p, ratio)
	for k, e := range at {
		if d := (e.liquidIn - e.liquidOut) - ratio*(e.airOut-e.airIn); math.Abs(d) > 1e-14 {
			t.Errorf("pass %d is out of balance by %g", k, d)
		}
		if d := (e.airOut - e.airIn) - p[k]*(e.liquidIn-e.airIn); math.Abs(d) > 1e-14 {
			t.Errorf("pass %d has the wrong effectiveness by %g", k, d)
		}
		if k > 0 && (e.airIn != at[k-1].airOut || e.liquidOut != at[k-1].liquidIn) {
			t.Errorf("pass %d does not join the one before", k)
		}
	}
	if at[0].airIn != 0 || at[3].liquidIn != 1 {
		t.Errorf("the ends are %v and %v, want 0 and 1", at[0].airIn, at[3].liquidIn)
	}
}

// The Kays & London chart values, [kays-london1984], from memory.
func TestCrossFlowChart(t *testing.T) {
	for _, c := range []struct{ ntu, ratio, want float64 }{{1, 1, 0.476}, {2, 1, 0.614}, {4, 0.5, 0.870}} {
		if got := CrossFlow(c.ntu, c.ratio); math.Abs(got-c.want) > 6e-4 {
			t.Errorf("NTU %g C %g: %.4f, want %.3f", c.ntu, c.ratio, got, c.want)
		}
	}
	if got := CrossFlow(5000, 0.3); got < 0.99 || got > 1 {
		t.Errorf("very many units give %.6f, want 1", got)
	}
	if got := CrossFlow(0, 0.3); got != 0 {
		t.Errorf("no units give %g", got)
	}
}

// Effectiveness rises with NTU, and turning test points back finds the conductance again.
func TestConductanceInverts(t *testing.T) {
	for _, f := range []Flow{Cross, CrossAirMixed, CrossLiquidMixed, Counter, Parallel} {
		for _, ua := range []float64{10, 40, 120} {
			p := f.AirEffectiveness(ua, 60, 150)
			got, err := f.conductance(p, 60, 150, "x")
			if err != nil || math.Abs(got/ua-1) > 1e-8 {
				t.Errorf("%s: %v W/K (%v), want %v", f, got, err, ua)
			}
		}
	}
	if _, err := Cross.conductance(1.2, 60, 150, "x"); err == nil {
		t.Error("more heat than there is was taken")
	}
}
