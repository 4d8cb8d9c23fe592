package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Area returns the area inside a section that is seen whole from its middle and
// reaches at most wide from it.
//
//	A = ½ ∮ ρ² dθ
//
// by the mean of ρ² over even angles, which for a smooth outline comes right
// faster than any power of their number.
func (s Section) Area(wide float64) float64 {
	const angles = 720
	var sum float64
	for i := range angles {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / angles)
		low, high := 0.0, 2*wide
		for range 50 {
			mid := (low + high) / 2
			if d, _ := s(r2.Vec{X: mid * cos, Y: mid * sin}); d < 0 {
				low = mid
			} else {
				high = mid
			}
		}
		sum += high * high
	}
	return math.Pi * sum / angles
}

// Law is the area of a sweep's section along its path.
type Law struct {
	Along []float64 // m along the path
	Area  []float64 // m²
	Least int       // index of the smallest
}

// Law returns the area at n places from the first end to the last.
func (s *Sweep) Law(n int) (l Law) {
	for i := range n {
		t := float64(i) / float64(n-1)
		mixed := Section(func(p r2.Vec) (float64, r2.Vec) {
			a, _ := s.from(p)
			b, _ := s.to(p)
			return (1-t)*a + t*b, r2.Vec{}
		})
		l.Along, l.Area = append(l.Along, t*s.length), append(l.Area, mixed.Area(s.wide))
		if l.Area[i] < l.Area[l.Least] {
			l.Least = i
		}
	}
	return l
}

// Point returns the path at a length along it.
func (s *Sweep) Point(x float64) (at [3]float64) {
	for _, l := range s.legs {
		if x <= l.start+l.len || l.start+l.len >= s.length {
			p, _ := l.point(x - l.start)
			return [3]float64{p.X, p.Y, p.Z}
		}
	}
	return at
}
