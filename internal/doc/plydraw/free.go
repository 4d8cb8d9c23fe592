package plydraw

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// labels keeps signs off each other and inside a room.
type labels struct {
	room  r2.Box
	taken []r2.Box
}

// beside finds a place for a sign near a point, on the side that out points to.
// Where all places are taken it is the first tried.
func (l *labels) beside(p, out r2.Vec, sign string) r2.Vec {
	if r2.Norm(out) == 0 {
		out = r2.Vec{Y: -1}
	}
	out = r2.Unit(out)
	best := r2.Add(p, r2.Scale(5, out))
	for _, far := range []float64{5, 7, 9, 12, 15, 20} {
		for _, turn := range []float64{0, 0.4, -0.4, 0.8, -0.8, 1.3, -1.3, 2, -2} {
			at := r2.Add(p, r2.Scale(far, draw.Turn(turn).Do(out)))
			if box := numberBox(at, sign); within(box, l.room) && !meetsAny(box, l.taken) {
				l.taken = append(l.taken, box)
				return at
			}
		}
	}
	l.taken = append(l.taken, numberBox(best, sign))
	return best
}

// name draws a sign beside a point with a line to it.
func (l *labels) name(p, out r2.Vec, sign string) []draw.Item {
	at := l.beside(p, out, sign)
	return append([]draw.Item{draw.Line(draw.Pen{Width: draw.Fine, Colour: draw.Soft}, p, at)}, numberSign(at, sign)...)
}

func within(b, room r2.Box) bool {
	return b.Min.X >= room.Min.X && b.Min.Y >= room.Min.Y && b.Max.X <= room.Max.X && b.Max.Y <= room.Max.Y
}

func meetsAny(b r2.Box, taken []r2.Box) bool {
	for _, t := range taken {
		if b.Min.X < t.Max.X && t.Min.X < b.Max.X && b.Min.Y < t.Max.Y && t.Min.Y < b.Max.Y {
			return true
		}
	}
	return false
}
