package probes

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

const zero = 273.15

// steady is a log of n readings a step apart.
func steady(n int, step float64, f func(t float64) float64) (times, values []float64) {
	for i := range n {
		t := step * float64(i)
		times, values = append(times, t), append(values, f(t))
	}
	return times, values
}

func one(times, values []float64) Probe {
	return Clean(Log{Times: times, Channels: []Channel{{Name: "part", Values: values}}}, math.Inf(1))[0]
}

func ramp(t float64) float64 { return zero + 20 + min(t/3600*10, 40) }

// Spikes of one to three readings go, up and down; the ramp stays.
func TestSpikesGo(t *testing.T) {
	for _, c := range []struct{ step, height float64 }{{60, 30}, {60, -15}, {10, 8}, {1, 6}, {300, 60}} {
		times, clean := steady(600, c.step, ramp)
		dirty := append([]float64{}, clean...)
		for _, i := range []int{0, 50, 51, 200, 300, 301, 302, 599} {
			dirty[i] += c.height
		}
		p := one(times, dirty)
		if p.Spikes != 8 || p.Highest > clean[599]+1e-9 {
			t.Errorf("every %g s by %g K: %d spikes, highest %.2f", c.step, c.height, p.Spikes, p.Highest-zero)
		}
	}
}

// A real peak stands: 25 K of exotherm over half an hour, read each 5 minutes, and
// the step of a probe that is put on a warm part.
func TestPeaksStand(t *testing.T) {
	hump := func(t float64) float64 { return zero + 40 + 25*math.Exp(-math.Pow((t-7200)/600, 2)) }
	times, values := steady(60, 300, hump)
	if p := one(times, values); p.Spikes != 0 || p.Highest != zero+65 || p.HighestAt != 7200 {
		t.Errorf("hump: %+v", p)
	}
	jump := func(t float64) float64 {
		if t < 3000 {
			return zero + 20
		}
		return zero + 45
	}
	times, values = steady(100, 60, jump)
	if p := one(times, values); p.Spikes != 0 {
		t.Errorf("jump: %d spikes", p.Spikes)
	}
}

func TestDeadProbes(t *testing.T) {
	times, good := steady(200, 60, ramp)
	_, flat := steady(200, 60, func(float64) float64 { return zero + 21 })
	_, open := steady(200, 60, func(float64) float64 { return zero + 1372 })
	_, broken := steady(200, 60, func(t float64) float64 {
		if t > 6000 {
			return math.NaN()
		}
		return ramp(t)
	})
	for i, bad := range map[int]bool{0: false, 1: true, 2: true, 3: true} {
		p := Clean(Log{Times: times, Channels: []Channel{{"a", good}, {"b", flat}, {"c", open}, {"d", broken}}}, math.Inf(1))[i]
		if (p.Bad != "") != bad {
			t.Errorf("%s: %q", p.Name, p.Bad)
		}
	}
	// A hold alone is no fault.
	if p := one(times, flat); p.Bad != "" {
		t.Error(p.Bad)
	}
}

// The thinned line stays within its error of every reading, keeps both ends, and
// needs no more points than a smooth line asks for: √(M·L²/(16·e)) pieces of a
// curve of second derivative M over L would do for the best broken line.
func TestThinnedWithinError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 200).Draw(t, "n")
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(i) * 60
			if i > 0 {
				y[i] = y[i-1] + rapid.Float64Range(-0.2, 0.2).Draw(t, "dy")
			}
		}
		ox, oy := ThinBy(x, y, Thinned)
		j := 0
		for i := range n {
			for j+1 < len(ox)-1 && ox[j+1] < x[i] {
				j++
			}
			got := oy[j]
			if len(ox) > 1 {
				got += (oy[j+1] - oy[j]) * (x[i] - ox[j]) / (ox[j+1] - ox[j])
			}
			if math.Abs(got-y[i]) > Thinned+1e-9 {
				t.Fatalf("%.3f K off at %g s", got-y[i], x[i])
			}
		}
		if ox[0] != x[0] || ox[len(ox)-1] != x[n-1] {
			t.Fatal("an end is lost")
		}
	})
	x, y := steady(2880, 60, func(t float64) float64 { return zero + 40 + 20*math.Sin(t/20000) })
	best := math.Sqrt(20/2e4/2e4*math.Pow(2880*60, 2)/(16*Thinned)) * 2 / math.Pi * 1.2
	if ox, _ := ThinBy(x, y, Thinned); float64(len(ox)) > 2.2*best {
		t.Errorf("%d points, the best line has some %.0f", len(ox), best)
	}
}

