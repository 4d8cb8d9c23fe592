package outlines

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// affine is x' = a·x + c·y + e, y' = b·x + d·y + f.
type affine struct{ a, b, c, d, e, f float64 }

var identity = affine{a: 1, d: 1}

func (m affine) do(p r2.Vec) r2.Vec {
	return r2.Vec{X: m.a*p.X + m.c*p.Y + m.e, Y: m.b*p.X + m.d*p.Y + m.f}
}

// of does n first and m after it.
func (m affine) of(n affine) affine {
	return affine{
		a: m.a*n.a + m.c*n.b, c: m.a*n.c + m.c*n.d, e: m.a*n.e + m.c*n.f + m.e,
		b: m.b*n.a + m.d*n.b, d: m.b*n.c + m.d*n.d, f: m.b*n.e + m.d*n.f + m.f,
	}
}

func shift(x, y float64) affine { return affine{a: 1, d: 1, e: x, f: y} }
func scale(x, y float64) affine { return affine{a: x, d: y} }
func turn(radians float64) affine {
	s, c := math.Sincos(radians)
	return affine{a: c, b: s, c: -s, d: c}
}

// growth is the most that a length grows.
func (m affine) growth() float64 {
	return math.Max(math.Hypot(m.a, m.b), math.Hypot(m.c, m.d)) * math.Sqrt2
}

// mostChords bounds the chords of one curve.
const mostChords = 4000

// chords is how many chords take an arc: half the angle of each has the cosine
// 1 − sag/R.
func chords(radius, angle, sag float64) int {
	if !(radius > sag) {
		return 4
	}
	step := 2 * math.Acos(1-sag/radius)
	return int(min(mostChords, max(2, math.Ceil(math.Abs(angle)/step))))
}

// arc samples an elliptic arc about the origin, x = rx cos t, y = ry sin t, both ends
// included.
func arc(rx, ry, from, sweep, sag float64) []r2.Vec {
	n := chords(math.Max(rx, ry), sweep, sag)
	out := make([]r2.Vec, n+1)
	for i := range out {
		s, c := math.Sincos(from + sweep*float64(i)/float64(n))
		out[i] = r2.Vec{X: rx * c, Y: ry * s}
	}
	return out
}

// bulged is the arc from a to b whose bulge is the tangent of a quarter of its angle,
// anticlockwise where over 0; a itself is left out.
//
//	R = |ab|·(1 + k²)/(4|k|), the middle (1 − k²)/(4k)·|ab| left of the chord's middle
func bulged(a, b r2.Vec, k, sag float64) []r2.Vec {
	if k == 0 || a == b {
		return []r2.Vec{b}
	}
	d := r2.Sub(b, a)
	mid := r2.Add(r2.Scale(0.5, r2.Add(a, b)), r2.Scale((1-k*k)/(4*k), r2.Vec{X: -d.Y, Y: d.X}))
	from := r2.Sub(a, mid)
	out := arc(r2.Norm(from), r2.Norm(from), math.Atan2(from.Y, from.X), 4*math.Atan(k), sag)[1:]
	for i, p := range out {
		out[i] = r2.Add(mid, p)
	}
	out[len(out)-1] = b
	return out
}

// cubic samples a Bézier curve; its first point is left out. A chord over a step h
// leaves a curve by at most |B″|h²/8, and |B″| is at most 6 times the larger second
// difference of its points.
func cubic(p [4]r2.Vec, sag float64) []r2.Vec {
	second := math.Max(r2.Norm(r2.Add(r2.Sub(p[0], r2.Scale(2, p[1])), p[2])), r2.Norm(r2.Add(r2.Sub(p[1], r2.Scale(2, p[2])), p[3])))
	n := int(min(mostChords, max(1, math.Ceil(math.Sqrt(6*second/(8*sag))))))
	out := make([]r2.Vec, n)
	for i := range out {
		t := float64(i+1) / float64(n)
		u := 1 - t
		for k, w := range [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t} {
			out[i] = r2.Add(out[i], r2.Scale(w, p[k]))
		}
	}
	out[n-1] = p[3]
	return out
}

// spline is a B-spline by its control points, weights and knots.
type spline struct {
	degree  int
	knots   []float64
	control []r2.Vec
	weights []float64 // none: all 1
}

// at is the curve's point at t within knot span k, by de Boor's triangle on the
// weighted points. Source: [deboor1978]
func (s spline) at(t float64, k int) r2.Vec {
	type weighted struct {
		p r2.Vec
		w float64
	}
	d := make([]weighted, s.degree+1)
	for j := range d {
		i, w := j+k-s.degree, 1.0
		if len(s.weights) > 0 {
			w = s.weights[i]
		}
		d[j] = weighted{r2.Scale(w, s.control[i]), w}
	}
	for r := 1; r <= s.degree; r++ {
		for j := s.degree; j >= r; j-- {
			i := j + k - s.degree
			alpha := (t - s.knots[i]) / (s.knots[i+s.degree-r+1] - s.knots[i])
			d[j].p = r2.Add(r2.Scale(1-alpha, d[j-1].p), r2.Scale(alpha, d[j].p))
			d[j].w = (1-alpha)*d[j-1].w + alpha*d[j].w
		}
	}
	return r2.Scale(1/d[s.degree].w, d[s.degree].p)
}

// points samples the curve; the chords of each knot span are halved until they leave
// it by no more than the sag.
func (s spline) points(sag float64) []r2.Vec {
	n := len(s.control)
	out := []r2.Vec{s.at(s.knots[s.degree], s.span(s.degree))}
	for k := s.degree; k < n; k++ {
		a, b := s.knots[k], s.knots[k+1]
		if b <= a {
			continue
		}
		const first = 4 // so that no bend between the ends is missed
		for i := range first {
			t0, t1 := a+(b-a)*float64(i)/first, a+(b-a)*float64(i+1)/first
			out = s.halved(out, k, t0, t1, sag, 10)
		}
	}
	return out
}

// span is the first span from k on that has a length.
func (s spline) span(k int) int {
	for k+1 < len(s.control) && s.knots[k+1] <= s.knots[k] {
		k++
	}
	return k
}

func (s spline) halved(out []r2.Vec, k int, t0, t1, sag float64, depth int) []r2.Vec {
	a, mid, b := out[len(out)-1], s.at((t0+t1)/2, k), s.at(t1, k)
	if depth == 0 || distance(mid, a, b) <= sag/2 {
		return append(out, b)
	}
	out = s.halved(out, k, t0, (t0+t1)/2, sag, depth-1)
	return s.halved(out, k, (t0+t1)/2, t1, sag, depth-1)
}

// distance is that of a point from the line between two others.
func distance(p, a, b r2.Vec) float64 {
	d := r2.Sub(b, a)
	if d == (r2.Vec{}) {
		return r2.Norm(r2.Sub(p, a))
	}
	return math.Abs(r2.Cross(d, r2.Sub(p, a))) / r2.Norm(d)
}
