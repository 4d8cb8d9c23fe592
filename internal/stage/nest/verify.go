package nest

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
)

// proof is the depth in metres by which a layout may miss any of its promises:
// ten times touch, for the rounding of turns and shifts on a long roll.
const proof = 1e-9

// verify proves a layout on the outlines as given, with polygon Booleans and
// distances that the search does not use: every copy is there in an allowed
// turn, within the roll, and keeps the gap to all others.
func verify(r Roll, l Laid) error {
	var rings []geom.Polygon
	left := map[string]int{}
	byName := map[string]Piece{}
	for _, p := range r.Pieces {
		left[p.Name], byName[p.Name] = p.Count, p
	}
	for k, at := range l.Placements {
		p, known := byName[at.Piece]
		if !known || !allowed(p, at) {
			return broken(fmt.Sprintf("placement %d turns %q in a way it may not lie", k, at.Piece), 0, 0)
		}
		left[at.Piece]--
		ring := laid(p.Outline, float64(at.Turn), at.Flipped).Shift(r2.Vec{X: float64(at.X), Y: float64(at.Y)})
		b, edge := ring.Bounds(), float64(r.Edge)
		out := max(-b.Min.X, b.Max.X-float64(l.Length), edge-b.Min.Y, b.Max.Y-float64(r.Width)+edge)
		if !(out <= 2*proof) {
			return broken(fmt.Sprintf("placement %d leaves the roll", k), out, 2*proof)
		}
		rings = append(rings, ring)
	}
	for _, p := range r.Pieces {
		if left[p.Name] != 0 {
			return broken(fmt.Sprintf("%d of %q are missing", left[p.Name], p.Name), float64(left[p.Name]), 0)
		}
	}
	return verifyClear(rings, float64(r.Gap))
}

func broken(what string, residual, limit float64) error {
	return &fault.NoSolution{What: "a layout that passes its own check: " + what, Residual: residual, Limit: limit,
		Do: "change the seed or the gap a little, and report the job"}
}

func allowed(p Piece, at Placement) bool {
	if at.Flipped && !p.Flip {
		return false
	}
	for _, t := range distinct(p.Turns) {
		if math.Abs(math.Remainder(float64(at.Turn)-t, 2*math.Pi)) < 1e-9 {
			return true
		}
	}
	return false
}

// verifyClear checks every pair of rings whose boxes come within the gap.
func verifyClear(rings []geom.Polygon, gap float64) error {
	boxes := make([]r2.Box, len(rings))
	for i, p := range rings {
		boxes[i] = p.Bounds()
	}
	for i, p := range rings {
		for k := range i {
			a, b := boxes[i], boxes[k]
			if max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y) >= gap {
				continue
			}
			q := rings[k]
			shared, err := geom.IntersectionArea(p, q)
			if err != nil {
				return broken(fmt.Sprintf("placements %d and %d can't be compared (%v)", k, i, err), 0, 0)
			}
			if limit := proof * min(p.Perimeter(), q.Perimeter()); !(shared <= limit) {
				return broken(fmt.Sprintf("placements %d and %d share area", k, i), shared, limit)
			}
			if d := apartness(p, q); gap > 0 && !(d >= gap-proof) {
				return broken(fmt.Sprintf("placements %d and %d are nearer than the gap", k, i), gap-d, proof)
			}
		}
	}
	return nil
}

// apartness is the distance between two rings that do not cross: it is found
// at a corner of one of them.
func apartness(p, q geom.Polygon) float64 {
	d := math.Inf(1)
	for _, v := range p {
		d = min(d, q.Distance(v))
	}
	for _, v := range q {
		d = min(d, p.Distance(v))
	}
	return d
}
