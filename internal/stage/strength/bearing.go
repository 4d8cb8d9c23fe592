package strength

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/joint"
)

// FastenerLoad is what one fastener bears: along its own axis, square to the surface,
// and across it, in the case that uses most of the laminate round its hole; where no
// strength is known, in the case where the two together are largest.
type FastenerLoad struct {
	At        [3]float64   `json:"at_m"`
	Pull      si.Force     `json:"pull_N"` // either way along the surface's normal
	Shear     si.Force     `json:"shear_N"`
	Case      string       `json:"case"`
	Stiffness si.Stiffness `json:"stiffness_N_per_m"` // across the axis
	Bearing   si.Pressure  `json:"bearing_Pa"`
	Edge      si.Length    `json:"edge_distance_m"` // to the nearest edge, of cut-outs too
	Pitch     *si.Length   `json:"pitch_m,omitempty"`
	Mode      string       `json:"mode,omitempty"`
	Margin    *float64     `json:"margin,omitempty"` // against bearing, shear-out, net section and pull-through, the loads times the factor and heat as it is
}

// insertReach is how far past a screw, in wall thicknesses, an insert or solid
// laminate stands for the core. Common practice, no source.
const insertReach = 2

// headShare is the diameter of a fastener's head over that of its shank where it is
// not told. Typical of pan heads; assumed.
const headShare = 2

// atInsert says whether a place lies where a screw's insert must stand. The core
// is not judged there: it is not there, and a point's force would press it
// without bound.
func (in *Input) atInsert(at r3.Vec, thickness float64) bool {
	for _, f := range in.Fasteners {
		if r3.Norm(r3.Sub(at, f.At)) < float64(f.Diameter)/2+insertReach*thickness {
			return true
		}
	}
	return false
}

// bear reports what each fastener bears, heat included, with small motions.
func (r *Result) bear(j *judging) {
	if len(j.in.Fasteners) == 0 {
		return
	}
	find := mesh.NewLocator(j.in.Mesh)
	limits := make([]joint.Limits, len(j.in.Cases))
	for i, f := range j.in.Fasteners {
		laid := j.in.laidAt(find, f.At)
		for k, c := range j.in.Cases {
			limits[k] = j.in.atHole(c, laid)
		}
		hole := j.in.hole(i, j.hold, laid)
		forces, axis, stiff := j.pulls(i, j.hold)
		load, most := FastenerLoad{At: place(j.in.Fasteners[i].At), Edge: hole.Edge, Stiffness: stiff}, -1.0
		if hole.Pitch > 0 {
			load.Pitch = &hole.Pitch
		}
		for n := range j.blends {
			b := &j.blends[n]
			pull, shear := b.on(&forces, axis, r.Factor)
			worst := joint.Worst(hole.Uses(pull, shear, limits[b.of]))
			size := worst.Share
			if limits[b.of] == (joint.Limits{}) {
				size = math.Hypot(float64(pull), float64(shear))
			}
			if !(size > most) {
				continue
			}
			most = size
			load.Pull, load.Shear = b.on(&forces, axis, 1)
			load.Case, load.Bearing, load.Mode, load.Margin = j.in.Cases[b.of].Name, hole.Bearing(load.Shear), worst.Mode, nil
			if worst.Share > 0 {
				margin := 1/worst.Share - 1
				load.Margin = &margin
			}
		}
		r.Fasteners = append(r.Fasteners, load)
	}
}

// on adds up what the unit loads bring on a fastener, its loads grown by a factor.
func (b *blend) on(forces *[units]r3.Vec, axis r3.Vec, factor float64) (pull, shear si.Force) {
	var force r3.Vec
	for u, f := range forces {
		force = r3.Add(force, r3.Scale(b.times(u, factor), f))
	}
	along := r3.Dot(force, axis)
	return si.Force(math.Abs(along)), si.Force(r3.Norm(r3.Sub(force, r3.Scale(along, axis))))
}

// pulls returns what each unit load brings on a fastener, the fastener's axis, and how
// stiff it is across it.
func (j *judging) pulls(i int, h *holding) (forces [units]r3.Vec, axis r3.Vec, across si.Stiffness) {
	for k, owner := range h.owner {
		if owner != i {
			continue
		}
		s := &h.springs[k]
		axis, across = s.Axis, across+s.Across
		for u, l := range j.unit {
			if l != nil {
				forces[u] = r3.Add(forces[u], s.Pulls(l.Move[s.Vertex]))
			}
		}
	}
	return forces, axis, across
}

