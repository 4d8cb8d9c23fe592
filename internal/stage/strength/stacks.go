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

// laid returns the layers as they lie on triangle f, angles counted from axis:
// each draped cloth along its own warp there, sheared as its weft shows.
func (in *Input) laid(f int, axis r3.Vec) []wall.Ply {
	n := in.Mesh.FaceNormal(f)
	across := r3.Cross(n, axis)
	angle := func(at []r3.Vec) float64 {
		t := in.Mesh.Triangles[f]
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
		shear := max(-most, min(most, si.Angle(math.Pi/2-between)))
		plies[i].Angle = si.Angle(warp)
		plies[i] = plies[i].Sheared(shear)
	}
	return plies
}
