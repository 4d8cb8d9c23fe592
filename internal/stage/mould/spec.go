package mould

import (
	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/outline"
	"laywright/internal/base/si"
)

// Kind is which side of the mould the cloth is laid on.
type Kind string

// A plug carries the part on its outside, a cavity on its inside. The solids of
// a cavity are the hollow, drawn as the part stands: mouth down on the base
// plane.
const (
	Plug   Kind = "plug"
	Cavity Kind = "cavity"
)

// Spec is the job file's section `mould`.
type Spec struct {
	Kind      Kind            `yaml:"kind"` // plug where left out
	Solids    []Solid         `yaml:"solids"`
	Fillet    si.Length       `yaml:"fillet"`   // filler radius where solids meet, and at the flange's root
	Flange    si.Length       `yaml:"flange"`   // flat width round the solids, from their bare foot
	Triangle  si.Length       `yaml:"triangle"` // longest edge of the mesh; 0: chosen by the size of the mould
	File      string          `yaml:"file"`     // STL, OBJ or 3MF instead of solids
	Unit      string          `yaml:"unit"`     // of the file
	Pull      *bind.Direction `yaml:"pull"`     // the way the part comes off
	Materials []string        `yaml:"materials"`
	Body      *Body           `yaml:"body"`
	Release   *Release        `yaml:"release"` // how the part may come off, where one pull does not do
	Import    *Import         `yaml:"import"`  // what is done to the mesh of the file
	Build     *BuildSpec      `yaml:"build"`   // how it is built; by the materials where left out

	Joints  []Joint         `yaml:"joints"`  // filler radii of single joints
	Flanges []Flange        `yaml:"flanges"` // in other planes than the base plane
	Joggle  *Joggle         `yaml:"joggle"`
	Drawn   Drawn           `yaml:"drawn"`           // what the solids' dimensions are of: mould face (where left out), inside of part or outside of part
	Wall    si.Length       `yaml:"wall"`            // thickness that drawn reckons with; the laminate's where left out
	Gel     *si.Temperature `yaml:"gel_temperature"` // of mould and part when the resin sets; the shop's where left out
}

// Solid is exactly one of its fields, and may have a fillet of its own.
type Solid struct {
	Block    *Block    `yaml:"block"`
	Wedge    *Wedge    `yaml:"wedge"`
	Cylinder *Cylinder `yaml:"cylinder"`
	Cone     *Cone     `yaml:"cone"`
	Dome     *Dome     `yaml:"dome"`
	Blister  *Blister  `yaml:"blister"`
	Sweep    *Sweep    `yaml:"sweep"`
	Plate    *Plate    `yaml:"plate"`
	Stub     *Stub     `yaml:"stub"`
	Lip      *Lip      `yaml:"lip"`
	Rib      *Rib      `yaml:"rib"`

	Fillet *si.Length `yaml:"fillet"` // filler radius where this solid meets others; mould.fillet where left out
}

// Block stands on the middle of its foot; its size is that of the foot and the
// height. Draft leans all four sides in; drafts sets single ones.
type Block struct {
	Size   bind.Point `yaml:"size"`
	At     bind.Point `yaml:"at"`
	Edge   si.Length  `yaml:"edge"`
	Draft  si.Angle   `yaml:"draft"`
	Drafts *Drafts    `yaml:"drafts"`
	Turn   si.Angle   `yaml:"turn"` // about the upright axis
}

// Drafts holds the lean of single sides of a block before it is turned.
type Drafts struct {
	PosX *si.Angle `yaml:"+x"`
	NegX *si.Angle `yaml:"-x"`
	PosY *si.Angle `yaml:"+y"`
	NegY *si.Angle `yaml:"-y"`
}

// Wedge is a block whose top falls along x from the full height to low.
type Wedge struct {
	Size  bind.Point `yaml:"size"`
	Low   si.Length  `yaml:"low"`
	At    bind.Point `yaml:"at"`
	Edge  si.Length  `yaml:"edge"`
	Draft si.Angle   `yaml:"draft"`
	Turn  si.Angle   `yaml:"turn"`
}

