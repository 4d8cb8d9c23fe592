package relay

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

const (
	leastStrip = 1e-6          // m: laps narrower than this are not laid
	atEnds     = 1e-4          // share of a side by which its first and last ray stand off its ends
	fanFrom    = math.Pi / 36  // a corner that turns more than this gets a fan of rays
	fanStep    = math.Pi / 18  // between its rays
	foldBack   = -math.Pi / 12 // where the rim turns back by more than this, rays to both sides are not joined
)

// layStrips lays down the cloth that goes beyond the seams.
func (y *laid) layStrips(step float64) {
	for _, c := range y.cloths {
		if c.Patch {
			continue
		}
		y.strips++
		for first := 0; first < len(c.rims); {
			n := 1
			for int(c.rims[first+n-1].next) != first {
				n++
			}
			y.layLoop(c, first, n, step)
			first += n
		}
	}
}

// layLoop lays the strips along one loop of a piece's rim, one to each side of a
// slit. Where the loop leaves a seam for the trim line, the fan between still lies
// on the part.
func (y *laid) layLoop(c *cloth, first, n int, step float64) {
	at := first
	for i := range n {
		if before := &c.rims[first+i]; !before.sameSide(&c.rims[before.next]) {
			at = int(before.next)
			break
		}
	}
	var last *traced
	turn := 0.0
	for i, e := 0, &c.rims[at]; i < n; i, e = i+1, &c.rims[e.next] {
		switch {
		case e.trim:
			last = nil
		case !e.turned():
			for k, s := range sharesOf(e.long, step) {
				now := y.traced(e.ray(s), e.share())
				if last != nil && (k > 0 || turn > foldBack) {
					y.cells(last, now, step)
				}
				last = now
			}
		}
		after := &c.rims[e.next]
		if turn = c.turn(after) + after.lean - e.lean; turn > fanFrom && !(e.trim && after.trim) && !e.turned() && !after.turned() {
			last = y.layFan(e, after, turn, last, step)
		}
		if !e.sameSide(after) {
			y.strips++
		}
	}
	y.strips++
}

func (e *rim) sameSide(o *rim) bool { return e.trim == o.trim && e.slit == o.slit && e.left == o.left }

// sharesOf returns where rays leave a side: near its ends and between them, or
// from the middle of a very short one.
func sharesOf(long, step float64) []float64 {
	if long < step/4 {
		return []float64{0.5}
	}
	n := max(1, int(math.Ceil(long/step)))
	out := make([]float64, n+1)
	for k := range out {
		out[k] = min(1-atEnds, max(atEnds, float64(k)/float64(n)))
	}
	return out
}

// turn returns by how much the rim turns to the left on the mould where this side
// of it begins: π less the angle of the cloth there.
func (c *cloth) turn(next *rim) float64 {
	sum, h := 0.0, int(next.half)
	for range c.Top.VertexFaces(int(c.Top.From(h))) {
		sum += c.Top.Mesh.Angles(h / 3)[h%3]
		if h = int(c.Top.Twin[mesh.Prev(h)]); h < 0 {
			break
		}
	}
	return math.Pi - sum
}

// layFan lays the cloth about a corner of the rim between the last ray of e and
// the first of the next side.
func (y *laid) layFan(e, next *rim, turn float64, last *traced, step float64) *traced {
	from, to := e.flow(e.across), next.flow(next.across)
	flatTurn := math.Atan2(r2.Cross(from, to), r2.Dot(from, to))
	grow := r2.Norm(to)/r2.Norm(from) - 1
	for _, angle := range fanAngles(e, next, turn) {
		s := angle / turn
		sin, cos := math.Sincos(s * flatTurn)
		flow := r2.Scale(1+s*grow, r2.Vec{X: cos*from.X - sin*from.Y, Y: sin*from.X + cos*from.Y})
		now := y.traced(e.fan(angle, flow), e.share())
		if last != nil {
			y.cells(last, now, step)
		}
		last = now
	}
	return last
}

// fanAngles returns the directions of a fan from e's own on. Where a seam comes to
// the trim line, one runs along the rim of the part just inside it.
func fanAngles(e, next *rim, turn float64) (out []float64) {
	const justInside = 1e-4
	along := -1.0
	switch {
	case next.trim:
		along = turn - math.Pi/2 - justInside
	case e.trim:
		along = math.Pi/2 + justInside
	}
	if along > 0 && along < turn {
		out = append(out, along)
	}
	steps := math.Ceil(turn / fanStep)
	for k := 0.0; k <= steps; k++ {
		out = append(out, k/steps*turn)
	}
	slices.Sort(out)
	return out
}

// traced is a ray followed over the surface.
type traced struct {
	ray
	share float64
	line  mesh.Line
	ok    bool
}

func (y *laid) traced(r ray, share float64) *traced {
	t := &traced{ray: r, share: share}
	if t.reach > leastStrip {
		t.line, t.ok = y.line(&t.ray, t.reach)
	}
	if !t.ok {
		t.reach = 0
	}
	return t
}

// spotOf returns the place at a share of the lap along the ray.
func (y *laid) spotOf(t *traced, s float64) spot {
	if !t.ok {
		f := y.homeOf(t.e)
		return spot{f, y.face[f].weights(t.at), t.at}
	}
	return y.spotOn(&t.line, t.back+s*t.reach)
}

// cells lays down the cloth between two rays.
func (y *laid) cells(a, b *traced, step float64) {
	if !a.ok && !b.ok {
		return
	}
	n := math.Ceil(max(a.reach, b.reach) / step)
	share := (a.share + b.share) / 2
	lead := a
	if !a.ok {
		lead = b
	}
	yarns := lead.e.of.yarns(lead.e.tri)
	p, q := y.spotOf(a, 0), y.spotOf(b, 0)
	for k := 1.0; k <= n; k++ {
		r, s := y.spotOf(a, k/n), y.spotOf(b, k/n)
		along := r3.Sub(r.at, p.at)
		if !a.ok {
			along = r3.Sub(s.at, q.at)
		}
		for _, t := range [2][3]spot{{p, r, s}, {p, s, q}} {
			y.spread([3]r3.Vec{t[0].at, t[1].at, t[2].at}, distinct(t), func(f int32, foot geom.Convex) {
				y.add(f, layer{y.strips, share, lead.e.carried(yarns, lead.dir, along, y.face[f].normal), foot})
			})
		}
		p, q = r, s
	}
}

func distinct(t [3]spot) []int32 {
	out := []int32{t[0].face}
	for _, s := range t[1:] {
		if !has(out, s.face) {
			out = append(out, s.face)
		}
	}
	return out
}
