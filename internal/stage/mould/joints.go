package mould

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/stage/mould/offset"
	"laywright/internal/stage/mould/solid"
)

// knot is what a joint's radius depends on, one for each solid, then the base
// plane and the flanges.
type knot struct {
	number int      // in the list of solids, from 1; 0 for a flange
	own    *float64 // the solid's own fillet
	most   float64  // a larger one would drown it, unless it is asked for
}

// board is a flange in a plane of its own.
type board struct {
	frame solid.Frame
	width float64
}

// addBoards checks and notes the flanges in other planes.
func (b *shape) addBoards(s *Spec) error {
	for i, f := range s.Flanges {
		field := fault.Numbered("mould.flanges", i)
		if f.Normal.V == (r3.Vec{}) {
			return &fault.Input{Field: field + ".normal", What: "the plane has no direction", Do: "write the way its free side looks, like [-1, 0, 0]"}
		}
		w := float64(f.Width)
		if !(w >= roomy && w <= largest) {
			return &fault.Range{Field: field + ".width", Value: 1e3 * w, Min: 1e3 * roomy, Max: 1e3 * largest, Unit: " mm", Why: "a flange is a width"}
		}
		b.boards = append(b.boards, board{solid.Along(f.At.V, f.Normal.V), w})
	}
	return nil
}

// widest returns the width of the widest flange in another plane.
func (b *shape) widest(s *Spec) (w float64) {
	for _, one := range s.Flanges {
		w = max(w, float64(one.Width))
	}
	return w
}

// onBoard tells whether a place lies on or behind a flange's plane.
func (b *shape) onBoard(p r3.Vec) bool {
	for _, one := range b.boards {
		if one.frame.In(p).Z <= 1e-9 {
			return true
		}
	}
	return false
}