// Cylinder stands on the middle of its foot along its axis (up where left out);
// draft makes it narrower away from the foot.
type Cylinder struct {
	Diameter si.Length       `yaml:"diameter"`
	Height   si.Length       `yaml:"height"`
	At       bind.Point      `yaml:"at"`
	Axis     *bind.Direction `yaml:"axis"`
	Edge     si.Length       `yaml:"edge"`
	Draft    si.Angle        `yaml:"draft"`
}

// Cone has two diameters, at its foot and at its far end.
type Cone struct {
	Diameter si.Length       `yaml:"diameter"`
	Top      si.Length       `yaml:"top"`
	Height   si.Length       `yaml:"height"`
	At       bind.Point      `yaml:"at"`
	Axis     *bind.Direction `yaml:"axis"`
	Edge     si.Length       `yaml:"edge"`
}

// Dome is the cap of a sphere, by its foot's diameter and its height, or half
// an ellipsoid, by its size.
type Dome struct {
	Diameter si.Length       `yaml:"diameter"`
	Height   si.Length       `yaml:"height"`
	Size     *bind.Point     `yaml:"size"`
	At       bind.Point      `yaml:"at"`
	Axis     *bind.Direction `yaml:"axis"`
}

// Blister is a smooth bump on an elliptic foot, curved both ways. The crown lies
// that share of the length from the low-x end; at is the middle of the foot.
type Blister struct {
	Length   si.Length    `yaml:"length"`
	Width    si.Length    `yaml:"width"`
	Height   si.Length    `yaml:"height"`
	Crown    *si.Fraction `yaml:"crown"`    // 0.5 where left out
	Fullness *si.Fraction `yaml:"fullness"` // 2 where left out: a paraboloid; more is fuller
	At       bind.Point   `yaml:"at"`
	Turn     si.Angle     `yaml:"turn"`
}

// Sweep is a duct whose section changes evenly along a path of straight legs
// with bends between them. An end that lies in the open, its rim clear of filler,
// is an open end of the part.
type Sweep struct {
	Path bind.Points3 `yaml:"path"`
	Bend si.Length    `yaml:"bend"` // radius of the path in its bends
	From Section      `yaml:"from"`
	To   *Section     `yaml:"to"` // as from where left out
}

// Section is one of its fields; width lies level, height across it.
type Section struct {
	Circle    *si.Length  `yaml:"circle"` // diameter
	Ellipse   *WideHigh   `yaml:"ellipse"`
	Rectangle *RoundedBox `yaml:"rectangle"`
}

// WideHigh is a pair of full widths.
type WideHigh struct {
	Width  si.Length `yaml:"width"`
	Height si.Length `yaml:"height"`
}

// RoundedBox is a rectangle with rounded corners.
type RoundedBox struct {
	Width  si.Length `yaml:"width"`
	Height si.Length `yaml:"height"`
	Corner si.Length `yaml:"corner"`
}

// Plate is a flat board or sheet whose top is the base plane: the mould of a
// flat panel, and the ground that other solids stand on.
type Plate struct {
	Length si.Length  `yaml:"length"` // along x
	Width  si.Length  `yaml:"width"`  // along y
	Corner si.Length  `yaml:"corner"`
	At     bind.Point `yaml:"at"` // its middle
}

// PartSpec is the job file's section `part`.
type PartSpec struct {
	Trim     *Trim    `yaml:"trim"`
	Cutouts  []Cutout `yaml:"cutouts"`
	Held     *Held    `yaml:"held"`
	Area     si.Area  `yaml:"area" above:"0"` // only where there is no mould
	Mirrored string   `yaml:"mirrored"`       // x | y | z: each part also as its mirror image across that axis, left and right
}

// Trim says where the part ends: at the flange's edge, nowhere (whole), inside a
// line seen from above, or behind a plane.
type Trim struct {
	Word     string // flange | whole | ""
	Polyline *Outline
	Plane    *Plane
}

// Outline, CircleCut and PolygonCut are drawn as [outline] has them.
type (
	Outline    = outline.Outline
	CircleCut  = outline.Circle
	PolygonCut = outline.Polygon
)

