package mould

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/coats"
	"laywright/internal/stage/mould/radius"
	"laywright/internal/stage/mould/stand"
)

// Standing is what the mould's body is, and what it bears. What the vacuum and the
// cure make of it is for [Result.Under] to say.
type Standing struct {
	Body      BodyKind      `json:"body"`
	Of        string        `json:"of,omitempty"` // its material
	Thickness si.Length     `json:"thickness_m"`  // mean, from the face to the back
	Soak      si.Time       `json:"soak_s"`       // until heat that comes from both sides has made nine tenths of its step in the middle
	Size      [3]si.Length  `json:"size_m"`       // of the part, along x, y, z
	Expansion *si.Expansion `json:"expansion_per_K,omitempty"`
	Bears     []stand.Mode  `json:"bears_cold,omitempty"` // for hours at room temperature
	Limited   []stand.Mode  `json:"bears_at_limit,omitempty"`
	Land      *si.Length    `json:"bag_land_m,omitempty"` // least width of the mould's face beyond the part's edge; absent where the face has no edge

	Layers []HeatLayer `json:"-"` // from the back, as heat crosses them

	matter stand.Matter
	skin   *stand.Skin
	leak   si.Area // air permeability; 0: not known
	porous bool
	plug   bool
	walls  bool // it has walls that a part grips
}

// BodyKind is how a mould is made inside.
type BodyKind string

// The kinds of body.
const (
	SolidBody BodyKind = "solid"
	SkinBody  BodyKind = "skin over a hollow"
	SheetBody BodyKind = "sheet"
	NoBody    BodyKind = "not known"
)

// HeatLayer is one of the mould's materials with its thickness.
type HeatLayer struct {
	Name      string
	Record    material.MouldMaterial
	Thickness si.Length
}

// Thicknesses where a job does not give them. Common practice, no source.
const (
	usualFiller si.Length = 0.002 // filler over a carved core
	usualSheet  si.Length = 0.003 // sheet metal and moulded skins
	mostGuess   si.Length = 0.050 // a board's, where the body's own thickness is not known
)

// Values of wood-like boards, where a record has none (handbook typical).
const (
	usualDensity si.Density      = 700
	usualCp      si.SpecificHeat = 1400
	usualK       si.Conductivity = 0.15
)

// standing works out what the body is.
func (r *Result) standing(in Input, body Body) {
	box := r.Surface.Bounds()
	size := r3.Sub(box.Max, box.Min)
	s := &Standing{Body: NoBody, Size: [3]si.Length{si.Length(size.X), si.Length(size.Y), si.Length(size.Z)},
		Land: r.land(), plug: in.Mould.Kind != Cavity, walls: r.MinDraft.Degrees() < flatDraft}
	r.Stand = s
	var record material.MouldMaterial
	if len(in.Materials) > 0 {
		s.Of, record = in.Materials[0].Name, in.Materials[0].Record
		s.matter = matterOf(record)
		s.leak, s.porous = record.Permeability.Or(0), record.Porous
		if record.Alpha.Known {
			s.Expansion = &record.Alpha.Value
		}
	}
	s.Thickness = min(mostGuess, max(record.Board.Or(usualSheet), usualSheet))
	switch flatPlate := len(in.Mould.Solids) == 1 && in.Mould.Solids[0].Plate != nil; {
	case body.Skin > 0:
		s.Body, s.Thickness = SkinBody, body.Skin
		s.skin = r.skinOf(s, body)
	case flatPlate:
		s.Body = SheetBody
	case s.plug:
		s.Body = SolidBody
		if mean := si.Length(r.enclosed() / float64(r.FaceArea)); mean > usualSheet {
			s.Thickness = mean
		}
	}
	s.heat(in.Materials)
	s.Bears, s.Limited = s.modes(si.Celsius(20)), s.modes(s.matter.Limit)
}

// enclosed returns what the face holds: its volume, or, of an open one, that under
// it with each rim closed by a fan of triangles.
func (r *Result) enclosed() float64 {
	if r.Volume != nil {
		return float64(*r.Volume)
	}
	t, err := mesh.NewTopology(r.Face)
	if err != nil {
		return 0
	}
	shut := r.Face.Clone()
	for _, loop := range t.RimLoops() {
		shut.Fan(t.LoopVertices(loop))
	}
	return shut.Volume()
}