// Over a gap of an hour between 40 and 50 degC at 2 K a minute: 30 min each way
// meets at (40+50±120)/2; a floor and a ceiling cut it.
func TestGapIsBracketed(t *testing.T) {
	x := []float64{0, 600, 1200, 4800, 5400}
	y := []float64{zero + 40, zero + 40, zero + 40, zero + 50, zero + 50}
	p := one(x, y)
	if len(p.Gaps) != 1 || p.Gaps[0] != (Gap{1200, 4800}) {
		t.Fatalf("gaps %+v", p.Gaps)
	}
	_, low := p.Coldest(-1000)
	_, high := p.Warmest(1000)
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, v := range low {
		lowest = min(lowest, v)
	}
	for _, v := range high {
		highest = max(highest, v)
	}
	if math.Abs(lowest-zero-(90-120)/2.0) > 1e-9 || math.Abs(highest-zero-(90+120)/2.0) > 1e-9 {
		t.Errorf("%.2f to %.2f degC", lowest-zero, highest-zero)
	}
	cx, cy := p.Coldest(zero + 20)
	// down 20 K in 10 min, along, up 30 K in 15 min
	if n := len(cx); n != 6 && n != 5 || !has(cx, cy, 1200+600, zero+20) || !has(cx, cy, 4800-900, zero+20) {
		t.Errorf("%v %v", cx, cy)
	}
	// The ends of a gap stay, be the line across it ever so straight.
	long := func(t float64) float64 {
		if t > 20000 && t < 32000 {
			return math.NaN()
		}
		return zero + 20 + t/1e3
	}
	if p := one(steady(900, 60, long)); len(p.X) != 4 || p.X[2] != p.Gaps[0].To {
		t.Errorf("%v, gaps %v", p.X, p.Gaps)
	}
	x[3], x[4] = 1200+longGap, 1800+longGap
	if p := one(x, y); len(p.Gaps) != 0 {
		t.Errorf("a quarter of an hour is no gap: %+v", p.Gaps)
	}
}

func has(x, y []float64, a, b float64) bool {
	for i := range x {
		if math.Abs(x[i]-a) < 1e-6 && math.Abs(y[i]-b) < 1e-6 {
			return true
		}
	}
	return false
}

// A reading each second is averaged without moving the peak by more than its bin.
func TestFastLoggerIsAveraged(t *testing.T) {
	hump := func(t float64) float64 {
		return zero + 40 + 25*math.Exp(-math.Pow((t-7200)/600, 2)) + 0.3*math.Sin(7*t)
	}
	times, values := steady(14400, 1, hump)
	p := one(times, values)
	if len(p.X) > 1000 || math.Abs(p.HighestAt-7200) > binned {
		t.Errorf("%d points, peak at %g s", len(p.X), p.HighestAt)
	}
	top := 0.0
	for i := range p.X {
		if p.Y[i] > top {
			top = p.Y[i]
		}
	}
	if math.Abs(top-zero-65) > 0.15 {
		t.Errorf("peak of %.2f degC", top-zero)
	}
}

func TestRoleOf(t *testing.T) {
	for name, want := range map[string]Role{"TC1": Part, "Oven air": Air, "mould back": Mould, "Bag film": Bag, "AIR_2": Air,
		"Ambient": Out, "Luft": Air, "wing hair": Part, "probe 3": Part, "tool": Mould, "platform": Part} {
		if got := RoleOf(name); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// Where the end is given, nothing after it counts.
func TestCleanUntil(t *testing.T) {
	times, values := steady(100, 60, ramp)
	values[80] = zero + 300
	p := Clean(Log{Times: times, Channels: []Channel{{"a", values}}}, 3000)[0]
	if p.X[len(p.X)-1] != 3000 || p.Highest > zero+30 {
		t.Errorf("%+v", p)
	}
}
