package carve

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// Line is the axis that stations are counted along.
type Line struct {
	Axis, Across string // names of the directions
	Turned       bool   // along y, not x
	Low, High    float64
}

// Measures of stations.
const (
	stationsMost = 9     // where no distance is given
	stationLeast = 10e-3 // m, between them then
	offEnd       = 2e-3  // m; nearer to an end nothing is cut
)

// axes returns the directions of what is built in those of the drawn shape.
func (b builder) axes() (x, y, z r3.Vec) {
	if b.in.Cavity {
		return r3.Vec{X: 1}, r3.Vec{Y: -1}, r3.Vec{Z: -1}
	}
	return r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
}

// line takes the longer side of the shape.
func (b builder) line() Line {
	box := b.face.bounds
	l := Line{Axis: b.in.Axes[0], Across: b.in.Axes[1], Low: box.Min.X, High: box.Max.X}
	if box.Max.Y-box.Min.Y > (l.High-l.Low)*(1+1e-9) {
		l = Line{Axis: b.in.Axes[1], Across: b.in.Axes[0], Turned: true, Low: box.Min.Y, High: box.Max.Y}
		if b.in.Cavity {
			l.Low, l.High = -l.High, -l.Low
		}
	}
	return l
}

// stations returns where the shape is cut along a line: on round measures from the
// datum.
func (b builder) stations(l Line) (out []float64) {
	step := float64(b.in.How.Every)
	if step == 0 {
		step = roundStep((l.High-l.Low)/stationsMost, stationLeast)
	}
	for k := math.Ceil((l.Low + offEnd) / step); k*step <= l.High-offEnd; k++ {
		out = append(out, math.Round(1e6*k*step)/1e6+0) // no noise, no −0
	}
	return out
}

// section is what an upright plane cuts from the shape: the level axis s, and the
// height h over the base plane, of a cavity from the mouth's plane.
type section struct {
	name, axis, across string // axis: along which At is counted
	from               string // the side that it is seen from
	at                 float64
	cut                []geom.Region
}

// sections cuts the shape across at each station, and once along its middle.
func (b builder) sections() (across []section, along section) {
	l := b.line()
	x, y, z := b.axes()
	all := make([]int32, len(b.face.mesh.Triangles))
	for i := range all {
		all[i] = int32(i)
	}
	take := func(name string, at float64, n r3.Vec) section {
		p := plane{at: r3.Scale(at, n), n: n, v: z, u: r3.Cross(z, n)}
		cut := b.face.regions(b.face.cut(p, all))
		b.face.far = max(b.face.far, b.face.left)
		return section{name: name, at: at, cut: cut}
	}
	fore, side, sign := x, r3.Scale(-1, y), -1.0 // side: the normal of the plane along
	if l.Turned {
		fore, side, sign = y, x, 1
	}
	for i, at := range b.stations(l) {
		s := take(fmt.Sprintf("%02d", i+1), at, fore)
		s.axis, s.across, s.from = l.Axis, l.Across, "+"+l.Axis
		if len(s.cut) > 0 {
			across = append(across, s)
		}
	}
	middle := b.middle(l)
	along = take("long", sign*middle, side)
	along.at, along.axis, along.across = middle, l.Across, l.Axis
	along.from = map[bool]string{true: "+", false: "-"}[l.Turned] + l.Across
	return across, along
}

// middle is where the shape is cut along: the datum, or the round measure next to
// its middle where the datum lies outside.
func (b builder) middle(l Line) float64 {
	low, high := b.face.bounds.Min.Y, b.face.bounds.Max.Y
	if l.Turned {
		low, high = b.face.bounds.Min.X, b.face.bounds.Max.X
	}
	if b.in.Cavity && !l.Turned {
		low, high = -high, -low
	}
	if low+offEnd < 0 && 0 < high-offEnd {
		return 0
	}
	return math.Round((low+high)/2/5e-3) * 5e-3
}

// top is the greatest height of the section, and where along s it is: of a level
// stretch its middle.
func (s section) top() (h, at float64) {
	h = math.Inf(-1)
	for _, r := range s.cut {
		for _, q := range r.Outer {
			h = max(h, q.Y)
		}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range s.cut {
		for _, q := range r.Outer {
			if q.Y > h-1e-4 {
				low, high = min(low, q.X), max(high, q.X)
			}
		}
	}
	return h, (low + high) / 2
}

// bounds is the box round the section.
func (s section) bounds() r2.Box { return boundsOf(s.cut) }

func boundsOf(of []geom.Region) r2.Box {
	b := geom.Polygon(nil).Bounds()
	for _, r := range of {
		c := r.Outer.Bounds()
		b.Min.X, b.Min.Y = min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)
		b.Max.X, b.Max.Y = max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)
	}
	return b
}

// upright returns the heights, rising, in which the border crosses the upright
// line at s.
func upright(of []geom.Region, s float64) (out []float64) {
	for _, r := range of {
		for _, ring := range append([]geom.Polygon{r.Outer}, r.Holes...) {
			for i, a := range ring {
				c := ring[(i+1)%len(ring)]
				if (a.X > s) != (c.X > s) {
					out = append(out, a.Y+(s-a.X)*(c.Y-a.Y)/(c.X-a.X))
				}
			}
		}
	}
	slices.Sort(out)
	return out
}

// Widths returns how far a section reaches along s at a height: from its least to
// its greatest place there; false where it does not reach so high.
func Widths(of []geom.Region, h float64) (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, r := range of {
		for i, a := range r.Outer {
			c := r.Outer[(i+1)%len(r.Outer)]
			if (a.Y > h) != (c.Y > h) {
				x := a.X + (h-a.Y)*(c.X-a.X)/(c.Y-a.Y)
				low, high = min(low, x), max(high, x)
			}
		}
	}
	return low, high, high > low
}

// Gap of the shape under itself from which a template no longer goes straight on, m.
const hooks = 0.5e-3

// overhangs tells whether the section is wider above than below somewhere, so that
// a template can't be lowered onto it; of a cavity, the other way up.
func (s section) overhangs() bool {
	const tries = 400
	box := s.bounds()
	for k := range tries {
		x := box.Min.X + (box.Max.X-box.Min.X)*(float64(k)+0.5)/tries
		hs := upright(s.cut, x)
		if len(hs) < 2 {
			continue
		}
		filled := 0.0
		for i := 0; i+1 < len(hs); i += 2 {
			filled += hs[i+1] - hs[i]
		}
		if span := max(hs[len(hs)-1], 0) - min(hs[0], 0); span-filled > hooks {
			return true
		}
	}
	return false
}
