package hollow

import "math"

// friction is the coefficient between wet cloth and what it lies on: common
// practice, no source; 0.2 to 0.5.
const friction = 0.3

// An arm is what a straight line across the hollow meets on its way to the rim.
type arm struct {
	ways  []float64 // lengths, m, from the hollow outwards
	turns []float64 // after each, rad: over a ridge above 0, in a hollow below
	flat  float64   // length as far as the first ridge, hollow or rim, m
}

// hold returns the radius at which cloth on the arm no longer slides, its end
// beyond the rim free over a length:
//
//	dR/ds = μ·(1 + R/a)
//
// from the end inwards, where a is the radius of a ridge: the cloth is drawn onto
// it. Over a ridge of radius a that turns by φ, R becomes (R + a)·e^{μφ} − a. In
// another hollow it is taken as unchanged.
//
// Source: balance of an element of the cloth, derived here.
func (a arm) hold(beyond float64) float64 {
	R := friction * beyond
	for i := len(a.ways) - 1; i >= 0; i-- {
		R = R*math.Exp(friction*max(0, a.turns[i])) + friction*a.ways[i]
	}
	return R
}

// standing is how cloth of radius R lies in a section of radius r.
type standing struct {
	radius float64 // m
	gap    float64 // in the middle, m
	void   float64 // area between cloth and surface in the section, m²
	feed   float64 // cloth that must come in from the sides for it to lie, m
}

// widest is the turn beyond which a hollow is taken as this, rad: the walls are
// all but parallel.
const widest = 170 * math.Pi / 180

// stand returns how cloth that wants to lie at radius R does so in a section of
// radius r that turns by θ, between arms of that length. Its arc touches both
// arms where they have room for that, R ≤ r + arm/tan(θ/2):
//
//	gap = (R − r)·(1/cos(θ/2) − 1)
//	void = (R² − r²)·(tan(θ/2) − θ/2)
//	feed = (R − r)·(2·tan(θ/2) − θ)
//
// Else it spans from the end of one arm to that of the other.
//
// Source: plane geometry.
func stand(R, r, θ, arm float64) standing {
	if R <= r {
		return standing{radius: r}
	}
	half := min(θ, widest) / 2
	sin, cos := math.Sincos(half)
	tan := sin / cos
	if R <= r+arm/tan {
		return standing{R, (R - r) * (1/cos - 1), (R*R - r*r) * (tan - half), (R - r) * 2 * (tan - half)}
	}
	long := r*tan + arm // of an arm, from where the two would meet
	c := long * cos     // half the way across
	ψ := math.Asin(min(1, c/R))
	return standing{R,
		long*sin - R*(1-math.Cos(ψ)) - r*(1/cos-1),
		long*long*sin*cos - R*R*(ψ-math.Sin(2*ψ)/2) - r*r*(tan-half),
		2 * (arm + r*half - R*ψ)}
}
