package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/carve"
	"laywright/internal/stage/mould/skin"
)

// Build is what it takes to build a mould from boards and filler.
type Build struct {
	BoardThickness si.Length `json:"board_thickness_m"`
	BoardMaterial  string    `json:"board_material,omitempty"`
	Boards         int       `json:"boards"`          // of the stack, the base board left out
	BoardVolume    si.Volume `json:"board_volume_m3"` // rough sizes, before carving
	BoardMass      si.Mass   `json:"board_mass_kg,omitempty"`
	FillerVolume   si.Volume `json:"filler_volume_m3"`         // in the fillets alone
	SkimVolume     si.Volume `json:"skim_volume_m3"`           // filler over the whole face
	FillerMass     si.Mass   `json:"filler_mass_kg,omitempty"` // of both, and of what makes a short stack up
	GlueMass       si.Mass   `json:"glue_kg,omitempty"`
	Dowel          si.Length `json:"dowel_m,omitempty"` // diameter
	Datum          []float64 `json:"datum_m"`           // the place that board and template measures count from

	carve.Result

	Sheet SheetSize      `json:"-"` // that the boards are sawn from
	Gap   si.Length      `json:"-"` // between pieces on it
	Grain bool           `json:"-"` // boards keep their grain on it
	Plan  []geom.Polygon `json:"-"` // the flange's or plate's edge, on the base plane
}

// What is taken where neither the job nor a material says. Common practice, no
// source.
const (
	usualBoard si.Length = 18e-3
	usualGlue  si.Length = 0.2e-3
	usualDowel si.Length = 8e-3
	usualSaw   si.Length = 1e-3
	usualGap   si.Length = 6e-3
	usualWall  si.Length = 40e-3
	usualLand  si.Length = 60e-3
	usualSkin  si.Length = 4e-3
	usualSkim  si.Length = 0.5e-3
	usualLong  si.Length = 2.44 // of a sheet
	usualWide  si.Length = 1.22
	glueSpread           = 0.2  // kg/m² of joint
	boardEdge            = 5e-3 // m, wood left round a board's outline for the saw
)

// build works out how a mould from solids is built.
func (r *Result) build(in Input, b *shape, whole skin.Made, o skin.Options) error {
	if len(b.solids) == 0 {
		return nil // a flat plate is bought
	}
	at := uprightAt(datum(r.Face.Bounds()))
	if b.ground {
		at.o.Z = b.base
	}
	c := carve.Input{Face: at.mesh(r.Face), True: at.field(b.field()), Cavity: b.cavity, Radii: radii(in.Mould)}
	if b.joined.Radius > 0 && len(b.joined.Parts) > 1 {
		if wood, field, err := b.unfilled(in.Mould, o); err == nil {
			c.Wood, c.Bare = at.mesh(wood), at.field(field)
		} else {
			r.find(fault.Note, "boards-with-filler", "The boards' outlines hold the fillets too.", "the solids without their fillets make no clean face", "Saw the hollow corners square and fill them.")
		}
	}
	if b.ground {
		for _, rim := range whole.Rims {
			if edge := levelRim(r.Face, rim.Vertices, b.base); edge.Area() > 0 {
				c.Base = append(c.Base, edge.Shift(r2.Vec{X: -at.o.X, Y: -at.o.Y}))
			}
		}
	}
	return r.builtFrom(in, c, at, fillerVolume(b))
}

// buildMesh works out how an imported mould is built: standing on its lowest point,
// or on what lies under its open side.
func (r *Result) buildMesh(in Input, m *mesh.Mesh) error {
	at := poseFor(r3.Vec{X: r.Pull[0], Y: r.Pull[1], Z: r.Pull[2]}, in.Mould.Kind == Cavity)
	turned := at.mesh(m)
	low := datum(turned.Bounds())
	at.o = r3.Add(r3.Scale(low.X, at.x), r3.Add(r3.Scale(low.Y, at.y), r3.Scale(low.Z, at.z)))
	return r.builtFrom(in, carve.Input{Face: at.mesh(m), Skirt: true, Cavity: in.Mould.Kind == Cavity}, at, 0)
}

// builtFrom runs the engine and adds the materials up.
func (r *Result) builtFrom(in Input, c carve.Input, at pose, fillets float64) error {
	spec := in.Mould.Build
	if spec == nil {
		spec = &BuildSpec{}
	}
	if w := spec.From; w != "" && w != FromBoards && w != FromStations {
		return &fault.Input{Field: "mould.build.from", What: "from is " + string(w), Do: "write boards or stations"}
	}
	if spec.From == FromStations && c.Cavity {
		return &fault.Input{Field: "mould.build.from", What: "stations and a skin are for a plug", Do: "write boards, or plan the plug that the cavity is cast from"}
	}
	u := &Build{BoardThickness: usualBoard, Sheet: SheetSize{usualLong, usualWide}, Dowel: orUsual(spec.Dowel, usualDowel), Gap: given(spec.Gap, usualGap),
		FillerVolume: si.Volume(fillets), Datum: []float64{at.o.X, at.o.Y, at.o.Z}, Plan: c.Base}
	density, err := u.board(spec, in.Materials)
	if err != nil {
		return err
	}
	c.Axes = at.names
	c.How = carve.Settings{Stations: spec.From == FromStations, Board: u.BoardThickness, Glue: given(spec.Glue, usualGlue), Dowel: u.Dowel,
		Saw: given(spec.Saw, usualSaw), Wall: orUsual(spec.Wall, usualWall), Hollow: spec.Hollow, Every: spec.Every, Skin: given(spec.Skin, usualSkin), Grain: u.Grain, Land: given(spec.Land, usualLand)}
	if u.Result, err = carve.Work(c); err != nil && in.Mould.Build == nil { // nobody asked for it
		r.find(fault.Caution, "build-unknown", "How to build the mould was not worked out.", err.Error(), "Add mould.build with what fits, or build it by your own drawing.")
		return nil
	}
	if err != nil {
		return err
	}
	u.amounts(density, float64(r.FaceArea)*float64(given(spec.Skim, usualSkim)), in)
	r.Build = u
	r.judgeBuild()
	return nil
}

