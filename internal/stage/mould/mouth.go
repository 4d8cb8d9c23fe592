package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/stage/mould/carve"
	"laywright/internal/stage/mould/solid"
)

// mouth is an open end of a duct: a flat that cuts the tube, which goes on beyond.
type mouth struct {
	solid.End
	reach float64 // how far the tube reaches from its middle there, m
	lead  float64 // how far it goes on, m
}

// reach returns how far a duct's rim at an end lies from a place.
func (d *duct) reach(end int, from r3.Vec) (far float64) {
	const round = 72
	for _, p := range d.pipe.Rim(end, 0, round) {
		far = max(far, r3.Norm(r3.Sub(p, from)))
	}
	return far
}

// field returns the distance from the body as it is built: cut off at the mouths.
func (b *shape) field() carve.Field {
	return func(p r3.Vec) (float64, r3.Vec) {
		d, n := b.joined.At(p)
		for _, e := range b.ends {
			to := r3.Sub(p, e.At)
			beyond := r3.Dot(to, e.Out)
			aside := r3.Norm(r3.Sub(to, r3.Scale(beyond, e.Out)))
			if beyond > d && math.Abs(beyond) < e.lead && aside < e.reach+offRim {
				d, n = beyond, e.Out
			}
		}
		return d, n
	}
}

// offRim is how far beside a mouth it still tells the distance, m: far enough for the
// rim to be felt, and nearer than what else may stand there.
const offRim = 0.1e-3
