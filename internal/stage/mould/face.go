package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/skin"
	"laywright/internal/stage/mould/solid"
)

// How fine a mould is meshed.
const (
	sizeShare  = 1.0 / 80 // of the diagonal: the longest edge where none is given
	sizeLeast  = 1.5e-3   // m
	sizeMost   = 6e-3     // m, of a mould up to sizeBig times as long
	sizeBig    = 128      // edges along the diagonal of a larger mould
	chordAt    = 1e-4     // m, stand-off of an edge in a bend at edges of chordFor
	chordFor   = 5e-3     // m; the stand-off goes with the square of the size
	chordMost  = 1e-3     // m
	cellShare  = 0.8      // of the size: the cells of the first grid
	finestPart = 0.15     // of the size: the shortest edge wanted in a tight radius
	settle     = 6        // rounds of mending triangles on the face
	resettle   = 3        // and again after cut-outs
)

// size returns the longest edge wanted: as given, or by the mould's diagonal.
func (b *shape) size(s *Spec) float64 {
	if s.Triangle != 0 {
		return float64(s.Triangle)
	}
	diagonal := r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))
	return max(sizeLeast, min(sizeMost, sizeShare*diagonal), diagonal/sizeBig)
}

// options returns how fine the triangles are to be, at a share of the wanted size.
func (b *shape) options(s *Spec, share float64) (skin.Options, error) {
	diagonal := r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))
	size := share * b.size(s)
	if !(0.2e-3 <= size && size <= diagonal/4) {
		return skin.Options{}, &fault.Range{Field: "mould.triangle", Value: 1e3 * size, Min: 0.2, Max: 1e3 * diagonal / 4, Unit: " mm", Why: "triangles must be small against the mould"}
	}
	if least := b.leastSize(s, size); least > size {
		return skin.Options{}, b.tooFine(s, size, least)
	}
	return skin.Options{Size: size, Chord: min(chordMost, chordAt*(size/chordFor)*(size/chordFor)), Finest: finestPart * size}, nil
}

// cell returns the side of the first grid's cells for triangles of a size.
func (b *shape) cell(size float64) float64 { return min(cellShare*size, b.least/3) }

// leastSize returns the least size, from the given one up, whose grid can be
// held: found by growing, as the domain grows with it. It is infinite where a
// solid is so thin against the whole that no size does.
func (b *shape) leastSize(s *Spec, size float64) float64 {
	for ; skin.Points(b.domain(s, size), b.cell(size)) > skin.MostPoints; size *= 1.05 {
		if cellShare*size > b.least/3 {
			return math.Inf(1)
		}
	}
	return size
}

// tooFine refuses triangles, or a solid, too small against the mould.
func (b *shape) tooFine(s *Spec, size, least float64) error {
	span := 1e3 * r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))
	if math.IsInf(least, 1) {
		return &fault.Input{Field: "mould.solids", What: fmt.Sprintf("a measure of %.4g mm is too small to be found on a mould %.4g mm long", 1e3*b.least, span), Do: "make it larger, or bring the mould as a mesh file"}
	}
	return &fault.Input{Field: "mould.triangle", What: fmt.Sprintf("triangles of %.4g mm are too many on a mould %.4g mm long", 1e3*size, span), Do: fmt.Sprintf("write %.3g mm or more, or leave the line out", math.Ceil(1e4*least)/10)}
}

// domain returns the box that holds the face and its rims.
func (b *shape) domain(s *Spec, size float64) r3.Box {
	filler := b.joined.Radius
	side := filler + max(float64(s.Flange), b.widest(s)) + 3*size
	if b.plate != nil {
		side = filler + b.widest(s) + 3*size
	}
	low := b.base - 3*size
	if !b.ground && b.bounds.Min.Z > 0 {
		low = b.bounds.Min.Z - 3*size // the solids float: nothing reaches the base plane
	}
	high := 3 * size
	if len(b.boards) > 0 {
		high = side
	}
	box := r3.Box{Min: r3.Sub(b.bounds.Min, r3.Vec{X: side, Y: side}), Max: r3.Add(b.bounds.Max, r3.Vec{X: side, Y: side, Z: high})}
	box.Min.Z = low
	return box
}

// face covers the solids and cuts the result off at the base plane, the flange's
// or plate's edge and the open ends of ducts.
func (b *shape) face(s *Spec, o skin.Options) (*skin.Skin, error) {
	box := b.domain(s, o.Size)
	cell := b.cell(o.Size)
	made, err := skin.March(b.joined, box, cell, o)
	if err != nil {
		return nil, err
	}
	made.Crease()
	switch ground := upright(b.base); {
	case b.plate != nil:
		ring, err := b.plate.ring()
		if err != nil {
			return nil, err
		}
		made.Cut(skin.Cut{Field: lineCut{f: ground, ring: ring, keep: true}, Where: inPlane(ground)})
	case b.ground:
		err := b.cutFlange(made, ground, float64(s.Flange), "mould.flange")
		if err != nil {
			return nil, err
		}
	default:
		made.Cut(skin.Cut{Field: solid.Behind{O: r3.Vec{Z: b.base}, N: r3.Vec{Z: -1}}})
	}
	for i, board := range b.boards {
		if err := b.cutFlange(made, board.frame, board.width, fault.Numbered("mould.flanges", i)); err != nil {
			return nil, err
		}
	}
	for _, e := range b.ends {
		made.Cut(skin.Cut{Field: solid.Behind{O: e.At, N: e.Out}, Near: &e.At})
	}
	made.Refine(settle)
	return made, nil
}