// checkOwn checks the fillets that solids have of their own, and that a flange is
// wider than the fillet at its root.
func (b *shape) checkOwn(usual float64) error {
	widest := usual
	for i, one := range b.solids {
		own := b.knots[i].own
		if own == nil {
			continue
		}
		box := one.Bounds()
		high := max(box.Max.Z-box.Min.Z, box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
		if !(*own >= 0 && *own <= high) {
			return &fault.Range{Field: b.names[i] + ".fillet", Value: 1e3 * *own, Max: 1e3 * high, Unit: " mm", Why: "a larger fillet would drown the solid"}
		}
		widest = max(widest, *own)
	}
	for i, one := range b.boards {
		if one.width < widest+roomy {
			return &fault.Range{Field: fault.Numbered("mould.flanges", i) + ".width", Value: 1e3 * one.width, Min: 1e3 * (widest + roomy), Max: 1e3 * largest, Unit: " mm", Why: "the flange must reach beyond its fillet"}
		}
	}
	return nil
}

// checkJoints checks the radii that pairs have of their own.
func (b *shape) checkJoints(s *Spec) error {
	for i, j := range s.Joints {
		field := fault.Numbered("mould.joints", i)
		if len(j.Between) != 2 || j.Between[0] == j.Between[1] {
			return &fault.Input{Field: field + ".between", What: "a joint is between two solids", Do: "write two unlike numbers, counted from 1 in mould.solids; 0 is the base plane or a flange"}
		}
		for _, n := range j.Between {
			if n < 0 || n > len(s.Solids) {
				return &fault.Input{Field: field + ".between", What: fmt.Sprintf("there is no solid %d", n), Do: fmt.Sprintf("count them from 1 to %d; 0 is the base plane or a flange", len(s.Solids))}
			}
		}
		if r := float64(j.Fillet); !(r >= 0 && r <= largest) {
			return &fault.Range{Field: field + ".fillet", Value: 1e3 * r, Max: 1e3 * largest, Unit: " mm", Why: "a filler's radius"}
		}
	}
	return nil
}

// filler returns the filler radius between two knots: that of the pair, else the
// lesser of their own, else the mould's.
func filler(s *Spec, a, b knot) float64 {
	for _, j := range s.Joints {
		if p, q := j.Between[0], j.Between[1]; p == a.number && q == b.number || q == a.number && p == b.number {
			return float64(j.Fillet)
		}
	}
	switch {
	case a.own != nil && b.own != nil:
		return min(*a.own, *b.own)
	case a.own != nil:
		return *a.own
	case b.own != nil:
		return *b.own
	}
	return min(float64(s.Fillet), a.most, b.most)
}

// join fills the joints of the solids, the base plane and the flanges. Faces
// that were moved out by some length leave that much less of each fillet's
// radius, and so keep the filler's ball where it was.
func (b *shape) join(s *Spec, out float64) error {
	var parts []solid.Field
	knots := append([]knot(nil), b.knots...)
	for _, one := range b.solids {
		parts = append(parts, one)
	}
	if b.ground {
		parts = append(parts, solid.Behind{O: r3.Vec{Z: b.base}, N: r3.Vec{Z: 1}})
		knots = append(knots, knot{most: math.Inf(1)})
	}
	for _, one := range b.boards {
		parts = append(parts, solid.Behind{O: one.frame.O, N: one.frame.Z})
		knots = append(knots, knot{most: math.Inf(1)})
	}
	joined, err := solid.Fill(parts, func(i, j int) float64 {
		return max(0, b.moved.scale*filler(s, knots[i], knots[j])-out)
	})
	if err != nil {
		return &fault.Input{Field: "mould.joints", What: err.Error(), Do: "give fewer joints a radius of their own"}
	}
	b.joined = joined
	return nil
}

// move moves the faces of all solids, the base plane and the flanges, and joins
// them anew.
func (b *shape) move(s *Spec) error {
	m := b.moved
	if m.out == 0 && m.scale == 1 {
		return nil
	}
	if thin := b.least + 2*m.out; !(thin > 2*smallest) {
		return &fault.Input{Field: "mould.drawn", What: fmt.Sprintf("a wall of %.3g mm leaves nothing of a solid that measures %.3g mm", -1e3*m.out, 1e3*b.least), Do: "draw the mould face, or make the solid larger"}
	}
	b.drawn = b.joined
	for i, one := range b.solids {
		b.solids[i] = m.solid(one, b.alters(one))
	}
	if b.ground {
		b.base = m.out
	}
	for i := range b.boards {
		f := &b.boards[i].frame
		f.O = m.place(r3.Add(f.O, r3.Scale(m.out/m.scale, f.Z)))
	}
	for i := range b.ends {
		e := &b.ends[i]
		e.At, e.reach, e.lead = m.place(e.At), m.scale*e.reach+m.out, m.scale*e.lead
	}
	grow := r3.Vec{X: max(0, m.out), Y: max(0, m.out), Z: max(0, m.out)}
	b.bounds = r3.Box{Min: r3.Sub(m.place(b.bounds.Min), grow), Max: r3.Add(m.place(b.bounds.Max), grow)}
	b.least = m.scale*b.least + 2*min(0, m.out)
	return b.join(s, m.out)
}

// alters tells whether a solid is a duct whose section changes.
func (b *shape) alters(s solid.Solid) bool {
	return slices.ContainsFunc(b.ducts, func(d *duct) bool { return d.Solid == s && d.alters })
}

// solid returns a solid with its face moved; rough says that its own distance is
// right to first order only.
func (m move) solid(of solid.Solid, rough bool) solid.Solid {
	if rough && m.out != 0 {
		of = offset.Nearest{Of: of, Reach: 3 * math.Abs(m.out)}
	}
	if m.scale != 1 {
		of = offset.Scaled{Of: of, By: m.scale}
	}
	if m.out != 0 {
		of = offset.Moved{Of: of, By: m.out}
	}
	return of
}

// addJoggle sets the step of a joggle into the whole face.
func (b *shape) addJoggle(s *Spec) error {
	j := s.Joggle
	if j == nil {
		return nil
	}
	step := solid.Step{N: r3.Vec{Z: 1}, Depth: float64(j.Depth), Width: float64(j.Width), Ramp: float64(j.Ramp)}
	switch {
	case (j.At == nil) != (j.Normal == nil):
		return &fault.Input{Field: "mould.joggle", What: "a plane has a place and a direction", Do: "write both at and normal, or neither for the base plane"}
	case j.At == nil && b.ground:
		return &fault.Input{Field: "mould.joggle", What: "along the base plane runs the flange", Do: "give the plane of the edge by at and normal, or leave the flange out"}
	case j.At != nil:
		step.At, step.N = b.moved.place(j.At.V), r3.Unit(j.Normal.V)
	}
	if step.Depth == 0 {
		if step.Depth = b.moved.wall; step.Depth == 0 {
			return &fault.Input{Field: "mould.joggle.depth", What: "the step's depth is not known", Do: "write it, or mould.wall, or the laminate's stack"}
		}
	}
	if step.Ramp == 0 {
		step.Ramp = usualRamp * step.Depth
	}
	for _, one := range []struct {
		name      string
		l, lo, hi float64
	}{{"depth", step.Depth, 0.05e-3, b.least / 2}, {"width", step.Width, smallest, largest}, {"ramp", step.Ramp, 1.5 * step.Depth, largest}} {
		if !(one.lo <= one.l && one.l <= one.hi) {
			return &fault.Range{Field: "mould.joggle." + one.name, Value: 1e3 * one.l, Min: 1e3 * one.lo, Max: 1e3 * one.hi, Unit: " mm", Why: "a step that cloth follows"}
		}
	}
	b.joined.Steps = append(b.joined.Steps, step)
	return nil
}

// usualRamp is how long a joggle's ramp is against its depth, where it is not
// given: at its steepest the face then leans by atan(1.5/4), some 20 deg.
const usualRamp = 4
