package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// kerf is how far each side of a slit is drawn back in the trim line, m, so that
// the line does not touch itself where the slit does not open.
const kerf = 1e-5

// border is one straight piece of a flat rim, with the cloth on its left.
type border struct {
	a, b r2.Vec
	slit int // the slit that it is a side of; -1 at the trim line
	left bool
}

// side names a side of a slit.
type side struct {
	slit int
	left bool
}

// sides returns for each half-edge along a slit, by its ends, whose side it is.
func (b Sheet) sides() map[[2]int32]side {
	out := map[[2]int32]side{}
	for i, s := range b.Slits {
		for k := 1; k < len(s.Left); k++ {
			out[[2]int32{s.Left[k-1], s.Left[k]}] = side{i, true}
			out[[2]int32{s.Right[k], s.Right[k-1]}] = side{i, false}
		}
	}
	return out
}

// borders returns the flat rims of a bed as closed chains of borders, smoothed,
// and which of them have slits.
func (b Sheet) borders() (rims [][]border, slit []bool) {
	sides := b.sides()
	drop := b.wobbles()
	for _, loop := range b.Top.RimLoops() {
		line := b.Top.LoopVertices(loop)
		n := len(line)
		of := make([]side, n)
		first, any := 0, false
		for i, v := range line {
			s, is := sides[[2]int32{v, line[(i+1)%n]}]
			if !is {
				s = side{slit: -1}
			}
			of[i] = s
			any = any || is
		}
		for i := range of {
			if of[i] != of[(i+n-1)%n] {
				first = i
			}
		}
		var rim []border
		for i := 0; i < n; {
			s := of[(first+i)%n]
			chain := []r2.Vec{b.Flat[line[(first+i)%n]]}
			for ; i < n && of[(first+i)%n] == s; i++ {
				if v := line[(first+i+1)%n]; !drop[v] {
					chain = append(chain, b.Flat[v])
				}
			}
			rim = appendChain(rim, chain, s)
		}
		if last := len(rim) - 1; last > 1 {
			if rim[last].slit < 0 {
				rim[last].b = rim[0].a
			} else {
				rim[0].a = rim[last].b
			}
			rims, slit = append(rims, rim), append(slit, any)
		}
	}
	return rims, slit
}

// wobble is how far the drawn sides of a slit may leave the path through the
// mesh, against the mean side: the path runs through corners near to it, which a
// knife need not follow. The same stations are kept on both sides.
const wobble = 0.3

func (b Sheet) wobbles() map[int32]bool {
	m := b.Top.Mesh
	drop := map[int32]bool{}
	tol := wobble * m.MeanEdge()
	for _, s := range b.Slits {
		var straight func(i, j int)
		straight = func(i, j int) {
			worst, at := tol, -1
			for k := i + 1; k < j; k++ {
				if d := offSegment(m.Vertices[s.Right[k]], m.Vertices[s.Right[i]], m.Vertices[s.Right[j]]); d > worst {
					worst, at = d, k
				}
			}
			if at >= 0 {
				straight(i, at)
				straight(at, j)
				return
			}
			for k := i + 1; k < j; k++ {
				drop[s.Left[k]], drop[s.Right[k]] = true, true
			}
		}
		straight(0, len(s.Right)-1)
	}
	return drop
}

func appendChain(rim []border, chain []r2.Vec, s side) []border {
	chain = thinned(chain, smooth)
	if s.slit >= 0 {
		tip := 0 // a left side runs from the tip, a right side to it
		if !s.left {
			tip = len(chain) - 1
		}
		chain = drawnBack(chain, tip)
	}
	switch n := len(rim); { // where it meets the trim line, that follows it
	case n > 0 && s.slit < 0:
		chain[0] = rim[n-1].b
	case n > 0:
		rim[n-1].b = chain[0]
	}
	for i := 1; i < len(chain); i++ {
		if chain[i] != chain[i-1] {
			rim = append(rim, border{chain[i-1], chain[i], s.slit, s.left})
		}
	}
	return rim
}

// drawnBack moves a chain to its left by the kerf, but for the tip.
func drawnBack(chain []r2.Vec, tip int) []r2.Vec {
	out := make([]r2.Vec, len(chain))
	for i := range chain {
		d := r2.Sub(chain[min(i+1, len(chain)-1)], chain[max(i-1, 0)])
		out[i] = chain[i]
		if n := r2.Norm(d); i != tip && n > 0 {
			out[i] = r2.Add(chain[i], r2.Scale(kerf/n, r2.Vec{X: -d.Y, Y: d.X}))
		}
	}
	return out
}

// thinned drops points of an open line that lie within tol of the chord between
// those kept (Douglas and Peucker).
func thinned(line []r2.Vec, tol float64) []r2.Vec {
	worst, at := tol, -1
	for i := 1; i+1 < len(line); i++ {
		if d := geom.SegmentDistance(line[i], line[0], line[len(line)-1]); d > worst {
			worst, at = d, i
		}
	}
	switch {
	case len(line) < 3:
		return line
	case at < 0:
		return []r2.Vec{line[0], line[len(line)-1]}
	}
	return append(thinned(line[:at+1:at+1], tol), thinned(line[at:], tol)[1:]...)
}

func ringOfBorders(rim []border) geom.Polygon {
	out := make(geom.Polygon, len(rim))
	for i, e := range rim {
		out[i] = e.a
	}
	return out.Clean(1e-9)
}

// strips returns what lies within a width on the right of a rim, a width for
// each border: a rectangle on each and a fan at corners that open.
func strips(rim []border, width func(border) float64) []geom.Region {
	var out []geom.Region
	add := func(p geom.Polygon) {
		if p = p.Clean(1e-9); len(p) > 2 && math.Abs(p.Area()) > 1e-12 && p.Valid() == nil {
			out = append(out, p.Region())
		}
	}
	for i, e := range rim {
		next := rim[(i+1)%len(rim)]
		d, dn := width(e), width(next)
		n := r2.Scale(d, outOf(e))
		if d > 0 {
			add(geom.Polygon{e.a, r2.Add(e.a, n), r2.Add(e.b, n), e.b})
		}
		if d <= 0 || dn <= 0 || e.slit >= 0 && e.slit == next.slit && e.left != next.left {
			continue
		}
		add(corner(e.b, n, r2.Scale(dn, outOf(next))))
	}
	return out
}

// fanStep is the turn that one chord of a corner stands for, rad.
const fanStep = math.Pi / 12

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

// outOf is the unit vector out of the cloth at a border.
func outOf(e border) r2.Vec {
	u := r2.Unit(r2.Sub(e.b, e.a))
	return r2.Vec{X: u.Y, Y: -u.X}
}
