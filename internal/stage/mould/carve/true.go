package carve

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/geom"
)

// between adds the corners that a side needs.
func (b *body) between(out geom.Polygon, p plane, side [2]r2.Vec, left int) geom.Polygon {
	if r2.Norm(r2.Sub(side[1], side[0])) < ChordTo/2 {
		return out
	}
	mid := r2.Scale(0.5, r2.Add(side[0], side[1]))
	next := mid
	if left <= halvings-smooth {
		next = b.meeting(p, side, mid)
	}
	at, ok := b.onto(p, next, rightOf(side[0], side[1]))
	if !ok || r2.Norm(r2.Sub(at, mid)) <= bent*ChordTo {
		return out
	}
	if left == 0 {
		b.trial = max(b.trial, b.off(p, mid))
		return out
	}
	out = append(b.between(out, p, [2]r2.Vec{side[0], at}, left-1), at)
	return b.between(out, p, [2]r2.Vec{at, side[1]}, left-1)
}

// meeting returns where the surface's tangents at the ends of a side meet, and mid
// where they do not or where the surface is not near: from wall to wall across a
// groove halving creeps towards the bottom, and past an edge towards the edge.
func (b *body) meeting(p plane, side [2]r2.Vec, mid r2.Vec) r2.Vec {
	var t [2]r2.Vec // the ways of travel, the body on the left
	for i, q := range side {
		_, n := b.field(p.out(q))
		t[i] = r2.Vec{X: -r3.Dot(n, p.v), Y: r3.Dot(n, p.u)}
	}
	way, turn := r2.Sub(side[1], side[0]), r2.Cross(t[0], t[1])
	if math.Abs(turn) < kinked*r2.Norm(t[0])*r2.Norm(t[1]) {
		return mid
	}
	from, to := r2.Cross(way, t[1])/turn, r2.Cross(t[0], way)/turn
	at := r2.Add(side[0], r2.Scale(from, t[0]))
	if d, _ := b.field(p.out(at)); !(from > 0 && to > 0 && math.Abs(d) < atMeeting*r2.Norm(way)) {
		return mid
	}
	return at
}

// onto returns the place on the true surface next to one in a plane:
//
//	q ← q − d·g/|g|²,  g = (n·u, n·v)
//
// Where that leads nowhere, as beside a level face, whose distance tells nothing of
// the outline, the change of sign along the way out is halved down to.
func (b *body) onto(p plane, q, out r2.Vec) (r2.Vec, bool) {
	at := q
	for range steps {
		d, n := b.field(p.out(at))
		if math.Abs(d) < settled {
			return at, true
		}
		g := r2.Vec{X: r3.Dot(n, p.u), Y: r3.Dot(n, p.v)}
		if r2.Norm(g) < grazing {
			break
		}
		far := d / r2.Norm2(g)
		if long := math.Abs(far) * r2.Norm(g); long > stride {
			far *= stride / long
		}
		if at = r2.Sub(at, r2.Scale(far, g)); !(r2.Norm(r2.Sub(at, q)) <= mostMoved) {
			break
		}
	}
	return b.along(p, q, out)
}

// along looks for the surface on the way out of the body, or back, from a place.
func (b *body) along(p plane, q, out r2.Vec) (r2.Vec, bool) {
	value := func(at r2.Vec) float64 { d, _ := b.field(p.out(at)); return d }
	inside := value(q) < 0
	if !inside {
		out = r2.Scale(-1, out)
	}
	for far := ChordTo / 2; far <= mostMoved; far *= 2 {
		if end := r2.Add(q, r2.Scale(far, out)); (value(end) < 0) != inside {
			return zero(q, end, value), true
		}
	}
	return q, false
}
