package outlines

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// deepest is how many blocks may stand within one another, and mostCopies how many
// copies one INSERT may draw.
const (
	deepest    = 16
	mostCopies = 10_000
)

// draw draws things; layer is that of the block they stand in, which those on layer 0
// take.
func (x *dxfReader) draw(all []entity, m affine, layer string, depth int) error {
	if depth > deepest {
		return fmt.Errorf("blocks stand within one another more than %d deep", deepest)
	}
	for i := 0; i < len(all); i++ {
		e := all[i]
		on := e.text(8, "0")
		if on == "0" && layer != "" {
			on = layer
		}
		var vertices []entity
		if e.kind == "POLYLINE" {
			for i++; i < len(all) && all[i].kind == "VERTEX"; i++ {
				vertices = append(vertices, all[i])
			}
			if i < len(all) && all[i].kind != "SEQEND" {
				i--
			}
		}
		var err error
		if e.kind == "INSERT" {
			err = x.insert(e, m, on, depth)
		} else {
			err = x.line(e, vertices, m, on)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// insert draws a block, in rows and columns where it is so.
func (x *dxfReader) insert(e entity, m affine, layer string, depth int) error {
	b, ok := x.blocks[e.text(2, "")]
	if !ok {
		return fmt.Errorf("%s: there is no block %q", e.place(), e.text(2, ""))
	}
	cols, rows := max(1, e.int(70)), max(1, e.int(71))
	if cols > mostCopies || rows > mostCopies || cols*rows > mostCopies {
		return fmt.Errorf("%s: %d copies; at most %d are drawn", e.place(), cols*rows, mostCopies)
	}
	at := m.of(e.ocs()).of(shift(e.number(10, 0), e.number(20, 0))).of(turn(e.number(50, 0) * math.Pi / 180))
	own := scale(e.number(41, 1), e.number(42, 1)).of(shift(-b.baseX, -b.baseY))
	for row := range rows {
		for col := range cols {
			step := shift(float64(col)*e.number(44, 0), float64(row)*e.number(45, 0))
			if err := x.draw(b.entities, at.of(step).of(own), layer, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}

// ocs turns a flat thing's own axes to the drawing's: one seen from below has its x
// reversed.
func (e entity) ocs() affine {
	if e.number(230, 1) < 0 {
		return scale(-1, 1)
	}
	return identity
}

// line draws one thing as a line.
func (x *dxfReader) line(e entity, vertices []entity, m affine, layer string) error {
	switch {
	case e.int(67) == 1:
		x.out.leave("thing on the sheet's frame")
		return nil
	case x.hidden[strings.ToLower(layer)], e.int(60) == 1:
		x.out.leave("hidden thing")
		return nil
	}
	l := line{layer: layer, place: e.place()}
	if layer != "0" && layer != "cut" {
		l.name = layer
	}
	sag := Sag / m.growth() // in the thing's own unit
	switch e.kind {
	case "LINE":
		l.points = []r2.Vec{e.point(10), e.point(11)}
	case "LWPOLYLINE":
		l.closed = e.int(70)&1 != 0
		l.points = polyline(e.corners(), l.closed, sag)
		m = m.of(e.ocs())
	case "POLYLINE":
		if e.int(70)&(16|64) != 0 {
			x.out.leave("mesh")
			return nil
		}
		l.closed = e.int(70)&1 != 0
		var all []corner
		for _, v := range vertices {
			if v.int(70)&16 == 0 { // not a control point of the curve that the others are
				all = append(all, corner{v.point(10), v.number(42, 0)})
			}
		}
		l.points = polyline(all, l.closed, sag)
		m = m.of(e.ocs())
	case "ARC", "CIRCLE":
		r, from, to := e.number(40, 0), 0.0, 2*math.Pi
		if l.closed = e.kind == "CIRCLE"; !l.closed {
			from = e.number(50, 0) * math.Pi / 180
			to = from + positive(e.number(51, 360)*math.Pi/180-from)
		}
		l.points = moved(arc(r, r, from, to-from, sag), shift(e.number(10, 0), e.number(20, 0)))
		m = m.of(e.ocs())
	case "ELLIPSE":
		long := e.point(11)
		from := e.number(41, 0)
		sweep := positive(e.number(42, 2*math.Pi) - from)
		l.closed = sweep > 2*math.Pi-1e-9
		ratio := e.number(40, 1)
		if e.number(230, 1) < 0 {
			ratio = -ratio
		}
		a := r2.Norm(long)
		l.points = moved(arc(a, ratio*a, from, sweep, sag), shift(e.number(10, 0), e.number(20, 0)).of(turn(math.Atan2(long.Y, long.X))))
	case "SPLINE":
		s, ok := e.spline()
		if !ok {
			return fmt.Errorf("%s: a spline without whole control points and knots; turn it into a polyline where it was drawn", e.place())
		}
		l.points = s.points(sag)
	case "SEQEND":
		return nil
	default:
		x.out.leave(e.kind)
		return nil
	}
	return x.out.add(l, m)
}

// positive is an angle from over 0 to a full turn.
func positive(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a <= 1e-12 {
		a += 2 * math.Pi
	}
	return a
}

func moved(pts []r2.Vec, m affine) []r2.Vec {
	for i, p := range pts {
		pts[i] = m.do(p)
	}
	return pts
}

func (e entity) point(code int) r2.Vec {
	return r2.Vec{X: e.number(code, 0), Y: e.number(code+10, 0)}
}

// corner is a corner of a polyline with the bulge of what follows.
type corner struct {
	at    r2.Vec
	bulge float64
}

// corners are those of a light polyline, in the order of the file.
func (e entity) corners() (out []corner) {
	for _, g := range e.groups {
		switch n := len(out) - 1; {
		case g.code == 10:
			out = append(out, corner{at: r2.Vec{X: parsed(g.value)}})
		case g.code == 20 && n >= 0:
			out[n].at.Y = parsed(g.value)
		case g.code == 42 && n >= 0:
			out[n].bulge = parsed(g.value)
		}
	}
	return out
}

// polyline joins corners by chords or arcs.
func polyline(all []corner, closed bool, sag float64) (out []r2.Vec) {
	for i, c := range all {
		if i == 0 {
			out = append(out, c.at)
		}
		if i+1 < len(all) {
			out = append(out, bulged(c.at, all[i+1].at, c.bulge, sag)...)
		} else if closed {
			back := bulged(c.at, all[0].at, c.bulge, sag)
			out = append(out, back[:len(back)-1]...)
		}
	}
	return out
}

// spline is the thing's curve; false where its numbers do not make one.
func (e entity) spline() (s spline, ok bool) {
	s.degree = e.int(71)
	for _, g := range e.groups {
		switch n := len(s.control) - 1; {
		case g.code == 40:
			s.knots = append(s.knots, parsed(g.value))
		case g.code == 10:
			s.control = append(s.control, r2.Vec{X: parsed(g.value)})
		case g.code == 20 && n >= 0:
			s.control[n].Y = parsed(g.value)
		case g.code == 41:
			s.weights = append(s.weights, parsed(g.value))
		}
	}
	n := len(s.control)
	if s.degree < 1 || s.degree > 10 || n <= s.degree || len(s.knots) != n+s.degree+1 || len(s.weights) != 0 && len(s.weights) != n {
		return s, false
	}
	for i := 1; i < len(s.knots); i++ {
		if !(s.knots[i] >= s.knots[i-1]) {
			return s, false
		}
	}
	for _, w := range s.weights {
		if !(w > 0) {
			return s, false
		}
	}
	return s, s.knots[n] > s.knots[s.degree]
}
