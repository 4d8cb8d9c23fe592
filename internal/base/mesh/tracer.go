package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Tracer follows many straightest lines on one surface and keeps what
// [Topology.Trace] works out anew each time: every triangle laid into a plane of
// its own, and how a direction turns over each of its sides. It is out of date
// once the mesh changes; many may ask it at the same time.
type Tracer struct {
	t      *Topology
	charts []chart
	round  *Rounding // nil: none
}

// chart is a triangle in its own plane, origin at corner 0.
type chart struct {
	x, y r3.Vec    // axes of the plane, the first along side 0
	rate [3]r2.Vec // gradients of the corners' weights, 1/m
	turn [3]r2.Vec // by side: cosine and sine from these axes to the neighbour's
	ok   bool      // it has area enough to be crossed
}

// leastHeight is the height over the longest side below which a triangle is left to the
// careful way.
const leastHeight = 1e-9

// NewTracer lays out the triangles of t. With a rounding, lines are those of the
// smooth surface; without, of the triangles.
func NewTracer(t *Topology, round *Rounding) *Tracer {
	tr := &Tracer{t: t, charts: make([]chart, len(t.Mesh.Triangles)), round: round}
	sides := make([][3]r2.Vec, len(tr.charts)) // unit vectors, in each triangle's axes
	for f := range tr.charts {
		tr.charts[f], sides[f] = t.chartOf(f)
	}
	for h, twin := range t.Twin {
		if c := &tr.charts[h/3]; twin >= 0 && c.ok && tr.charts[twin/3].ok {
			// the neighbour sees the side run the other way
			a, b := sides[h/3][h%3], r2.Scale(-1, sides[twin/3][twin%3])
			c.turn[h%3] = r2.Vec{X: r2.Dot(a, b), Y: r2.Cross(a, b)}
		}
	}
	return tr
}

// Rounding is that of the smooth surface that lines run on; nil: they run on the
// triangles.
func (tr *Tracer) Rounding() *Rounding { return tr.round }

func (t *Topology) chartOf(f int) (out chart, sides [3]r2.Vec) {
	a, b, c := t.Mesh.Corners(f)
	ab, ac := r3.Sub(b, a), r3.Sub(c, a)
	l, n := r3.Norm2(ab), r3.Cross(ab, ac)
	if l == 0 || r3.Norm2(n) == 0 {
		return out, sides
	}
	out.x = r3.Scale(1/math.Sqrt(l), ab)
	out.y = r3.Cross(r3.Scale(1/math.Sqrt(r3.Norm2(n)), n), out.x)
	p := [3]r2.Vec{{}, {X: r3.Dot(ab, out.x)}, {X: r3.Dot(ac, out.x), Y: r3.Dot(ac, out.y)}}
	twice := p[1].X * p[2].Y
	long := max(r2.Norm2(p[1]), r2.Norm2(p[2]), r2.Norm2(r2.Sub(p[2], p[1])))
	if out.ok = twice > leastHeight*long; !out.ok {
		return out, sides
	}
	for k := range p {
		d := r2.Sub(p[(k+2)%3], p[(k+1)%3])
		out.rate[k] = r2.Scale(1/twice, r2.Vec{X: -d.Y, Y: d.X})
		sides[(k+1)%3] = r2.Scale(1/math.Sqrt(r2.Norm2(d)), d)
	}
	return out, sides
}

// End returns where the straightest line from a place along a direction ends
// after a length, m, and whether that is at the rim, before its full length.
// It is the end of [Topology.Trace]'s line.
func (tr *Tracer) End(start Point, dir r3.Vec, length float64) (Station, bool, error) {
	if end, atRim, ok := tr.run(start, dir, length); ok {
		return end, atRim, nil
	}
	line, err := tr.Line(start, dir, length)
	if err != nil {
		return Station{}, false, err
	}
	return line.End(tr.t.Mesh), line.AtRim, nil
}

// Line is the whole line.
func (tr *Tracer) Line(start Point, dir r3.Vec, length float64) (Line, error) {
	return tr.t.trace(start, dir, length, tr.round)
}

