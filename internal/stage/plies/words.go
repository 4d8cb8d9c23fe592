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
	touching = 0.02 // of the part's length: as near to an end is at it
	lowShare = 0.15 // of the part's height: level ground below it is low
)

var axisNames = [3]string{"x", "y", "z"}

// signed names a way along an axis; z points up.
func signed(axis int, x float64) string {
	switch {
	case axis == 2 && x < 0:
		return "down"
	case axis == 2:
		return "up"
	case x < 0:
		return "−" + axisNames[axis]
	}
	return "+" + axisNames[axis]
}

func components(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// waysOf lists the level axes that a direction follows, the foremost first, and
// tells whether it also rises or falls.
func waysOf(d r3.Vec) (level []string, steep bool) {
	long := r3.Norm(d)
	if long == 0 {
		return nil, false
	}
	c := components(d)
	order := [2]int{0, 1}
	if math.Abs(c[1]) > math.Abs(c[0]) {
		order = [2]int{1, 0}
	}
	for _, k := range order {
		if math.Abs(c[k]) >= counts*long {
			level = append(level, signed(k, c[k]))
		}
	}
	return level, math.Abs(c[2]) >= counts*long
}

// towards names a direction: "towards +x", "towards +x and −y", "towards +x and
// down", "straight down".
func towards(d r3.Vec) string {
	level, steep := waysOf(d)
	switch {
	case steep && len(level) == 0:
		return "straight " + signed(2, d.Z)
	case steep:
		return "towards " + level[0] + " and " + signed(2, d.Z)
	case len(level) == 0:
		return "nowhere"
	}
	return "towards " + strings.Join(level, " and ")
}

// lineName names a line through the seed by its direction: "+x", "+x+y", "down".
func lineName(d r3.Vec) string {
	level, _ := waysOf(d)
	if len(level) == 0 {
		return signed(2, d.Z)
	}
	return strings.Join(level, "")
}

// whereabouts describes a place on the part: the face it lies on and how far it is
// from the part's ends.
func whereabouts(at, normal r3.Vec, box r3.Box) string {
	n, p, lo, hi := components(normal), components(at), components(box.Min), components(box.Max)
	face, axis := "on the slope that faces "+strings.TrimPrefix(towards(normal), "towards "), -1
	for k := range n {
		if math.Abs(n[k]) >= faces {
			axis = k
			face = "on the wall that faces " + signed(k, n[k])
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
	for k := range 3 {
		long := hi[k] - lo[k]
		if k == axis || long < 1e-3 || axis < 0 && k == 2 {
			continue
		}
		off := (p[k] - (lo[k]+hi[k])/2) / long
		if math.Abs(off) <= midway {
			continue
		}
		end := "the part's " + signed(k, off) + " end"
		if k == 2 {
			end = "its top"
			if off < 0 {
				end = "its foot"
			}
		}
		if d := min(p[k]-lo[k], hi[k]-p[k]); d < touching*long {
			far = append(far, "at "+end)
		} else {
			far = append(far, millimetres(d)+" from "+end)
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
