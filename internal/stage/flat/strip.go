package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// border is one straight piece of a flat rim, with the cloth on its left, and how
// wide a strip goes on beyond it at its two ends.
type border struct {
	side
	a, b         r2.Vec
	wideA, wideB float64
}

func (e border) along() r2.Vec { return r2.Unit(r2.Sub(e.b, e.a)) }

// out is the unit vector out of the cloth.
func (e border) out() r2.Vec {
	u := e.along()
	return r2.Vec{X: u.Y, Y: -u.X}
}

// borders returns a rim as straight pieces; width gives how wide on the mould the
// strip beside a side is.
func (r rim) borders(width func(side) float64) []border {
	var out []border
	for _, c := range r {
		w := width(c.side)
		for i := 1; i < len(c.points); i++ {
			if c.points[i] != c.points[i-1] {
				out = append(out, border{c.side, c.points[i-1], c.points[i], w * c.across[i-1], w * c.across[i]})
			}
		}
	}
	return out
}

// softTurn is the turn at which two strips still share a mitred side, rad; beyond
// it a fan lies between them.
const softTurn = 20 * math.Pi / 180

// strips returns what lies within a width on the right of a rim: a quadrilateral
// on each border, and fans.
func strips(rim []border) []geom.Region {
	var out []geom.Region
	add := func(p geom.Polygon) bool {
		if p = p.Clean(1e-9); len(p) < 3 || math.Abs(p.Area()) < 1e-12 || p.Valid() != nil {
			return false
		}
		out = append(out, p.Region())
		return true
	}
	n := len(rim)
	for i, e := range rim {
		before, next := rim[(i+n-1)%n], rim[(i+1)%n]
		straightA, straightB := r2.Scale(e.wideA, e.out()), r2.Scale(e.wideB, e.out())
		if e.wideA > 0 || e.wideB > 0 {
			a, b := straightA, straightB
			if before.meetsSoftly(e) {
				a = mitre(before, e)
			}
			if e.meetsSoftly(next) {
				b = mitre(e, next)
			}
			// where the rim is more hollow than the strip is wide, mitres cross
			if !add(geom.Polygon{e.a, r2.Add(e.a, a), r2.Add(e.b, b), e.b}) {
				add(geom.Polygon{e.a, r2.Add(e.a, straightA), r2.Add(e.b, straightB), e.b})
			}
		}
	}
	return append(out, fans(rim)...)
}

// fans returns what lies between the strips of borders that meet in a corner which
// opens.
func fans(rim []border) (out []geom.Region) {
	for i, e := range rim {
		next := rim[(i+1)%len(rim)]
		aboutTip := e.slit >= 0 && e.slit == next.slit && e.left != next.left
		if e.wideB <= 0 || next.wideA <= 0 || aboutTip || e.meetsSoftly(next) {
			continue
		}
		if p := corner(e.b, r2.Scale(e.wideB, e.out()), r2.Scale(next.wideA, next.out())); p != nil && p.Valid() == nil {
			out = append(out, p.Region())
		}
	}
	return out
}

// meetsSoftly tells whether two borders in a row are parts of one smooth line.
func (e border) meetsSoftly(next border) bool {
	u, v := e.along(), next.along()
	return e.side == next.side && math.Abs(math.Atan2(r2.Cross(u, v), r2.Dot(u, v))) < softTurn
}

// mitre is the way from the point that two borders share to where the outer sides
// of their strips meet.
func mitre(e, next border) r2.Vec {
	m := r2.Unit(r2.Add(e.out(), next.out()))
	return r2.Scale(e.wideB/r2.Dot(m, e.out()), m)
}

// leastCarry is the cosine between the width of a strip and a neighbour without one
// from which on the strip's end follows that neighbour.
const leastCarry = 0.3

// ends returns what strips lack, and have too much, where the border beside one has
// none: there the cloth goes on straight along that border.
//
//	 strip |\
//	_______|_\   the neighbour, carried on
//	 cloth   \
func ends(rim []border) (lack, over []geom.Region) {
	n := len(rim)
	add := func(at, across, way, along r2.Vec) {
		wide := r2.Norm(across)
		if wide == 0 || r2.Dot(way, across) < leastCarry*wide {
			return
		}
		to := r2.Scale(wide*wide/r2.Dot(way, across), way)
		list := &lack
		if r2.Dot(to, along) < 0 {
			list = &over
			to, across = r2.Scale(1.1, to), r2.Scale(1.1, across) // to clear the strip
		}
		if p := (geom.Polygon{at, r2.Add(at, across), r2.Add(at, to)}); math.Abs(p.Area()) > 1e-9 {
			*list = append(*list, p.Region())
		}
	}
	for i, e := range rim {
		before, next := rim[(i+n-1)%n], rim[(i+1)%n]
		if before.wideB == 0 {
			add(e.a, r2.Scale(e.wideA, e.out()), before.along(), r2.Scale(-1, e.along()))
		}
		if next.wideA == 0 {
			add(e.b, r2.Scale(e.wideB, e.out()), r2.Scale(-1, next.along()), e.along())
		}
	}
	return lack, over
}

// tabs returns the ends of laps: where one meets the trim line it goes on straight, for
// on the mould its end lies askew when the cloth is sheared.
func tabs(rim []border, by float64) (out []geom.Region) {
	n := len(rim)
	for i, e := range rim {
		before, next := rim[(i+n-1)%n], rim[(i+1)%n]
		if e.slit < 0 {
			continue
		}
		along := r2.Scale(by, e.along())
		if at := r2.Scale(e.wideB, e.out()); e.wideB > 0 && next.slit < 0 {
			out = append(out, geom.Polygon{e.b, r2.Add(e.b, at), r2.Add(r2.Add(e.b, at), along), r2.Add(e.b, along)}.Region())
		}
		if at := r2.Scale(e.wideA, e.out()); e.wideA > 0 && before.slit < 0 {
			out = append(out, geom.Polygon{e.a, r2.Add(e.a, at), r2.Sub(r2.Add(e.a, at), along), r2.Sub(e.a, along)}.Region())
		}
	}
	return out
}

// fanStep is the turn that one chord of a corner stands for, rad.
const fanStep = math.Pi / 24

// corner is the fan about v from v+n to v+m, where that turns left.
func corner(v, n, m r2.Vec) geom.Polygon {
	turn := math.Atan2(r2.Cross(n, m), r2.Dot(n, m))
	if !(turn > 1e-6 && turn < 0.98*math.Pi) {
		return nil
	}
	out := geom.Polygon{v, r2.Add(v, n)}
	steps := math.Ceil(turn / fanStep)
	from, to := r2.Norm(n), r2.Norm(m)
	for k := 1.0; k < steps; k++ {
		sin, cos := math.Sincos(k / steps * turn)
		long := from + k/steps*(to-from)
		out = append(out, r2.Add(v, r2.Scale(long/from, r2.Vec{X: cos*n.X - sin*n.Y, Y: sin*n.X + cos*n.Y})))
	}
	return append(out, r2.Add(v, m))
}
