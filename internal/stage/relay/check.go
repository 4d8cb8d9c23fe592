package relay

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
)

// check refuses pieces that do not fit their ground, and places that are no
// numbers. It does not check that outlines are simple: what an outline goes round
// twice is outside.
func (in *Input) check() error {
	if in.Surface == nil || len(in.Surface.Mesh.Triangles) == 0 {
		return &fault.Input{Field: "mould", What: "there is no surface to put cloth back on"}
	}
	n := int32(len(in.Surface.Mesh.Vertices))
	for _, p := range in.Plies {
		for k, x := range p.Pieces {
			fail := func(what string) error {
				return &fault.Input{Field: "plies", What: fmt.Sprintf("piece %d of ply %d %s", k+1, p.Number, what)}
			}
			count := len(x.Top.Mesh.Vertices)
			if len(x.Flat) != count || !x.Patch && x.Vertices == nil && len(x.From) != count || x.Vertices != nil && len(x.Vertices) != count {
				return fail("has a flat place for only some of its vertices")
			}
			if n := len(x.Warp); n != 0 && n != count || len(x.Weft) != n || len(x.Shear) != n {
				return fail("has yarns at only some of its vertices")
			}
			for _, v := range x.Vertices {
				if v >= n {
					return fail("names a vertex that the surface does not have")
				}
			}
			if !finite(x.Outline) || !finite(x.Holes...) || !finite(x.Knife...) {
				return fail("has an outline that is not of numbers")
			}
		}
	}
	return nil
}

func finite(lines ...[][2]float64) bool {
	for _, l := range lines {
		for _, p := range l {
			if s := p[0] + p[1]; math.IsNaN(s) || math.IsInf(s, 0) {
				return false
			}
		}
	}
	return true
}