// run is the quick way, for a line that starts inside a triangle and meets no
// corner; false where it would need more care than that.
func (tr *Tracer) run(start Point, dir r3.Vec, length float64) (end Station, atRim, ok bool) {
	f, bary := start.Face, start.Bary
	if f < 0 || f >= len(tr.charts) || !(length >= 0) || !(min(bary[0], bary[1], bary[2]) > cornerWeight) {
		return end, false, false
	}
	c := &tr.charts[f]
	d := r2.Vec{X: r3.Dot(dir, c.x), Y: r3.Dot(dir, c.y)}
	norm := math.Sqrt(r2.Norm2(d))
	if !(norm > 1e-9*math.Sqrt(r3.Norm2(dir))) {
		return end, false, false
	}
	d = r2.Scale(1/norm, d)
	left, in := length, -1 // in: the corner opposite to the side that it came in by
	for range 1000 + 100*len(tr.charts) {
		if !c.ok {
			return end, false, false
		}
		out, reach := c.exit(bary, d, in)
		bend := 0.0 // half of what it turns by here
		if tr.round != nil && out >= 0 {
			bend = tr.round.within(f, bary, c.moved(bary, d, min(reach, left), -1)) / 2
			d = turned(d, bend)
			out, reach = c.exit(bary, d, in)
		}
		if out < 0 {
			return end, false, false
		}
		if reach >= left {
			bary = c.moved(bary, d, left, -1)
			return tr.station(f, bary, turned(d, bend), length), false, true
		}
		bary = c.moved(bary, d, reach, out)
		left -= reach
		i, j := (out+1)%3, (out+2)%3
		if bary[i] < cornerWeight || bary[j] < cornerWeight {
			return end, false, false
		}
		twin := int(tr.t.Twin[3*f+i])
		if twin < 0 {
			return tr.station(f, bary, turned(d, bend), length-left), true, true
		}
		if tr.round != nil {
			d = turned(d, bend+tr.round.across(3*f+i, twin, bary[j]))
		}
		t := c.turn[i]
		d = r2.Vec{X: t.X*d.X - t.Y*d.Y, Y: t.Y*d.X + t.X*d.Y}
		bi, bj := bary[i], bary[j]
		f, c = twin/3, &tr.charts[twin/3]
		bary = [3]float64{}
		bary[twin%3], bary[(twin+1)%3] = bj, bi
		in = (twin + 2) % 3
	}
	return end, false, false
}

// turned returns d turned to the left by a small angle, rad.
func turned(d r2.Vec, angle float64) r2.Vec {
	if angle == 0 {
		return d
	}
	sin, cos := math.Sincos(angle)
	return r2.Vec{X: cos*d.X - sin*d.Y, Y: sin*d.X + cos*d.Y}
}

// exit returns the corner whose weight is first to reach 0 along d, and how far
// off that is, m.
func (c *chart) exit(bary [3]float64, d r2.Vec, in int) (out int, reach float64) {
	out, reach = -1, math.Inf(1)
	for k, g := range c.rate {
		if rate := g.X*d.X + g.Y*d.Y; rate < 0 && k != in && bary[k] < -rate*reach {
			out, reach = k, -bary[k]/rate
		}
	}
	return out, reach
}

// moved returns the weights after a way along d; that of corner zero, if any, is
// then 0.
func (c *chart) moved(bary [3]float64, d r2.Vec, way float64, zero int) [3]float64 {
	var sum float64
	for k, g := range c.rate {
		bary[k] = max(0, bary[k]+way*(g.X*d.X+g.Y*d.Y))
		if k == zero {
			bary[k] = 0
		}
		sum += bary[k]
	}
	for k := range bary {
		bary[k] /= sum
	}
	return bary
}

func (tr *Tracer) station(f int, bary [3]float64, d r2.Vec, arc float64) Station {
	c, p := &tr.charts[f], Point{Face: f, Bary: bary}
	return Station{Point: p, At: tr.t.Mesh.At(p), Arc: arc,
		Dir: r3.Add(r3.Scale(d.X, c.x), r3.Scale(d.Y, c.y))}
}