func (p *Plate) ring() (geom.Polygon, error) {
	at, x, y := p.At.V, float64(p.Length)/2, float64(p.Width)/2
	o := Outline{Corner: p.Corner}
	o.P = geom.Rect(at.X-x, at.Y-y, at.X+x, at.Y+y)
	return o.Ring("mould.solids.plate")
}

// inPlane tells whether a place lies in a frame's level plane.
func inPlane(f solid.Frame) func(p r3.Vec) bool {
	return func(p r3.Vec) bool { return math.Abs(f.In(p).Z) < 1e-6 }
}

// bare returns the solids without the ground.
func (b *shape) bare() *solid.Joined {
	j := &solid.Joined{}
	for _, one := range b.solids {
		j.Parts = append(j.Parts, one)
	}
	return j
}

// upright is the frame of what is drawn on a level plane at a height.
func upright(z float64) solid.Frame { return solid.Along(r3.Vec{Z: z}, r3.Vec{Z: 1}) }

// fromSolids makes the face and the part's surface of a mould from solids.
func (r *Result) fromSolids(in Input) error {
	moved, err := moveFor(in)
	if err != nil {
		return err
	}
	b, err := newMoved(in.Mould, moved)
	if err != nil {
		return err
	}
	c, err := b.cover(in)
	if err != nil {
		return err
	}
	r.Face = c.whole.Mesh
	r.FaceArea = si.Area(c.whole.Mesh.Area())
	closed := len(b.solids) > 0 // a plate alone is a sheet
	if r.Closed = &closed; closed && flatRims(c.whole) {
		volume := si.Volume(bodyVolume(c.whole))
		r.Volume = &volume
	}
	if err := r.build(in, b, c.whole, c.o); err != nil {
		return err
	}
	r.judgeEnds(b.closed)
	r.judgeDucts(b.ducts)
	r.judgeLips(in.Mould, b)
	r.judgeFit(in, b, c.whole)
	return r.take(in, b, c)
}

// take fills in the part's surface.
func (r *Result) take(in Input, b *shape, c covering) error {
	m := c.part
	t, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		return err
	}
	if _, n := t.Components(); n != 1 {
		return &fault.Input{Field: "part.cutouts", What: fmt.Sprintf("trim line and cut-outs leave %d pieces", n), Do: "let them leave one"}
	}
	outer := 0
	for _, rim := range m.Rims {
		known := c.kinds[rim.Cutter]
		if known.Kind != CutRim {
			known = Rim{Kind: Outer, Index: outer}
			outer++
		}
		known.Vertices = rim.Vertices
		r.Rims = append(r.Rims, known)
	}
	chord := m.Off
	for _, e := range t.Edges {
		p, q := m.Mesh.Vertices[e[0]], m.Mesh.Vertices[e[1]]
		d, _ := b.joined.At(r3.Scale(0.5, r3.Add(p, q)))
		chord = max(chord, min(math.Abs(d), r3.Norm(r3.Sub(p, q))/2)) // never farther than from its ends
	}
	r.Surface, r.Normals = m.Mesh, m.Normals
	r.Area = si.Area(m.Mesh.Area())
	r.Triangles = len(m.Mesh.Triangles)
	r.Edge, r.Chord, r.MinAngle = si.Length(m.Mesh.MeanEdge()), si.Length(chord), si.Angle(leastAngle(m.Mesh))
	if in.Mould.Kind == Cavity {
		r.turnOver()
	}
	if err := r.releaseSolids(in, b); err != nil {
		return err
	}
	return r.curveSolids(m, b, c.o)
}

func leastAngle(m *mesh.Mesh) float64 {
	least := math.Pi
	for f := range m.Triangles {
		a := m.Angles(f)
		least = min(least, a[0], a[1], a[2])
	}
	return least
}

// turnOver makes the hollow's inside the free side.
func (r *Result) turnOver() {
	r.Face, r.Surface = r.Face.Flipped(), r.Surface.Flipped()
	for v, n := range r.Normals {
		r.Normals[v] = r3.Scale(-1, n)
	}
	for i, rim := range r.Rims { // the surface stays on the left
		back := make([]int32, len(rim.Vertices))
		for k, v := range rim.Vertices {
			back[len(back)-1-k] = v
		}
		r.Rims[i].Vertices = back
	}
}
