package flat

import (
	"slices"
	"strings"
)

// Mirrored returns the piece for the other hand: for a part that is the mirror
// image of this one in a plane across the mould's axis x, y or z. It has the
// letter M after its name; its warp is the same line, and its marked face still
// looks away from the mould. l is the label of the piece itself.
func Mirrored(p Piece, l Label, axis string) Piece {
	out := p
	out.Name = p.Name + "M"
	out.Outline, out.Net, out.Carrier = turnedRing(p.Outline), turnedRing(p.Net), turnedRing(p.Carrier)
	out.Trim, out.Knife, out.Notches = overAll(p.Trim, over), overAll(p.Knife, over), overAll(p.Notches, over)
	out.Cutouts, out.Holes = overAll(p.Cutouts, turnedRing), overAll(p.Holes, turnedRing)
	out.Narrow = over(p.Narrow)
	out.Stops = slices.Clone(p.Stops)
	for i, s := range p.Stops {
		out.Stops[i].At = [2]float64{s.At[0], -s.At[1]}
	}
	out.Gaps = slices.Clone(p.Gaps)
	for i, g := range p.Gaps {
		out.Gaps[i].Outline = turnedRing(g.Outline)
		out.Gaps[i].Side = map[string]string{"left": "right", "right": "left"}[g.Side]
	}
	out.Marks = slices.Clone(p.Marks)
	for i, m := range p.Marks {
		out.Marks[i] = mirroredMark(m, axis)
	}
	l.Angle = -l.Angle
	out.Words = append(words(&out, l), "for the mirrored part")
	return out
}

func mirroredMark(m Mark, axis string) Mark {
	m.Line = over(m.Line)
	if m.Mould == nil {
		return m
	}
	at := *m.Mould
	if k := strings.Index("xyz", axis); k >= 0 {
		at[k] = -at[k] + 0
	}
	m.Mould = &at
	if value, on := strings.CutPrefix(m.Label, axis+" "); on && value != "0" {
		if positive, negative := strings.CutPrefix(value, "-"); negative {
			m.Label = axis + " " + positive
		} else {
			m.Label = axis + " -" + value
		}
	}
	return m
}

// over turns a line over about the warp.
func over(line [][2]float64) [][2]float64 {
	if line == nil {
		return nil
	}
	out := make([][2]float64, len(line))
	for i, p := range line {
		out[i] = [2]float64{p[0], -p[1] + 0}
	}
	return out
}

// turnedRing turns a ring over and keeps its sense.
func turnedRing(ring [][2]float64) [][2]float64 {
	out := over(ring)
	slices.Reverse(out)
	return out
}

func overAll(lines [][][2]float64, turn func([][2]float64) [][2]float64) (out [][][2]float64) {
	for _, l := range lines {
		out = append(out, turn(l))
	}
	return out
}
