package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// Joint is how the pieces of a split meet.
type Joint struct {
	Width si.Length    `json:"width_m,omitempty"` // of the flange on each piece of a cavity, or of the lap over the cut of a part
	Area  si.Area      `json:"area_m2"`           // of one face: flange, lap or cut through a plug
	Pins  [][3]float64 `json:"pins_m,omitempty"`  // places of register pins; the last is set off the even spacing, so that the pieces go together one way only
	Pin   si.Length    `json:"pin_diameter_m,omitempty"`
}

// Widths and pins of joints. Common practice, no source: a split cavity needs a
// land that takes bolts and sealant tape; a cut part is joined by a lap of cloth
// on the inside; dowels of 8 mm, no more than a span apart.
const (
	usualFlange si.Length = 40e-3
	usualLap    si.Length = 25e-3
	pinDiameter si.Length = 8e-3
	pinSpacing            = 0.2 // m
	mostPins              = 24
	pinOff                = 0.15 // of the spacing: how far the last is set off
)

// joint works out the flange or the lap of a split and its register pins. Pins
// stand in the mould, half a flange off the surface, or in a plug a third of the
// way to its far side where that is less.
func (s *surface) joint(sp Split) Joint {
	j := Joint{Width: s.in.Flange}
	switch {
	case sp.Of == ThePart && j.Width == 0:
		j.Width = usualLap
	case j.Width == 0:
		j.Width = usualFlange
	}
	j.Area = si.Area(j.Width * sp.Seam)
	if sp.Of == ThePart {
		return j
	}
	inset := float64(j.Width) / 2
	if !s.in.Cavity {
		j.Width, j.Area = 0, 0
		for i := range sp.Planes {
			area, _ := s.face(linesIn(sp, i))
			j.Area += si.Area(area)
		}
	}
	j.Pin = pinDiameter
	for i, plane := range sp.Planes {
		for _, q := range pinned(linesIn(sp, i)) {
			if p, ok := s.inward(q, vec(plane.Normal), inset); ok && len(j.Pins) < mostPins {
				j.Pins = append(j.Pins, array(p))
			}
		}
	}
	return j
}

// linesIn returns the seams that lie in one of a split's planes.
func linesIn(sp Split, plane int) (out [][]r3.Vec) {
	for _, l := range sp.Lines {
		if math.Abs(sp.Planes[plane].side(l[len(l)/2])) < 1e-6 {
			out = append(out, l)
		}
	}
	return out
}

// pinned returns places along lines, evenly, the last one off.
func pinned(lines [][]r3.Vec) (out []r3.Vec) {
	whole := length(lines)
	n := max(2, int(math.Ceil(whole/pinSpacing)))
	step := whole / float64(n)
	for i := range n {
		at := (float64(i) + 0.5) * step
		if i == n-1 {
			at -= pinOff * step
		}
		if p, ok := placeAt(lines, at); ok {
			out = append(out, p)
		}
	}
	return out
}

func placeAt(lines [][]r3.Vec, at float64) (r3.Vec, bool) {
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			d := r3.Sub(l[i], l[i-1])
			if long := r3.Norm(d); at > long {
				at -= long
			} else if long > 0 {
				return r3.Add(l[i-1], r3.Scale(at/long, d)), true
			}
		}
	}
	return r3.Vec{}, false
}

// inward moves a place of the surface into the mould within a plane.
func (s *surface) inward(q, m r3.Vec, by float64) (r3.Vec, bool) {
	hit, ok := s.onPart.Closest(q)
	if !ok {
		return q, false
	}
	n := s.in.Normal(hit.Face, hit.At)
	in := r3.Sub(r3.Scale(r3.Dot(n, m), m), n)
	if r3.Norm(in) < 1e-6 {
		return q, false
	}
	in = r3.Unit(in)
	if far, ok := s.onPart.Ray(r3.Add(q, r3.Scale(s.off, in)), in, 0); ok && !s.in.Cavity {
		by = min(by, far.Distance/3)
	}
	return r3.Add(q, r3.Scale(by, in)), true
}
