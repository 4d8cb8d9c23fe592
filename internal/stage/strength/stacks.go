package strength

import (
	"fmt"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// stacks are the walls that the part has: one where no layer is draped, else one
// for each triangle.
type stacks struct {
	walls    [][]part
	sections []shell.Section
	of       []int32 // of each triangle; nil: all the first
	axis     []r3.Vec
	shear    si.Angle // the largest either way
	bare     si.Area  // of triangles that next to no cloth lies on
}

// part is a share of a wall over which the same layers lie.
type part struct {
	wall.Part
	layer   []int        // of the input, by ply
	through [][2]float64 // shear stress of each ply a force across the wall; only with cores
}

// parts returns what lies on triangle f.
func (s *stacks) parts(f int) []part {
	if s.of == nil {
		return s.walls[0]
	}
	return s.walls[s.of[f]]
}

func (s *stacks) section(f int) *shell.Section {
	if s.of == nil {
		return &s.sections[0]
	}
	return &s.sections[s.of[f]]
}

// thickness is that of the wall at a triangle, m.
func (s *stacks) thickness(f int) float64 { return thickness(s.parts(f)) }

func thickness(parts []part) (h float64) {
	for i := range parts {
		h += parts[i].Share * parts[i].Thickness()
	}
	return h
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

// leastCloth is the share of a triangle below which its cloth can't hold the solve
// together; as much of the wall as it is written is laid there.
const leastCloth = 0.01

// stacks lays the walls. All heights count from one plane, half the part's mean
// thickness above the mould face: the mould is smooth, so that every ply more, and
// every ply that shear or a lap makes thicker, lifts the middle of the wall off the
// face by half its thickness. That is in the walls' coupling of stretch and bending
// ([wall.Together]); the surface itself stays the mould face.
func (in *Input) stacks(axis []r3.Vec) (*stacks, error) {
	for i, l := range in.Layers {
		if l.Elastic == nil {
			return nil, &fault.Input{Field: fault.Numbered("laminate.stack", i), What: "the stiffness of " + l.Name + " is not known",
				Do: "give moduli for its fibre and resin, or take a measured ply"}
		}
	}
	s := &stacks{axis: axis, walls: [][]part{{in.written(1)}}}
	if in.Walls != nil {
		s.of, s.walls = make([]int32, len(axis)), make([][]part, len(axis))
		for f := range axis {
			s.of[f], s.walls[f] = int32(f), s.lay(in, f)
		}
	}
	low := -in.meanThickness(s) / 2
	s.sections = make([]shell.Section, len(s.walls))
	errs := make([]error, len(s.walls))
	split(len(s.walls), func(_, i int) { s.sections[i], errs[i] = in.section(s.walls[i], low) })
	for i, err := range errs {
		if err != nil {
			return nil, err
		}
		for _, p := range s.walls[i] {
			for _, ply := range p.Plies {
				s.shear = max(s.shear, ply.Shear, -ply.Shear)
			}
		}
	}
	return s, nil
}

// split has the cores work through a list, a stretch of it each, which is told first.
func split(n int, work func(part, i int)) {
	parts := min(max(1, runtime.GOMAXPROCS(0)), max(1, n))
	var wait sync.WaitGroup
	for p := range parts {
		wait.Go(func() {
			for i := n * p / parts; i < n*(p+1)/parts; i++ {
				work(p, i)
			}
		})
	}
	wait.Wait()
}

// written is the wall as its layers are written, without doublers.
func (in *Input) written(share float64) (p part) {
	p.Share = share
	for i, l := range in.Layers {
		if l.Doubler {
			continue
		}
		p.Plies, p.layer = append(p.Plies, l.Ply), append(p.layer, i)
	}
	return p
}

// lay returns the wall on triangle f, angles counted from its axis.
func (s *stacks) lay(in *Input, f int) (out []part) {
	n := in.Mesh.FaceNormal(f)
	frame := [2]r3.Vec{s.axis[f], r3.Cross(n, s.axis[f])}
	cloth := 0.0
	for _, from := range in.Walls[f] {
		p := part{Part: wall.Part{Share: from.Share}}
		for _, l := range from.Lays {
			p.Plies, p.layer = append(p.Plies, l.on(&in.Layers[l.Layer], frame)), append(p.layer, l.Layer)
		}
		if len(p.Plies) > 0 {
			cloth += p.Share
		}
		out = append(out, p)
	}
	if cloth < leastCloth {
		s.bare += si.Area(in.Mesh.FaceArea(f))
		out = append(out, in.written(leastCloth))
	}
	return out
}

// meanThickness is that of the part, weighted by area, m.
func (in *Input) meanThickness(s *stacks) float64 {
	if s.of == nil {
		return thickness(s.walls[0])
	}
	var volume, area float64
	for f := range s.of {
		a := in.Mesh.FaceArea(f)
		volume, area = volume+a*thickness(s.walls[f]), area+a
	}
	return volume / area
}

// section makes a wall's, its lowest face at a height; its mass is that of the cloth
// laid,
//
//	m = Σ share·Σ mass of the layer·t/t₀
func (in *Input) section(parts []part, low float64) (out shell.Section, err error) {
	walls := make([]wall.Part, len(parts))
	for i := range parts {
		p := &parts[i]
		p.Low = low
		for k, ply := range p.Plies {
			l := &in.Layers[p.layer[k]]
			out.Mass += p.Share * float64(l.Mass) * float64(ply.Thickness/l.Thickness)
		}
		if in.cored() && len(p.Plies) > 0 {
			p.through = wall.ThroughStress(p.Plies)
		}
		walls[i] = p.Part
	}
	if out.Wall, err = wall.Together(walls); err != nil {
		return out, fmt.Errorf("laminate.stack: %w", err)
	}
	return out, nil
}

// on returns a layer as it lies, its angle counted from the first axis of a
// triangle's frame. How far draping found the cloth sheared counts: on a bent surface
// the yarns of three corners, laid into one plane, show it wrongly. The line midway
// between them stays. The thickness is that which the layer's volume asks for,
//
//	t = t₀·bulk
//
// with bulk the flat area of cloth over the area that it covers, 1/cos γ where yarns
// keep their length: so the cloth on the part has the mass that it had flat.
//
// Source: identity (area of a sheared cell).
func (l Lay) on(layer *Layer, frame [2]r3.Vec) wall.Ply {
	p := layer.Ply
	if l.Cloth == nil {
		return p
	}
	angle := func(v r3.Vec) float64 { return math.Atan2(r3.Dot(v, frame[1]), r3.Dot(v, frame[0])) }
	warp := angle(l.Cloth.Warp)
	// Yarns are lines: the angle between them counts from 0 to 180 degrees.
	between := math.Mod(angle(l.Cloth.Weft)-warp+2*math.Pi, math.Pi)
	p.Shear = max(-most, min(most, l.Cloth.Shear))
	p.Angle = si.Angle(warp + between/2 - (math.Pi/2-float64(p.Shear))/2)
	p.Thickness *= si.Length(l.Cloth.Bulk)
	return p
}
