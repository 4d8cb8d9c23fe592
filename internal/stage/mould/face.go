package mould

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
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
	sizeShare  = 1.0 / 64 // of the diagonal: the longest edge where none is given
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

// options returns how fine the triangles are to be.
func (b *shape) options(s *Spec) (skin.Options, error) {
	diagonal := r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))
	size := b.size(s)
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
	side := float64(s.Fillet) + float64(s.Flange) + 3*size
	if b.plate != nil {
		side = float64(s.Fillet) + 3*size
	}
	low := -3 * size
	if !b.ground && b.bounds.Min.Z > 0 {
		low = b.bounds.Min.Z - 3*size // the solids float: nothing reaches the base plane
	}
	box := r3.Box{Min: r3.Sub(b.bounds.Min, r3.Vec{X: side, Y: side}), Max: r3.Add(b.bounds.Max, r3.Vec{X: side, Y: side, Z: 3 * size})}
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
	ground := func(p r3.Vec) bool { return math.Abs(p.Z) < 1e-6 }
	switch {
	case b.plate != nil:
		ring, err := b.plate.ring()
		if err != nil {
			return nil, err
		}
		made.Cut(skin.Cut{Field: lineCut{f: upright(), ring: ring, keep: true}, Where: ground})
	case b.ground:
		feet := foot(b.bare().Sharp, b.bounds, min(1e-3, cell))
		if len(feet) == 0 {
			return nil, &fault.Input{Field: "mould.flange", What: "no solid stands on the base plane, so there is nothing to put a flange round", Do: "set a solid's foot at z = 0, or leave the flange out"}
		}
		edge := flangeCut{feet, float64(s.Flange)}
		if err := b.clearOf(edge); err != nil {
			return nil, err
		}
		made.Cut(skin.Cut{Field: edge, Where: ground})
	default:
		made.Cut(skin.Cut{Field: flatCut{n: r3.Vec{Z: -1}}})
	}
	for _, e := range b.ends {
		made.Cut(skin.Cut{Field: flatCut{e.At, e.Out}, Near: &e.At})
	}
	made.Refine(settle)
	return made, nil
}

func (p *Plate) ring() (geom.Polygon, error) {
	at, x, y := p.At.V, float64(p.Length)/2, float64(p.Width)/2
	o := Outline{Corner: p.Corner}
	o.P = geom.Rect(at.X-x, at.Y-y, at.X+x, at.Y+y)
	return o.ring("mould.solids.plate")
}

// clearOf refuses a flange whose edge runs through filler: where a solid hangs
// over it so low that no ball goes under.
func (b *shape) clearOf(c flangeCut) error {
	const step = 2e-3
	for _, foot := range c.feet {
		for i, a := range foot {
			side := r2.Sub(foot[(i+1)%len(foot)], a)
			l := r2.Norm(side)
			if l == 0 {
				continue
			}
			out := r2.Scale(c.width/l, r2.Vec{X: side.Y, Y: -side.X})
			for x := 0.0; x < l; x += step {
				q := r2.Add(r2.Add(a, r2.Scale(x/l, side)), out)
				p := r3.Vec{X: q.X, Y: q.Y}
				if g, _ := c.At(p); g < -1e-6 {
					continue // within reach of another side
				}
				if d, _ := b.joined.At(p); d < -1e-6 {
					return b.overhang(p)
				}
			}
		}
	}
	return nil
}

func (b *shape) overhang(at r3.Vec) error {
	return &fault.Input{Field: "mould.flange", What: b.over(at) + " hangs over the flange's edge near " + placeText(at) + " with filler in the gap", Do: "make the flange wider, or the fillet less, or raise the solid"}
}

// basePlane stands for the flange or plate among the solids' names.
const basePlane = "the base plane"