// given is what a person wrote, or else the usual.
func given(written *si.Length, usual si.Length) si.Length {
	if written == nil {
		return usual
	}
	return *written
}

// orUsual is a measure that can't be 0, or else the usual.
func orUsual(written, usual si.Length) si.Length {
	if written == 0 {
		return usual
	}
	return written
}

// board takes thickness, sheet and grain from the first material that comes in
// boards, and from the job where it says them; it returns the density, 0 where none
// is known.
func (u *Build) board(spec *BuildSpec, ms []Material) (density si.Density, err error) {
	for _, m := range ms {
		if !m.Record.Board.Known {
			continue
		}
		u.BoardMaterial, u.BoardThickness, u.Grain, density = m.Name, m.Record.Board.Value, m.Record.Grain, m.Record.Density.Value
		u.Sheet = SheetSize{m.Record.SheetLong.Or(usualLong), m.Record.SheetWide.Or(usualWide)}
		if !(u.BoardThickness > 0.2e-3) {
			return 0, &fault.Input{Field: "mould.materials", What: fmt.Sprintf("a board %.4g mm thick", 1e3*float64(u.BoardThickness)), Do: "correct the record's board_thickness"}
		}
		break
	}
	u.BoardThickness = orUsual(spec.Board, u.BoardThickness)
	if s := spec.Sheet; s != nil {
		if s.Length == 0 || s.Width == 0 {
			return 0, &fault.Input{Field: "mould.build.sheet", What: "a sheet has a length and a width", Do: "write both"}
		}
		u.Sheet = *s
	}
	return density, nil
}

// amounts adds up boards, filler and glue.
func (u *Build) amounts(density si.Density, skim float64, in Input) {
	cavity := in.Mould.Kind == Cavity
	u.SkimVolume = si.Volume(skim)
	filler := u.FillerVolume + u.SkimVolume
	if s := u.Stack; s != nil {
		filler += s.Top
		u.GlueMass = si.Mass(glueSpread * float64(s.GlueArea))
		for _, b := range s.Boards {
			if b.Number > 0 {
				u.Boards++
				u.BoardVolume += si.Volume(rough(b, cavity) * b.Thickness)
			}
		}
		u.BoardMass = si.Mass(float64(u.BoardVolume) * float64(density))
	} else {
		u.Dowel = 0
	}
	for _, m := range in.Materials {
		if m.Record.Filler {
			u.FillerMass = si.Mass(float64(filler) * float64(m.Record.Density.Value))
			break
		}
	}
}

// rough is the rectangle that a board is sawn from, m²: round the shape in it, and
// of a cavity round the block.
func rough(b carve.Board, cavity bool) float64 {
	var all geom.Polygon
	for _, l := range b.Levels {
		for _, r := range l.Cut {
			all = append(all, r.Outer...)
		}
	}
	for _, p := range b.Pieces {
		if cavity {
			all = append(all, p.Outline.Outer...)
		}
	}
	if len(all) == 0 {
		return 0
	}
	size := all.Bounds().Size()
	return (size.X + 2*boardEdge) * (size.Y + 2*boardEdge)
}

// unfilled is the solids alone, joints sharp and without the ground: what is carved
// before filler goes on.
func (b *shape) unfilled(s *Spec, o skin.Options) (*mesh.Mesh, carve.Field, error) {
	bare, plain := *b, *s
	bare.joined, bare.ground, bare.plate, bare.boards = b.bare(), false, nil, nil
	plain.Fillet, plain.Flange, plain.Joints, plain.Flanges = 0, 0, nil, nil
	work, err := bare.face(&plain, o)
	if err != nil {
		return nil, nil, err
	}
	made, err := bare.made(work)
	return made.Mesh, bare.field(), err
}

// levelRim is a rim that lies on the base plane, which is at a height, as an
// outline; none for others.
func levelRim(m *mesh.Mesh, rim []int32, base float64) (out geom.Polygon) {
	for _, v := range rim {
		p := m.Vertices[v]
		if math.Abs(p.Z-base) > 1e-6 {
			return nil
		}
		out = append(out, r2.Vec{X: p.X, Y: p.Y})
	}
	return out
}

// radii lists the radii that gauges are wanted for: of the fillets and of rounded
// edges.
func radii(s *Spec) (out []si.Length) {
	out = append(out, s.Fillet)
	for _, j := range s.Joints {
		out = append(out, j.Fillet)
	}
	for _, one := range s.Solids {
		if one.Fillet != nil {
			out = append(out, *one.Fillet)
		}
		switch {
		case one.Block != nil:
			out = append(out, one.Block.Edge)
		case one.Wedge != nil:
			out = append(out, one.Wedge.Edge)
		case one.Cylinder != nil:
			out = append(out, one.Cylinder.Edge)
		case one.Cone != nil:
			out = append(out, one.Cone.Edge)
		}
	}
	return out
}
