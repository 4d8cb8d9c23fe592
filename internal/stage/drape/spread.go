package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// onCircle is a start without folds for any surface with one outer rim: the
// longest rim lies on a circle of the surface's area, and every other vertex in
// the mean of its neighbours. It is far from how cloth lies, but no triangle is
// turned over (where there are holes besides: hardly ever).
//
// Source: [tutte1963].
func (r *Result) onCircle(p *problem) {
	s := p.s
	rim := s.longestRim()
	radius := math.Sqrt(s.whole / math.Pi)
	right := make([][2]float64, len(r.Flat))
	p.system.clear()
	for e, ends := range p.edges {
		p.system.off[e] = block{-1, 0, 0, -1}
		for _, v := range ends {
			p.system.diagonal[v][0]++
			p.system.diagonal[v][3]++
		}
	}
	const pin = 1e7
	var along, whole float64
	for i, v := range rim {
		whole += r3.Norm(r3.Sub(s.Vertices[rim[(i+1)%len(rim)]], s.Vertices[v]))
	}
	for i, v := range rim {
		sin, cos := math.Sincos(2 * math.Pi * along / whole)
		p.system.diagonal[v][0] += pin
		p.system.diagonal[v][3] += pin
		right[v] = [2]float64{pin * radius * cos, pin * radius * sin}
		along += r3.Norm(r3.Sub(s.Vertices[rim[(i+1)%len(rim)]], s.Vertices[v]))
	}
	for v := range p.system.diagonal {
		if p.system.diagonal[v][0] == 0 {
			p.system.diagonal[v] = block{1, 0, 0, 1}
		}
	}
	if !p.system.factor() {
		return
	}
	for v, q := range p.system.solve(right) {
		r.Flat[v] = r2.Vec{X: q[0], Y: q[1]}
	}
	r.align()
}

// longestRim returns the vertices of the longest rim, with the surface on its
// left.
func (s *surface) longestRim() []int32 {
	var best []int32
	most := 0.0
	for _, loop := range s.topology.RimLoops() {
		var long float64
		for _, h := range loop {
			a, b := s.Vertices[s.topology.From(int(h))], s.Vertices[s.topology.To(int(h))]
			long += r3.Norm(r3.Sub(b, a))
		}
		if long > most {
			most, best = long, s.topology.LoopVertices(loop)
		}
	}
	return best
}

// align turns and shifts the flat places so that the seed's triangle lies where
// the warp wants it, as near as can be.
func (r *Result) align() {
	seed := r.Net.Nodes[0]
	t := r.Net.s.Triangles[seed.Face]
	warp := seed.toward[0]
	weft := r3.Cross(r.Net.s.normal[seed.Face], warp)
	var want, have [3]r2.Vec
	var w, h r2.Vec
	for k, v := range t {
		d := r3.Sub(r.Net.s.Vertices[v], seed.At)
		want[k], have[k] = r2.Vec{X: r3.Dot(d, warp), Y: r3.Dot(d, weft)}, r.Flat[v]
		w, h = r2.Add(w, r2.Scale(1.0/3, want[k])), r2.Add(h, r2.Scale(1.0/3, have[k]))
	}
	var x, y float64
	for k := range t {
		a, b := r2.Sub(have[k], h), r2.Sub(want[k], w)
		x, y = x+r2.Dot(a, b), y+r2.Cross(a, b)
	}
	sin, cos := math.Sincos(math.Atan2(y, x))
	for v, q := range r.Flat {
		d := r2.Sub(q, h)
		r.Flat[v] = r2.Add(w, r2.Vec{X: cos*d.X - sin*d.Y, Y: sin*d.X + cos*d.Y})
	}
}
