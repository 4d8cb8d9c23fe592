package draw

import (
	"math"
	"strconv"
	"strings"
)

// tickStep returns the round step, 1, 2 or 5 times a power of ten, that gives
// at most n intervals from low to high.
func tickStep(low, high float64, n int) float64 {
	raw := (high - low) / float64(max(n, 1))
	if !(raw > 0) || math.IsInf(raw, 0) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range [...]float64{1, 2, 5} {
		if m*unit >= raw*(1-1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}

// Ticks returns the round values from low to high, about n of them.
func Ticks(low, high float64, n int) []float64 { return multiples(low, high, tickStep(low, high, n)) }

// multiples returns the multiples of a step from low to high.
func multiples(low, high, step float64) []float64 {
	if step == 0 {
		return nil
	}
	var out []float64
	for i := math.Ceil(low/step - 1e-6); i*step <= high+1e-6*step; i++ {
		out = append(out, i*step+0) // +0: no negative nought
	}
	return out
}

// Decimals is how many decimals the ticks of such an axis need.
func Decimals(low, high float64, n int) int { return decimals(tickStep(low, high, n)) }

func decimals(step float64) int {
	if step == 0 {
		return 0
	}
	return max(0, int(-math.Floor(math.Log10(step)+1e-9)))
}

// Number writes x with fixed decimals and a true minus sign.
func Number(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if digits, minus := strings.CutPrefix(s, "-"); minus {
		if strings.Trim(digits, "0.") == "" {
			return digits
		}
		return "−" + digits
	}
	return s
}

// Short writes x in three significant digits, without needless noughts.
func Short(x float64) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	d := max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	s := Number(x, d)
	if d > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Axis is one side of a chart.
type Axis struct {
	Label    string
	Unit     string
	Low      float64
	High     float64 // Low = High: from the data, rounded outwards
	FromZero bool    // with ends from the data: start at nought
	Tight    bool    // with ends from the data: end there, not at the next round value
	Whole    bool    // ticks at whole numbers only

	step float64 // between ticks, once the ends are settled; 0: chosen when drawn
}

// over settles the ends: as given, or round values about the data.
func (a Axis) over(values []float64, n int) Axis {
	if a.Low != a.High {
		return a
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			low, high = min(low, v), max(high, v)
		}
	}
	if low > high {
		low, high = 0, 1
	}
	if a.FromZero {
		low, high = min(low, 0), max(high, 0)
	}
	if low == high {
		low, high = low-0.5*max(math.Abs(low), 1), high+0.5*max(math.Abs(high), 1)
	}
	step := tickStep(low, high, n)
	a.step = step
	if a.Tight {
		a.Low, a.High = low, high
		return a
	}
	a.Low, a.High = math.Floor(low/step+1e-6)*step, math.Ceil(high/step-1e-6)*step
	return a
}

// ticks returns where the settled axis has its ticks, and their decimals.
func (a Axis) ticks(n int) ([]float64, int) {
	step := a.step
	if step == 0 {
		step = tickStep(a.Low, a.High, n)
	}
	if a.Whole {
		step = max(step, 1)
	}
	return multiples(a.Low, a.High, step), decimals(step)
}
