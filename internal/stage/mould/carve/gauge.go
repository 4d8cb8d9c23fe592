package carve

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Gauge checks a radius: one end rounded to go into a hollow, the other hollowed to
// go over an edge.
type Gauge struct {
	Name    string       `json:"name"`
	Radius  si.Length    `json:"radius_m"`
	Outline geom.Polygon `json:"-"`
}

// Measures of gauges, m.
const (
	gaugeLong  = 100e-3
	gaugeSlim  = 24e-3
	gaugeWide  = 80e-3
	gaugeTaper = math.Pi / 4 // how far round a small nose goes to each side
	gaugeSpan  = 0.7         // of the width: the hollow's opening
)

// gauges makes one gauge for each radius, the smallest first.
func gauges(radii []si.Length) (out []Gauge) {
	sorted := slices.Sorted(slices.Values(radii))
	for i, r := range sorted {
		if r > 0 && (i == 0 || float64(r-sorted[i-1]) > 1e-6) {
			out = append(out, Gauge{Name: "R" + measure(1e3*float64(r)), Radius: r, Outline: gauge(float64(r))})
		}
	}
	return out
}

// gauge draws the stick with its nose at the origin.
func gauge(r float64) geom.Polygon {
	half := min(max(2*r, gaugeSlim), gaugeWide) / 2
	turn := math.Asin(min(1, half/r))
	if r < half {
		turn = gaugeTaper
	}
	out := arc(r2.Vec{Y: r}, r, -math.Pi/2-turn, -math.Pi/2+turn)
	if end := out[len(out)-1]; end.X < half-1e-9 { // the nose is narrower than the stick
		out = append(out, r2.Vec{X: half, Y: end.Y + half - end.X})
	}
	open := min(gaugeSpan*half, r)
	rise := math.Sqrt(r*r - open*open)
	long := gaugeLong + r
	end := math.Asin(open / r)
	dip := arc(r2.Vec{Y: long + rise}, r, -math.Pi/2-end, -math.Pi/2+end)
	slices.Reverse(dip)
	out = append(append(out, r2.Vec{X: half, Y: long}), dip...)
	out = append(out, r2.Vec{X: -half, Y: long})
	if out[0].X > -half+1e-9 {
		out = append(out, r2.Vec{X: -half, Y: out[0].Y + half + out[0].X})
	}
	return out
}

// arc draws an arc anticlockwise whose chords stand a hundredth of a millimetre off
// it at most.
func arc(c r2.Vec, r, from, to float64) (out geom.Polygon) {
	const sag = 1e-5
	n := math.Ceil((to - from) / (2 * math.Acos(max(0.9, 1-sag/r))))
	for k := range int(n) + 1 {
		s, co := math.Sincos(from + (to-from)*float64(k)/n)
		out = append(out, r2.Vec{X: c.X + r*co, Y: c.Y + r*s})
	}
	return out
}
