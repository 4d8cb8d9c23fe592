package plies

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
)

// Limits of words for places and directions.
const (
	faces    = 0.8  // share of the normal along an axis from which a surface faces it
	counts   = 0.38 // share of a direction along an axis that is named: 22°
	midway   = 0.08 // of the part's length: as near to the middle is in the middle
	lowShare = 0.15 // of the part's height: level ground below it is low
)

var axisNames = [3]string{"x", "y", "z"}

// signed names an axis with its sign.
func signed(axis int, x float64) string {
	if x < 0 {
		return "−" + axisNames[axis]
	}
	return "+" + axisNames[axis]
}

func parts(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// towards names a direction by the axes that it mostly follows, the foremost first.
func towards(d r3.Vec) string {
	long := r3.Norm(d)
	if long == 0 {
		return "nowhere"
	}
	c := parts(d)
	var names []string
	for range 2 {
		best := 0
		for k := range c {
			if math.Abs(c[k]) > math.Abs(c[best]) {
				best = k
			}
		}
		if math.Abs(c[best]) < counts*long {
			break
		}
		names = append(names, signed(best, c[best]))
		c[best] = 0
	}
	return strings.Join(names, " and ")
}

// whereabouts describes a place on the part: the face it lies on and how far it is
// from the part's ends.
func whereabouts(at, normal r3.Vec, box r3.Box) string {
	n, p, lo, hi := parts(normal), parts(at), parts(box.Min), parts(box.Max)
	face, axis := "on the slope facing "+towards(normal), -1
	for k := range n {
		if math.Abs(n[k]) >= faces {
			axis = k
			face = "on the wall facing " + signed(k, n[k])
		}
	}
	high := hi[2] - lo[2]
	switch {
	case axis == 2 && n[2] < 0:
		face = "on the underside"
	case axis == 2 && high > 0.01 && p[2] < lo[2]+lowShare*high:
		face = "on the level ground at the foot"
	case axis == 2:
		face = "on the top"
	}
	var far []string
	for k := range p {
		long := hi[k] - lo[k]
		if k == axis || long < 1e-3 || axis < 0 && k == 2 {
			continue
		}
		if off := (p[k] - (lo[k]+hi[k])/2) / long; math.Abs(off) > midway {
			far = append(far, fmt.Sprintf("%s from the part's %s end", millimetres(min(p[k]-lo[k], hi[k]-p[k])), signed(k, off)))
		}
	}
	if len(far) == 0 {
		return face + ", in the middle"
	}
	return face + ", " + strings.Join(far, " and ")
}

// millimetres rounds as a person at a bench measures.
func millimetres(x float64) string {
	mm := 1000 * x
	if mm > 50 {
		mm = 5 * math.Round(mm/5)
	}
	return fmt.Sprintf("%.0f mm", mm+0)
}

func wholeDegrees(a float64) string { return fmt.Sprintf("%.0f°", si.Angle(a).Degrees()) }

var numerals = [...]string{"no", "one", "two", "three", "four", "five", "six"}

func countOf(n int) string {
	if n < len(numerals) {
		return numerals[n]
	}
	return fmt.Sprint(n)
}
