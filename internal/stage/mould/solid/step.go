package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Step sets the surface in by Depth within Width of a plane, on the side that N
// points to, and lets it come back over Ramp: the joggle in which the edge of a
// mating piece lies flush.
//
//	d' = (d + h·φ(x)) / |∇(d + h·φ)|,  x = n·(p − at)
//	φ = 1 up to x = w, then 1 − 3t² + 2t³ with t = (x − w)/l, then 0
//
// Right on the surface and to first order beside it. h, w and l are Depth, Width
// and Ramp. The flat part of the step is the surface's parallel at h.
type Step struct {
	At, N              r3.Vec // N is a unit vector into the part
	Depth, Width, Ramp float64
}

// share returns φ and its slope.
func (s Step) share(p r3.Vec) (φ, slope float64) {
	t := (r3.Dot(s.N, r3.Sub(p, s.At)) - s.Width) / s.Ramp
	switch {
	case t <= 0:
		return 1, 0
	case t >= 1:
		return 0, 0
	}
	return 1 - t*t*(3-2*t), -6 * t * (1 - t) / s.Ramp
}

// stepped applies the steps to a distance of the whole surface.
func (s *Joined) stepped(p r3.Vec, at func(r3.Vec) (float64, r3.Vec)) (float64, r3.Vec) {
	d, n := at(p)
	for _, step := range s.Steps {
		φ, slope := step.share(p)
		d += step.Depth * φ
		if slope == 0 {
			continue
		}
		v := r3.Add(n, r3.Scale(step.Depth*slope, step.N))
		size := math.Max(0.1, norm(v))
		d, n = d/size, r3.Scale(1/size, v)
	}
	return d, n
}