// laidAt tells how much of each layer lies at a place: all of one that lies everywhere,
// and of a doubler its share of the nearest triangle.
func (in *Input) laidAt(find *mesh.Locator, at r3.Vec) []float64 {
	out := in.laidBetween()
	if in.Walls == nil {
		return out
	}
	hit, _ := find.Closest(at)
	for _, p := range in.Walls[hit.Face] {
		for _, l := range p.Lays {
			if in.Layers[l.Layer].Doubler {
				out[l.Layer] += p.Share
			}
		}
	}
	return out
}

// laidBetween is how much of each layer lies where no doubler does.
func (in *Input) laidBetween() []float64 {
	out := make([]float64, len(in.Layers))
	for i, l := range in.Layers {
		if !l.Doubler {
			out[i] = 1
		}
	}
	return out
}

// hole is a fastener's place in the laminate, laid of each layer as much as that; a core
// does not bear.
func (in *Input) hole(i int, h *holding, laid []float64) joint.Hole {
	f := in.Fasteners[i]
	out := joint.Hole{Diameter: f.Diameter, Head: in.Screwed.Head, Edge: si.Length(apart(f.At, h.rims))}
	if out.Head == 0 {
		out.Head = headShare * f.Diameter
	}
	for k, l := range in.Layers {
		if !l.Core {
			out.Thickness += l.Thickness * si.Length(laid[k])
		}
	}
	for k, g := range in.Fasteners {
		if d := si.Length(r3.Norm(r3.Sub(g.At, f.At))); k != i && d > 0 && (out.Pitch == 0 || d < out.Pitch) {
			out.Pitch = d
		}
	}
	return out
}

// apart is how far a place lies from the nearest of some closed lines; +Inf where
// there are none.
func apart(at r3.Vec, lines [][]r3.Vec) float64 {
	best := math.Inf(1)
	for _, line := range lines {
		for k, a := range line {
			side := r3.Sub(line[(k+1)%len(line)], a)
			t := max(0, min(1, r3.Dot(r3.Sub(at, a), side)/max(r3.Norm2(side), math.SmallestNonzeroFloat64)))
			best = math.Min(best, r3.Norm(r3.Sub(at, r3.Add(a, r3.Scale(t, side)))))
		}
	}
	return best
}

// atHole returns what the laminate round a hole stands in a case: the means over the
// cloths of the lesser of their strengths both ways. A bearing strength that is not
// told is taken as that in compression, which errs downwards where the laminate is
// clamped under a washer. Nothing where a cloth's strength is not known.
func (in *Input) atHole(c Case, laid []float64) (out joint.Limits) {
	share := in.retention(c)
	var thick si.Pressure
	var sum wall.Strength
	for i, l := range in.Layers {
		if l.Core || laid[i] == 0 {
			continue
		}
		if l.Strength == nil {
			return joint.Limits{Bearing: in.Screwed.Bearing * si.Pressure(share)}
		}
		s, t := softened(l.Ply, share).Strength, si.Pressure(float64(l.Thickness)*laid[i])
		thick += t
		sum.Xt += t * min(s.Xt, s.Yt)
		sum.Xc += t * min(s.Xc, s.Yc)
		sum.S += t * s.S
	}
	out = joint.Limits{Bearing: sum.Xc / thick, Shear: sum.S / thick, Tension: sum.Xt / thick}
	if in.Screwed.Bearing > 0 {
		out.Bearing = in.Screwed.Bearing * si.Pressure(share)
	}
	return out
}

// react works out what holds the part under each unit load.
func (j *judging) react() {
	var wait sync.WaitGroup
	for _, l := range j.unit {
		if l != nil {
			wait.Go(func() { l.force, l.moment = j.solver.Reactions(l.Motion, l.load) })
		}
	}
	wait.Wait()
}

// reaction adds up all that holds the part in a blend.
func (j *judging) reaction(b *blend) (sum r3.Vec) {
	for u, l := range j.unit {
		if l == nil || b.share[u] == 0 {
			continue
		}
		for _, f := range l.force {
			sum = r3.Add(sum, r3.Scale(b.share[u], f))
		}
	}
	return sum
}