// nearest names the solids, and the base plane where it is part of the face, by how near they are to p.
func (b *shape) nearest(p r3.Vec) []string {
	names := append([]string(nil), b.names...)
	if b.ground {
		names = append(names, basePlane)
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

// bare returns the solids without the ground.
func (b *shape) bare() *solid.Joined {
	j := &solid.Joined{}
	for _, one := range b.solids {
		j.Parts = append(j.Parts, one)
	}
	return j
}

// upright is the frame of what is drawn on the base plane.
func upright() solid.Frame { return solid.Along(r3.Vec{}, r3.Vec{Z: 1}) }

// fromSolids makes the face and the part's surface of a mould from solids.
func (r *Result) fromSolids(in Input) error {
	b, err := newShape(in.Mould)
	if err != nil {
		return err
	}
	o, err := b.options(in.Mould)
	if err != nil {
		return err
	}
	work, err := b.face(in.Mould, o)
	if err != nil {
		return err
	}
	whole, err := b.made(work)
	if err != nil {
		return err
	}
	if err := b.sound(whole); err != nil {
		return err
	}
	r.Face = whole.Mesh
	r.FaceArea = si.Area(whole.Mesh.Area())
	closed := len(b.solids) > 0 // a plate alone is a sheet
	if r.Closed = &closed; closed {
		volume := si.Volume(bodyVolume(whole))
		r.Volume = &volume
	}
	if err := r.build(in, b); err != nil {
		return err
	}
	kinds, err := b.trim(in, work)
	if err != nil {
		return err
	}
	part := whole
	if len(kinds) > 0 {
		work.Refine(resettle)
		if part, err = b.made(work); err != nil {
			return err
		}
	}
	r.judgeEnds(b.closed)
	return r.take(in, b, o, part, kinds)
}

func (b *shape) made(s *skin.Skin) (skin.Made, error) {
	m, err := s.Made()
	if off := (*skin.Off)(nil); errors.As(err, &off) {
		err = b.muddled(off.At)
	}
	if err == nil && len(m.Mesh.Triangles) == 0 {
		err = &fault.Input{Field: "part.trim", What: "nothing of the mould's face is left", Do: "check the places of trim line and cut-outs"}
	}
	return m, err
}

// sound refuses a face that is not one piece with rims where they should be.
func (b *shape) sound(m skin.Made) error {
	t, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		return err
	}
	if _, n := t.Components(); n != 1 {
		return &fault.Input{Field: "mould.solids", What: fmt.Sprintf("the face falls into %d pieces", n), Do: "let the solids run into each other, or add a flange that joins them"}
	}
	for _, rim := range m.Rims {
		if rim.Cutter < 0 {
			return b.overhang(m.Mesh.Vertices[rim.Vertices[0]])
		}
	}
	return nil
}

// bodyVolume returns what the face holds above the base plane: each rim is
// closed by a fan of triangles, which is exact as rims of a face are plane.
func bodyVolume(m skin.Made) float64 {
	all := m.Mesh.Clone()
	for _, rim := range m.Rims {
		all.Triangles = append(all.Triangles, fan(all, rim.Vertices)...)
	}
	return all.Volume()
}

// fan adds the middle of a rim to the mesh and returns the triangles that close it.
func fan(m *mesh.Mesh, rim []int32) (out [][3]int32) {
	var middle r3.Vec
	for _, v := range rim {
		middle = r3.Add(middle, r3.Scale(1/float64(len(rim)), m.Vertices[v]))
	}
	c := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, middle)
	for i, v := range rim {
		out = append(out, [3]int32{rim[(i+1)%len(rim)], v, c})
	}
	return out
}

// take fills in the part's surface.
func (r *Result) take(in Input, b *shape, o skin.Options, m skin.Made, kinds map[int32]Rim) error {
	t, err := mesh.NewTopology(m.Mesh)
	if err != nil {
		return err
	}
	if _, n := t.Components(); n != 1 {
		return &fault.Input{Field: "part.cutouts", What: fmt.Sprintf("trim line and cut-outs leave %d pieces", n), Do: "let them leave one"}
	}
	outer := 0
	for _, rim := range m.Rims {
		known := kinds[rim.Cutter]
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
	return r.curveSolids(m, b, o)
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
