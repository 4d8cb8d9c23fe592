package plydraw

import (
	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// halo is how far the paper shows round a sign on a map, in mm.
const halo = 0.45

// haloed draws a line with paper round it, so that it is read on any colour.
func haloed(pen draw.Pen, points ...r2.Vec) []draw.Item {
	under := draw.Pen{Width: pen.Width + 2*halo, Colour: draw.Ground}
	return []draw.Item{draw.Line(under, points...), draw.Line(pen, points...)}
}

// seedArm is half of the seed's cross in mm.
const seedArm = 2.6

// seedSign marks where laying begins: the cross in a circle that stands on the
// patterns as well.
func seedSign(at r2.Vec) (out []draw.Item) {
	d := func(x, y float64) r2.Vec { return r2.Add(at, r2.Vec{X: x, Y: y}) }
	out = append(out, draw.Circle{At: at, R: seedArm/2 + halo, Fill: draw.Ground})
	out = append(out, haloed(draw.InkPen(0.35), d(-seedArm, 0), d(seedArm, 0))...)
	out = append(out, haloed(draw.InkPen(0.35), d(0, -seedArm), d(0, seedArm))...)
	return append(out, draw.Circle{At: at, R: seedArm / 2, Pen: draw.InkPen(0.35)})
}

// headLong is the length of an arrow's head in mm.
const headLong = 2.8

// arrow draws a line with a head at its end.
func arrow(width float64, points ...r2.Vec) []draw.Item {
	n := len(points)
	if n < 2 {
		return nil
	}
	tip := points[n-1]
	back := points[0]
	for i := n - 2; i >= 0; i-- { // the head looks along what is as long as itself
		if r2.Norm(r2.Sub(tip, points[i])) >= headLong {
			back = points[i]
			break
		}
	}
	d := r2.Sub(tip, back)
	if r2.Norm(d) == 0 {
		return nil
	}
	d = r2.Scale(headLong/r2.Norm(d), d)
	side := r2.Scale(0.36, r2.Vec{X: -d.Y, Y: d.X})
	foot := r2.Sub(tip, d)
	head := []r2.Vec{tip, r2.Add(foot, side), r2.Sub(foot, side)}
	items := haloed(draw.InkPen(width), points...)
	return append(items, draw.Path{Points: head, Closed: true, Pen: draw.Pen{Width: 2 * halo, Colour: draw.Ground}},
		draw.Path{Points: head, Closed: true, Pen: draw.InkPen(draw.Fine), Fill: draw.Ink})
}

// numberHigh is the height of a number's sign in mm.
const numberHigh = 4.2

// numberSign is a number in a round field with its middle at a point.
func numberSign(at r2.Vec, s string) []draw.Item {
	b := numberBox(at, s)
	r := numberHigh / 2
	left, right := r2.Vec{X: b.Min.X + r, Y: at.Y}, r2.Vec{X: b.Max.X - r, Y: at.Y}
	pen := draw.InkPen(draw.Medium)
	items := []draw.Item{draw.Circle{At: left, R: r, Pen: pen, Fill: draw.White}}
	if right.X > left.X+1e-9 {
		items = append(items, draw.Circle{At: right, R: r, Pen: pen, Fill: draw.White},
			draw.Rect(r2.NewBox(left.X, b.Min.Y, right.X, b.Max.Y), draw.Pen{}, draw.White),
			draw.Line(pen, r2.Vec{X: left.X, Y: b.Min.Y}, r2.Vec{X: right.X, Y: b.Min.Y}),
			draw.Line(pen, r2.Vec{X: left.X, Y: b.Max.Y}, r2.Vec{X: right.X, Y: b.Max.Y}))
	}
	return append(items, draw.Text{At: at, String: s, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink})
}

// numberBox is the room of a number's sign.
func numberBox(at r2.Vec, s string) r2.Box {
	half := max(numberHigh, draw.Width(s, draw.Bold, draw.Small)+2.4) / 2
	return r2.NewBox(at.X-half, at.Y-numberHigh/2, at.X+half, at.Y+numberHigh/2)
}

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
