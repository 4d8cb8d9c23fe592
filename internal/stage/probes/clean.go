package probes

import (
	"fmt"
	"math"
	"slices"
)

// clean makes one channel's line.
func clean(c Channel, times []float64, gap float64) Probe {
	p := Probe{Name: c.Name, Role: RoleOf(c.Name)}
	var x, y []float64
	for i, t := range times {
		switch v := c.Values[i]; {
		case v >= coldestReading && v <= hottestReading:
			x, y = append(x, t), append(y, v)
		case v == v:
			p.Open++
		}
	}
	const fewest = 0.3 // share of the rows
	if len(x) < 2 || float64(len(x)) < fewest*float64(len(times)) {
		p.Bad = fmt.Sprintf("gives a temperature in %d of %d rows only", len(x), len(times))
		return p
	}
	if last := times[len(times)-1]; x[len(x)-1] < last-gap {
		p.Bad = fmt.Sprintf("gives no temperature after %.3g h", x[len(x)-1]/3600)
	}
	x, y, p.Spikes = despike(x, y)
	p.Lowest, p.Highest = math.Inf(1), math.Inf(-1)
	for i, v := range y {
		p.Lowest = min(p.Lowest, v)
		if v > p.Highest {
			p.Highest, p.HighestAt = v, x[i]
		}
	}
	if x[0] > times[0]+gap {
		p.Gaps = append(p.Gaps, Gap{times[0], x[0]})
	}
	if x[0] > times[0] {
		x, y = append([]float64{times[0]}, x...), append([]float64{y[0]}, y...)
	}
	for i := 1; i < len(x); i++ {
		if x[i] > x[i-1]+gap && !(len(p.Gaps) > 0 && p.Gaps[0].To == x[i]) {
			p.Gaps = append(p.Gaps, Gap{x[i-1], x[i]})
		}
	}
	p.thin(gathered(x, y, p.Gaps))
	return p
}

// thin keeps the ends of gaps, between which a line may be bent aside later.
func (p *Probe) thin(x, y []float64) {
	from := 0
	for i := 1; i <= len(x); i++ {
		if i < len(x) && !p.gapEnds(x[i]) {
			continue
		}
		tx, ty := ThinBy(x[from:i], y[from:i], Thinned)
		p.X, p.Y, from = append(p.X, tx...), append(p.Y, ty...), i
	}
}

// Bounds of a spike (judgement, but for the first).
const (
	spikeSigmas = 3.0      // robust standard deviations from the running median
	spikeLeast  = 4.0      // K from it at least: loggers round, ovens breathe
	spikeRate   = 3.0 / 60 // K/s by which it leaps and comes back: a part on a mould can't
	spikeSpan   = 30.0     // s on each side that the median is taken over, or spikeSide readings
	spikeSide   = 3
	spikeMost   = 15 // readings on each side
	toSigma     = 1.4826022185056018
)

// despike drops readings that leap away from the running median and come back:
//
//	|x − m| > max(3·1.4826·median|x − m|, 4 K)
//
// over at most half the window, at more than 3 K a minute both ways. 1.4826 makes
// the median of deviations the standard deviation of a normal one; the rates let
// a real peak stand, which rises and falls no faster than heat moves.
//
// Source: [hampel1974].
func despike(x, y []float64) (keptX, keptY []float64, dropped int) {
	side := min(spikeMost, max(spikeSide, int(math.Ceil(spikeSpan/max(usualStep(x), 1e-3)))))
	odd := make([]bool, len(y))
	window, away := make([]float64, 0, 2*side+1), make([]float64, 0, 2*side+1)
	for i := range y {
		window = append(window[:0], y[max(0, i-side):min(len(y), i+side+1)]...)
		slices.Sort(window)
		m := window[len(window)/2]
		if math.Abs(y[i]-m) <= spikeLeast {
			continue
		}
		away = away[:0]
		for _, v := range window {
			away = append(away, math.Abs(v-m))
		}
		slices.Sort(away)
		odd[i] = math.Abs(y[i]-m) > spikeSigmas*toSigma*away[len(away)/2]
	}
	for i := 0; i < len(y); {
		j := i
		for j < len(y) && odd[j] {
			j++
		}
		if j > i {
			if len(keptX)+len(y)-j >= 2 && leaps(x, y, i, j) {
				dropped += j - i
			} else {
				keptX, keptY = append(keptX, x[i:j]...), append(keptY, y[i:j]...)
			}
			i = j
			continue
		}
		keptX, keptY = append(keptX, x[i]), append(keptY, y[i])
		i++
	}
	return keptX, keptY, dropped
}

// leaps tells whether readings i to j-1 stand off faster than heat moves, on
// every side where there is another.
func leaps(x, y []float64, i, j int) bool {
	fast := func(a, b int) bool { return math.Abs(y[b]-y[a]) > spikeRate*(x[b]-x[a]) }
	return (i == 0 || fast(i-1, i)) && (j == len(y) || fast(j-1, j))
}

// binned is the time over which a fast logger's readings are averaged, s: a
// thermocouple in cloth takes longer to follow.
const binned = 20.0

// gathered averages readings that stand closer than binned. Averages don't reach
// over a gap.
func gathered(x, y []float64, gaps []Gap) (outX, outY []float64) {
	if usualStep(x) >= binned/2 {
		return x, y
	}
	for i := 0; i < len(x); {
		j, sumX, sumY := i, 0.0, 0.0
		for j < len(x) && x[j] < x[i]+binned && !(j > i && slices.ContainsFunc(gaps, func(g Gap) bool { return g.To == x[j] })) {
			sumX, sumY, j = sumX+x[j], sumY+y[j], j+1
		}
		n := float64(j - i)
		switch at := sumX / n; {
		case i == 0:
			at = x[0]
			outX, outY = append(outX, at), append(outY, sumY/n)
		case j == len(x):
			outX, outY = append(outX, x[j-1]), append(outY, sumY/n)
		default:
			outX, outY = append(outX, at), append(outY, sumY/n)
		}
		i = j
	}
	return outX, outY
}
