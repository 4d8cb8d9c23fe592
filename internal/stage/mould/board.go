package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/stage/mould/solid"
)

// fillerVolume counts what the fillets add to the bare solids, on a grid of
// cells over the joints, each counted by the share that its middle's distance
// gives it:
//
//	V = h³ Σ [share(d with fillets) − share(d bare)],  share(d) = ½ − d/h within 0 … 1
//
// Blocks of cells where no second solid is near are passed over.
func fillerVolume(b *shape) float64 {
	radius := b.joined.Radius
	if radius <= 0 || len(b.joined.Parts) < 2 {
		return 0
	}
	const block = 8
	h := max(radius/6, r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))/400)
	side := block * h
	reach := radius + side
	nx := int(math.Ceil((b.bounds.Max.X - b.bounds.Min.X + 2*radius) / side))
	ny := int(math.Ceil((b.bounds.Max.Y - b.bounds.Min.Y + 2*radius) / side))
	nz := int(math.Ceil((b.bounds.Max.Z + radius) / side))
	share := func(d float64) float64 { return max(0, min(1, 0.5-d/h)) }
	var cells float64
	for i := range nx * ny * nz {
		o := r3.Vec{X: b.bounds.Min.X - radius + side*float64(i%nx), Y: b.bounds.Min.Y - radius + side*float64(i/nx%ny), Z: side * float64(i/(nx*ny))}
		if !joint(b.joined, r3.Add(o, r3.Scale(side/2, r3.Vec{X: 1, Y: 1, Z: 1})), reach) {
			continue
		}
		for c := range block * block * block {
			p := r3.Add(o, r3.Scale(h, r3.Vec{X: float64(c%block) + 0.5, Y: float64(c/block%block) + 0.5, Z: float64(c/(block*block)) + 0.5}))
			bare, _ := b.joined.Sharp(p)
			if bare <= -h/2 || bare >= radius {
				continue
			}
			filled, _ := b.joined.At(p)
			cells += share(filled) - share(bare)
		}
	}
	return cells * h * h * h
}

// joint tells whether two solids come within reach of p.
func joint(j *solid.Joined, p r3.Vec, reach float64) bool {
	near := 0
	for _, part := range j.Parts {
		if d, _ := part.At(p); math.Abs(d) < reach {
			near++
		}
	}
	return near > 1
}
