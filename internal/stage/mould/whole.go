package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/stage/mould/solid"
)

// checkWhole checks what concerns all solids together.
func (b *shape) checkWhole(s *Spec) error {
	if len(b.solids) >= maxParts {
		return &fault.Input{Field: "mould.solids", What: fmt.Sprintf("%d solids are more than %d", len(b.solids), maxParts-1), Do: "make the mould from fewer, or bring it as a mesh file"}
	}
	inf := math.Inf(1)
	b.bounds = r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	lowest := inf
	for i, one := range b.solids {
		box := one.Bounds()
		b.bounds = solid.Join(b.bounds, box)
		if b.knots[i].own == nil {
			lowest = min(lowest, box.Max.Z-max(0, box.Min.Z))
		}
		if !(box.Max.Z > smallest) {
			return &fault.Input{Field: fault.Numbered("mould.solids", i), What: fmt.Sprintf("its top is at z = %.4g mm, so none of it stands above the base plane", 1e3*box.Max.Z), Do: "raise it"}
		}
	}
	if b.plate != nil {
		p := b.plate
		half := r3.Vec{X: float64(p.Length) / 2, Y: float64(p.Width) / 2}
		b.bounds = solid.Join(b.bounds, r3.Box{Min: r3.Sub(p.At.V, half), Max: r3.Add(p.At.V, half)})
		if s.Flange > 0 {
			return &fault.Input{Field: "mould.flange", What: "a plate is its own flange", Do: "take one out"}
		}
	}
	r, w := float64(s.Fillet), float64(s.Flange)
	if !(w >= 0 && w <= largest) {
		return &fault.Range{Field: "mould.flange", Value: 1e3 * w, Max: 1e3 * largest, Unit: " mm", Why: "a flange is a width"}
	}
	if len(b.solids) == 0 {
		return nil
	}
	if !(r >= 0 && r <= lowest) {
		return &fault.Range{Field: "mould.fillet", Value: 1e3 * r, Max: 1e3 * lowest, Unit: " mm", Why: "a larger fillet would drown the lowest solid"}
	}
	if err := b.checkOwn(r); err != nil {
		return err
	}
	if w > 0 && w < r+roomy {
		return &fault.Range{Field: "mould.flange", Value: 1e3 * w, Min: 1e3 * (r + roomy), Max: 1e3 * largest, Unit: " mm", Why: "the flange must reach beyond its fillet"}
	}
	return nil
}
