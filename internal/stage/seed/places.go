package seed

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/stage/slits"
)

// spread returns places spread evenly over the part: each as far as can be from
// those before, and then moved to the middle of what is nearest to it.
func spread(p *slits.Part, count int, skew r3.Vec) []mesh.Point {
	m := p.Top.Mesh
	n := len(m.Triangles)
	far, of, middles, lead := make([]float64, n), make([]int, n), make([]r3.Vec, n), make([]float64, n)
	for f := range far {
		far[f], middles[f] = math.Inf(1), m.Centroid(f)
		lead[f] = r3.Dot(middles[f], skew)
	}
	at := m.At(p.Seed)
	seats := 0
	for ; seats < min(count, n); seats++ {
		next := 0
		for f := range far {
			if d := r3.Norm2(r3.Sub(middles[f], at)); d < far[f] {
				far[f], of[f] = d, seats
			}
			if before(far[f], far[next], lead[f], lead[next]) {
				next = f
			}
		}
		at = middles[next]
	}
	sum, areas := make([]r3.Vec, seats), make([]float64, seats)
	for f, a := range m.FaceAreas() {
		sum[of[f]] = r3.Add(sum[of[f]], r3.Scale(a, middles[f]))
		areas[of[f]] += a
	}
	var out []mesh.Point
	for i, a := range areas {
		if hit, ok := p.Locator.Closest(r3.Scale(1/max(a, 1e-30), sum[i])); ok && a > 0 {
			out = append(out, hit.Point)
		}
	}
	return out
}

// skewOf returns a direction in the part's own frame, warp, weft and normal at its
// seed, that no even shape is even about.
func skewOf(p *slits.Part) r3.Vec {
	left := r3.Cross(p.Normal, p.Warp)
	return r3.Add(p.Warp, r3.Add(r3.Scale(0.618, left), r3.Scale(0.382, p.Normal)))
}

// before tells whether x is more than y, or as much but for rounding and its lead
// is greater.
func before(x, y, leadX, leadY float64) bool {
	const rounding = 1e-9
	if math.Abs(x-y) > rounding*math.Abs(x+y) {
		return x > y
	}
	return leadX > leadY
}

// middlesOfCurvature returns places in the middle of where the surface closes in:
// a dome's pole parts its curvature evenly among the four quarters, and may lie
// between places that are merely spread. Each is sought from the vertex with the
// most curvature that none before has taken.
func middlesOfCurvature(p *slits.Part, count int, reach float64, skew r3.Vec) (out []mesh.Point) {
	m := p.Top.Mesh
	rim := p.Top.RimVertices()
	weight := make([]float64, len(m.Vertices))
	for v, d := range p.Top.AngleDefects() {
		if !rim[v] && d > 0 {
			weight[v] = d
		}
	}
	free := slices.Clone(weight)
	for range count {
		first := 0
		for v, x := range free {
			if before(x, free[first], r3.Dot(m.Vertices[v], skew), r3.Dot(m.Vertices[first], skew)) {
				first = v
			}
		}
		if free[first] <= 0 {
			break
		}
		at := centreOf(m, weight, m.Vertices[first], reach)
		free[first] = 0
		for v := range free {
			if r3.Norm2(r3.Sub(m.Vertices[v], at)) < reach*reach {
				free[v] = 0
			}
		}
		if hit, ok := p.Locator.Closest(at); ok {
			out = append(out, hit.Point)
		}
	}
	return out
}

// centreOf goes from a place to the centre of what weighs within reach, and from
// there again, until that stays.
func centreOf(m *mesh.Mesh, weight []float64, at r3.Vec, reach float64) r3.Vec {
	const most = 12
	for range most {
		var sum r3.Vec
		var whole float64
		for v, x := range weight {
			if x > 0 && r3.Norm2(r3.Sub(m.Vertices[v], at)) < reach*reach {
				sum, whole = r3.Add(sum, r3.Scale(x, m.Vertices[v])), whole+x
			}
		}
		if whole == 0 {
			break
		}
		next := r3.Scale(1/whole, sum)
		moved := r3.Norm(r3.Sub(next, at))
		if at = next; moved < reach/100 {
			break
		}
	}
	return at
}
