package strength

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// stacks are the walls that the part has: one where no layer is draped, else one
// for each triangle.
type stacks struct {
	plies    [][]wall.Ply
	through  [][][2]float64 // shear stress of each ply a force across the wall; only with cores
	sections []shell.Section
	of       []int32 // of each triangle; nil: all the first
	axis     []r3.Vec
	shear    si.Angle // the largest either way
}

func (s *stacks) index(f int) int {
	if s.of == nil {
		return 0
	}
	return int(s.of[f])
}

// cored tells whether a core's shear strength is there to be judged.
func (in *Input) cored() bool {
	for _, l := range in.Layers {
		if l.CoreShear > 0 {
			return true
		}
	}
	return false
}

// most is the shear beyond which yarns lie on one another and the ply's numbers
// mean nothing; a ply is worked out as if sheared so far at most.
const most = si.Angle(70 * math.Pi / 180)

func (in *Input) stacks(axis []r3.Vec) (*stacks, error) {
	s := &stacks{axis: axis}
	draped := false
	for i, l := range in.Layers {
		if l.Elastic == nil {
			return nil, &fault.Input{Field: fault.Numbered("laminate.stack", i), What: "the stiffness of " + l.Name + " is not known",
				Do: "give moduli for its fibre and resin, or take a measured ply"}
		}
		draped = draped || l.Yarn != nil
	}
	if !draped {
		plies := make([]wall.Ply, len(in.Layers))
		for i, l := range in.Layers {
			plies[i] = l.Ply
		}
		return s, s.add(in, plies)
	}
	s.of = make([]int32, len(axis))
	for f := range axis {
		s.of[f] = int32(f)
		if err := s.add(in, in.laid(f, axis[f])); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// add appends a wall; its mass grows as its layers shear and thicken.
func (s *stacks) add(in *Input, plies []wall.Ply) error {
	w, err := wall.Stiffen(plies)
	if err != nil {
		return fmt.Errorf("laminate.stack: %w", err)
	}
	var mass float64
	for i, p := range plies {
		mass += float64(in.Layers[i].Mass) * float64(p.Thickness) / float64(in.Layers[i].Thickness)
		s.shear = max(s.shear, p.Shear, -p.Shear)
	}
	s.plies = append(s.plies, plies)
	if in.cored() {
		s.through = append(s.through, wall.ThroughStress(plies))
	}
	s.sections = append(s.sections, shell.Section{Wall: w, Mass: mass})
	return nil
}

// walls is how thick the wall is at each triangle, m.
func (s *stacks) walls() []float64 {
	out := make([]float64, len(s.axis))
	for f := range out {
		for _, p := range s.plies[s.index(f)] {
			out[f] += float64(p.Thickness)
		}
	}
	return out
}

// laid returns the layers as they lie on triangle f, angles counted from axis:
// each draped cloth along its own yarns there.
func (in *Input) laid(f int, axis r3.Vec) []wall.Ply {
	n := in.Mesh.FaceNormal(f)
	across := r3.Cross(n, axis)
	t := in.Mesh.Triangles[f]
	angle := func(at []r3.Vec) float64 {
		v := r3.Add(at[t[0]], r3.Add(at[t[1]], at[t[2]]))
		return math.Atan2(r3.Dot(v, across), r3.Dot(v, axis))
	}
	plies := make([]wall.Ply, len(in.Layers))
	for i, l := range in.Layers {
		plies[i] = l.Ply
		if l.Yarn == nil {
			continue
		}
		warp := angle(l.Yarn.Warp)
		// Yarns are lines: the angle between them counts from 0 to 180 degrees.
		between := math.Mod(angle(l.Yarn.Weft)-warp+2*math.Pi, math.Pi)
		plies[i] = l.alongYarns(warp, between, t)
	}
	return plies
}

// alongYarns returns a layer whose warp runs at an angle in triangle t and whose
// weft at another from it. Where draping says how far the cloth is sheared, that
// counts: on a bent surface the yarns of three corners, laid into one plane, show
// it wrongly. The line midway between them stays. The thickness is the mean of
// that at the corners,
//
//	t = t₀·⅓·Σ 1/cos γ
//
// so that summed over the triangles the cloth on the part has the mass that it had
// flat: a net of yarns that keep their length has 1/cos γ of flat area to each
// area of the surface.
//
// Source: identity (area of a sheared cell).
func (l *Layer) alongYarns(warp, between float64, t [3]int32) wall.Ply {
	if l.Yarn.Shear == nil {
		p := l.Ply
		p.Angle = si.Angle(warp)
		return p.Sheared(hold(si.Angle(math.Pi/2 - between)))
	}
	var shear, thick float64
	for _, v := range t {
		γ := float64(hold(si.Angle(l.Yarn.Shear[v])))
		shear += γ / 3
		thick += 1 / math.Cos(γ) / 3
	}
	p := l.Sheared(si.Angle(shear))
	p.Angle = si.Angle(warp + between/2 - (math.Pi/2-shear)/2)
	p.Thickness = l.Thickness * si.Length(thick)
	return p
}

func hold(shear si.Angle) si.Angle { return max(-most, min(most, shear)) }