// flatDraft is the least draft, deg, from which a part lies on its mould like a
// lid and grips nothing.
const flatDraft = 60

func matterOf(m material.MouldMaterial) stand.Matter {
	return stand.Matter{Compression: m.Compression.Or(0), Bending: m.Bending.Or(0), E: m.E.Or(0), Nu: float64(m.Nu.Or(0.3)),
		Left: float64(m.LeftAtLimit.Or(leftUnknown)), Lasting: float64(m.Lasting.Or(lastingUnknown)), Limit: m.Limit.Or(0)}
}

// Shares taken where a record has none: those of the weakest records. Judgement.
const (
	leftUnknown    = 0.5
	lastingUnknown = 0.4
)

// skinOf returns the wall over a hollow. Without ribs it spans the lesser of the
// mould's two plan sizes.
func (r *Result) skinOf(s *Standing, body Body) *stand.Skin {
	w := &stand.Skin{Matter: s.matter, Thick: body.Skin, Span: body.Ribs, Flat: r.Radii.Shape.Flat > flatCounts*r.Area}
	if w.Span == 0 {
		w.Span = min(s.Size[0], s.Size[1])
	}
	w.Tube, w.Ball = radius.Widest(r.Curved, flatBend)
	return w
}

// flatCounts is the share of the surface from which flat fields are worth a look.
const flatCounts = 0.05

// modes lists how the body gives under a pressure from outside.
func (s *Standing) modes(at si.Temperature) []stand.Mode {
	switch {
	case at == 0:
		return nil
	case s.skin != nil:
		return s.skin.Modes(at)
	case s.Body == SolidBody && s.matter.Compression > 0:
		return []stand.Mode{{Name: "its body crushes", Bears: s.matter.Crush(at)}}
	}
	return nil
}

// heat lists the layers that heat crosses: the body from its back, then the skins
// over it.
func (s *Standing) heat(ms []Material) {
	var layers []stand.Layer
	for i, m := range ms {
		thick := usualFiller
		if i == 0 {
			thick = s.Thickness
		}
		s.Layers = append(s.Layers, HeatLayer{m.Name, m.Record, thick})
		layers = append(layers, stand.Layer{Thick: thick, K: m.Record.K.Or(usualK), Density: m.Record.Density.Or(usualDensity), Cp: m.Record.Cp.Or(usualCp)})
	}
	s.Soak = stand.Soak(layers)
}

// Heated returns a layer's values with those of boards where its record has none.
func (l HeatLayer) Heated() (si.Density, si.SpecificHeat, si.Conductivity) {
	return l.Record.Density.Or(usualDensity), l.Record.Cp.Or(usualCp), l.Record.K.Or(usualK)
}

// land is the least distance from the part's outer edge to the edge of the mould's
// face: what is left to tape the bag to. Nil where the face has no edge.
func (r *Result) land() *si.Length {
	face, err := mesh.NewTopology(r.Face)
	if err != nil {
		return nil
	}
	var edge [][2]r3.Vec
	for _, e := range face.RimEdges() {
		ends := face.Edges[e]
		edge = append(edge, [2]r3.Vec{r.Face.Vertices[ends[0]], r.Face.Vertices[ends[1]]})
	}
	if len(edge) == 0 {
		return nil
	}
	least := math.Inf(1)
	for _, rim := range r.Rims {
		if rim.Kind != Outer {
			continue
		}
		for _, v := range rim.Vertices {
			for _, e := range edge {
				least = min(least, apart(r.Surface.Vertices[v], e[0], e[1]))
			}
			if least < touching {
				return new(si.Length)
			}
		}
	}
	if math.IsInf(least, 1) {
		return nil
	}
	l := si.Length(least)
	return &l
}

// touching is a distance, m, that counts as none.
const touching = 1e-6

// apart is the distance of a point from a segment.
func apart(p, a, b r3.Vec) float64 {
	side := r3.Sub(b, a)
	t := 0.0
	if l := r3.Norm2(side); l > 0 {
		t = max(0, min(1, r3.Dot(r3.Sub(p, a), side)/l))
	}
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(t, side))))
}

// landNeeded is what sealant tape needs. Common practice, no source.
const landNeeded = coats.LandLow