// Plane is a flat cut: what lies on the side that the normal points to comes off.
type Plane struct {
	At     bind.Point     `yaml:"at"`
	Normal bind.Direction `yaml:"normal"`
}

// Cutout is a hole: one of its fields. It goes along its axis (the surface's
// normal where left out) through the one wall that is nearest to `at`.
type Cutout struct {
	Circle  *CircleCut  `yaml:"circle"`
	Polygon *PolygonCut `yaml:"polygon"`
}

// Held says how the part is held where its strength is checked: by its edge, by
// fasteners or by a bonded flange; and what it is fastened to.
type Held struct {
	Edge        string          `yaml:"edge"` // clamped | pinned
	Fasteners   *Fasteners      `yaml:"fasteners"`
	Flange      *HeldFlange     `yaml:"flange"`
	On          string          `yaml:"on"`                                       // what it is fastened to: aluminium, steel and the like
	Expansion   *si.Expansion   `yaml:"expansion" least:"0" most:"3e-4"`          // of that; goes before what on says
	Sheet       si.Length       `yaml:"sheet" above:"0" most:"0.1"`               // how thick that is
	Temperature *si.Temperature `yaml:"temperature" least:"213.15" most:"673.15"` // of that, when the wall is at its own; absent: the wall's
}

// Fasteners hold the part at points.
type Fasteners struct {
	Diameter  si.Length    `yaml:"diameter" above:"0" most:"0.05"`
	At        bind.Points3 `yaml:"at"`
	Of        string       `yaml:"of"`                              // its metal; absent: steel
	Head      si.Length    `yaml:"head" above:"0" most:"0.2"`       // diameter of head or washer
	Stiffness si.Stiffness `yaml:"stiffness" above:"0" most:"1e12"` // across it
	Bearing   si.Pressure  `yaml:"bearing" above:"0" most:"5e9"`    // what the laminate stands at a hole, as tested
}

// HeldFlange is a flange that is bonded down.
type HeldFlange struct {
	Width    si.Length   `yaml:"width" above:"0" most:"1"`   // from the edge; absent: all that is flat there
	Shear    si.Pressure `yaml:"shear" above:"0" most:"5e8"` // strengths of the adhesive
	Tension  si.Pressure `yaml:"tension" above:"0" most:"5e8"`
	E        si.Pressure `yaml:"E" above:"0" most:"1e11"`
	G        si.Pressure `yaml:"G" above:"0" most:"1e11"`
	BondLine si.Length   `yaml:"bond_line" above:"0" most:"0.01"`
}

// Bind reads bonded or the keys of the bond.
func (f *HeldFlange) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode {
		if n.Value != "bonded" {
			b.Fail(path, n, "flange is %q; write bonded, or {width: ..., shear: ...}", n.Value)
		}
		return
	}
	type keys HeldFlange
	b.Into((*keys)(f), path, n)
}

// Forms are the word and the keys.
func (HeldFlange) Forms() []any {
	type keys HeldFlange
	return []any{"bonded", keys{}}
}

// lines are the ways to trim that are drawn, as they are written.
type lines struct {
	Polyline *Outline `yaml:"polyline"`
	Plane    *Plane   `yaml:"plane"`
}

// Forms are two words and the drawn lines.
func (Trim) Forms() []any { return []any{"flange", "whole", lines{}} }

// Bind reads flange, whole, {polyline: ...} or {plane: ...}.
func (t *Trim) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode {
		if t.Word = n.Value; t.Word != "flange" && t.Word != "whole" {
			b.Fail(path, n, "trim is %q; write flange, whole, {polyline: ...} or {plane: ...}", n.Value)
		}
		return
	}
	var in lines
	before := len(b.Problems)
	b.Into(&in, path, n)
	if len(b.Problems) == before && (in.Polyline == nil) == (in.Plane == nil) {
		b.Fail(path, n, "trim needs one of polyline and plane")
	}
	t.Polyline, t.Plane = in.Polyline, in.Plane
}
