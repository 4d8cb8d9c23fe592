package mould

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
)

func (b *shape) overhang(at r3.Vec, field string) error {
	return &fault.Input{Field: field, What: b.over(at) + " hangs over the flange's edge near " + placeText(at) + " with filler in the gap", Do: "make the flange wider, or the fillet less, or raise the solid"}
}

// basePlane stands for the flange or plate among the solids' names.
const basePlane = "the base plane"

// nearest names the solids, and the base plane where it is part of the face, by how near they are to p.
func (b *shape) nearest(p r3.Vec) []string {
	names := append([]string(nil), b.names...)
	if b.ground {
		names = append(names, basePlane)
	}
	for i := range b.boards {
		names = append(names, fault.Numbered("mould.flanges", i))
	}
	away := make(map[string]float64, len(names))
	for i, part := range b.joined.Parts {
		d, _ := part.At(p)
		away[names[i]] = math.Abs(d)
	}
	slices.SortStableFunc(names, func(x, y string) int { return cmp.Compare(away[x], away[y]) })
	return names
}

// over names the solid nearest to a place on the base plane.
func (b *shape) over(p r3.Vec) string {
	for _, name := range b.nearest(p) {
		if name != basePlane {
			return name
		}
	}
	return "a solid"
}

// muddled refuses solids that meet so that no clean face is found at a place.
func (b *shape) muddled(at r3.Vec) error {
	names := b.nearest(at)
	e := &fault.Input{Field: names[0], What: "no clean face is found on it near " + placeText(at), Do: "write a smaller mould.triangle, or change its edge or draft"}
	if len(names) > 1 {
		if e.Field == basePlane {
			names[0], names[1] = names[1], names[0]
		}
		e.Field = names[0]
		e.What = fmt.Sprintf("near %s it meets %s, or leaves a gap to it, so that no clean face is found", placeText(at), names[1])
		e.Do = "move one of them by some millimetres, change mould.fillet so that filler fills the gap or clears it, or write a smaller mould.triangle"
	}
	return e
}
