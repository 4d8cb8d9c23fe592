package mould

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/scan"
)

// Import says what is done to an imported mesh, in the order of its keys: it is
// scaled, mirrored, turned and moved, mended, smoothed, its holes filled, cut,
// covered with other triangles, and thickened to a solid. What is left out is not
// done; mending that moves nothing always is.
type Import struct {
	Scale  float64      `yaml:"scale" above:"0"` // about the origin; 1 where left out
	Mirror string       `yaml:"mirror"`          // x | y | z: the part of the other hand, mirrored across that axis
	Turn   []ImportTurn `yaml:"turn"`            // about axes through the origin, one after the other
	Move   *bind.Point  `yaml:"move"`

	Join   si.Length   `yaml:"join"`    // vertices and seams so far apart are joined; a millionth of the size where left out
	Keep   string      `yaml:"keep"`    // largest: of several pieces that one
	KeepAt *bind.Point `yaml:"keep_at"` // or the piece nearest to a place

	Smooth si.Length   `yaml:"smooth"` // scan noise is taken out; nothing moves by more than this
	Edge   si.Angle    `yaml:"edge"`   // what bends by more is an edge of the shape and stays; 35 deg where left out
	Fill   si.Length   `yaml:"fill"`   // holes up to so wide are filled
	Cuts   []ImportCut `yaml:"cuts"`

	Triangles *bind.Auto[si.Length] `yaml:"triangles"` // auto, or the length of their sides
	Within    si.Length             `yaml:"within"`    // how far new triangles may stand off the surface; 0.1 mm where left out
	Thicken   *ImportThicken        `yaml:"thicken"`
}

// ImportTurn is a turn about an axis through the origin, right-handed.
type ImportTurn struct {
	Axis bind.Direction `yaml:"axis"`
	By   si.Angle       `yaml:"by"`
}

// ImportCut is one of its fields: what lies beyond the plane comes off, or what
// lies outside the outline.
type ImportCut struct {
	Plane   *Plane      `yaml:"plane"`
	Outline *PolygonCut `yaml:"outline"`
}

// ImportThicken is one of its fields: a plug on a flat base that lies so far below
// the surface's lowest place, seen along the pull, or a shell so thick.
type ImportThicken struct {
	Base  si.Length `yaml:"base"`
	Shell si.Length `yaml:"shell"`
}

// importOptions returns the engine's options.
func (s *Spec) importOptions() (o scan.Options, err error) {
	o = scan.Options{File: s.File}
	in := s.Import
	if in == nil {
		return o, nil
	}
	o.Join, o.Smooth, o.Fill, o.Edge = float64(in.Join), float64(in.Smooth), float64(in.Fill), float64(in.Edge)
	if in.KeepAt != nil {
		o.Piece.Near = &in.KeepAt.V
	}
	if o.Piece.Largest = in.Keep == "largest"; in.Keep != "" && !o.Piece.Largest {
		return o, &fault.Input{Field: "mould.import.keep", What: "keep is " + in.Keep, Do: "write largest, or keep_at: with a place"}
	}
	if in.Edge != 0 {
		if err := fault.Check("mould.import.edge", in.Edge.Degrees(), 5, 170, " deg", "less is noise, more no surface has"); err != nil {
			return o, err
		}
	}
	if t := in.Triangles; t != nil {
		o.Recut = scan.Recut{Auto: !t.Given, Side: float64(t.Value), Within: float64(in.Within)}
		if t.Given && !(t.Value > 0) {
			return o, &fault.Range{Field: "mould.import.triangles", Value: 1e3 * float64(t.Value), Min: 0.2, Max: 1e3, Unit: " mm", Why: "a side is a length"}
		}
	}
	if o.Place, err = in.place(); err != nil {
		return o, err
	}
	o.Cuts, err = in.cuts()
	return o, err
}

func (in *Import) place() (p scan.Place, err error) {
	if in.Mirror != "" && in.Mirror != "x" && in.Mirror != "y" && in.Mirror != "z" {
		return p, &fault.Input{Field: "mould.import.mirror", What: "mirror is " + in.Mirror, Do: "write x, y or z: the axis that is turned round"}
	}
	if in.Scale != 0 {
		if err := fault.Check("mould.import.scale", in.Scale, 1e-4, 1e4, "", "for a unit write mould.unit"); err != nil {
			return p, err
		}
	}
	p = scan.Place{Scale: in.Scale, Mirror: in.Mirror}
	for i, t := range in.Turn {
		axis, ok := axisOf(&t.Axis)
		if !ok {
			return p, &fault.Input{Field: fault.Numbered("mould.import.turn", i) + ".axis", What: "an axis has a length", Do: "write [0, 0, 1] to turn about the upright axis"}
		}
		p.Turns = append(p.Turns, scan.Turn{Axis: axis, By: float64(t.By)})
	}
	if in.Move != nil {
		p.Move = in.Move.V
	}
	return p, nil
}

func (in *Import) cuts() (out []scan.Cut, err error) {
	for i, c := range in.Cuts {
		field := fault.Numbered("mould.import.cuts", i)
		var k knife
		switch {
		case (c.Plane == nil) == (c.Outline == nil):
			return nil, &fault.Input{Field: field, What: "a cut is a plane or an outline", Do: "write one of them"}
		case c.Plane != nil:
			if n := c.Plane.Normal.V; n.X == 0 && n.Y == 0 && n.Z == 0 {
				return nil, &fault.Input{Field: field + ".plane.normal", What: "the normal has no direction", Do: "let it point to the side that comes off"}
			}
			k = planeKnife(field+".plane", c.Plane)
		default:
			if k, err = outlineKnife(field+".outline", c.Outline); err != nil {
				return nil, err
			}
		}
		out = append(out, k.scanned())
	}
	return out, nil
}

// AskUnit is the error of a mesh file that says no unit: what it would measure in
// each, and what is likely. size is that of its bounds in the file's own numbers.
func AskUnit(file string, size r3.Vec) error {
	likely := scan.Likely(r3.Norm(size))
	do := "look the unit up where it was drawn and write it as mould.unit"
	if len(likely) > 0 {
		do = fmt.Sprintf("add unit: %s if that is right; it is the likeliest for a part laid up by hand", likely[0].Name)
	}
	return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s says no unit; it would measure %s", file, scan.Sizes(size)), Do: do}
}
