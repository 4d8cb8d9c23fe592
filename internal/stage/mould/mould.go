// Package mould answers what a part is laid on and how it comes off: the mould's
// face as triangles from solids or an imported mesh, the part's surface after
// trim line and cut-outs, undercuts, draft and the tightest hollow, and what it
// takes to build the mould.
//
// Places are in metres. The base plane is z = 0 and z rises from it; a mould
// made from solids is its surface above that plane. Triangles run
// counter-clockwise seen from the free side of the part, away from the mould,
// for a plug and a cavity alike.
//
// Where the side of the part that does not lie on the mould is drawn, the face is
// moved from there by the wall's thickness and by the unlike growth of mould and
// part up to where the resin sets.
//
// It leaves the strength and the heat of the mould to others.
package mould

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/radius"
	"laywright/internal/stage/mould/release"
)

// Input is what the stage works from.
type Input struct {
	Mould     *Spec // nil: only part.area
	Part      PartSpec
	Imported  *mesh.Mesh // the file's triangles in metres; nil where there is none
	Materials []Material // the records of mould.materials, in that order
	Fabrics   []Fabric   // the cloths of the stack, each once
	Air       Air        // of the shop; no temperature: 20 degC, no humidity: 50 %
	Warmth    *Warmth    // nil: not known
	Laminate  Laminate
}

// Laminate is what the face is moved by where the part's other side is drawn.
type Laminate struct {
	Thickness si.Length      // of the whole stack, cores included; 0: not known
	Expansion *si.Expansion  // in the plane, mean of both ways; nil: not known
	Shop      si.Temperature // at which the mould is measured
}

// Material is a mould material's record under its name.
type Material struct {
	Name   string
	Record material.MouldMaterial
}

// Fabric is a cloth and the tightest hollow radius it goes into by hand; 0: not
// known.
type Fabric struct {
	Name      string
	MinRadius si.Length
	MinOuter  si.Length // and tightest outer edge that it goes round; 0: not known
}

// Result is what the stage found.
type Result struct {
	Area      si.Area    `json:"area_m2"`                // laminated: after trim and cut-outs
	FaceArea  si.Area    `json:"face_area_m2,omitempty"` // of the mould's face before them
	Volume    *si.Volume `json:"volume_m3,omitempty"`    // of the mould above its base
	Triangles int        `json:"triangles,omitempty"`
	Closed    *bool      `json:"closed,omitempty"`  // the mould's body, not the part, holds water
	Edge      si.Length  `json:"edge_m,omitempty"`  // mean side of a triangle
	Chord     si.Length  `json:"chord_m,omitempty"` // most that a side stands off the true surface
	MinAngle  si.Angle   `json:"min_angle_deg,omitempty"`

	Pull         []float64       `json:"pull,omitempty"` // unit vector
	UndercutArea *si.Area        `json:"undercut_area_m2,omitempty"`
	LowDraftArea *si.Area        `json:"low_draft_area_m2,omitempty"` // under 3 deg, undercuts not counted
	MinDraft     *si.Angle       `json:"min_draft_deg,omitempty"`
	MinDraftAt   []float64       `json:"min_draft_at_m,omitempty"`
	MinHollow    *si.Length      `json:"min_hollow_radius_m,omitempty"` // absent where nothing is hollow
	MinHollowAt  []float64       `json:"min_hollow_at_m,omitempty"`
	Out          string          `json:"out,omitempty"`            // one sentence: how it comes out
	HiddenArea   *si.Area        `json:"hidden_area_m2,omitempty"` // leans forward, but hangs behind another region
	Way          Way             `json:"way,omitempty"`            // how it comes out
	Release      *release.Result `json:"release,omitempty"`

	Build   *Build          `json:"build,omitempty"`
	Coats   []Coat          `json:"coats,omitempty"`
	Ready   si.Time         `json:"coats_total_s,omitempty"`
	Limit   *si.Temperature `json:"limit_degC,omitempty"` // lowest of the mould's materials
	LimitBy string          `json:"limit_by,omitempty"`

	Radii    Radii     `json:"radii,omitzero"`
	Dressing           // how the face is made ready
	Stand    *Standing `json:"stand,omitempty"` // what the body is and bears

	Repairs    []Repair    `json:"repairs,omitempty"`        // of an imported mesh, in the order they were made
	Hand       string      `json:"hand,omitempty"`           // as drawn | mirrored, of an imported mesh
	FilledArea *si.Area    `json:"filled_area_m2,omitempty"` // of the face: nobody measured it
	Recut      *Recut      `json:"recut,omitempty"`
	Body       *SolidShape `json:"body,omitempty"` // the thickened surface

	Fit   *Fit   `json:"fit,omitempty"`   // how the face was moved from what is drawn
	Ducts []Duct `json:"ducts,omitempty"` // the area of each sweep along its path

	Surface  *mesh.Mesh      `json:"-"` // the laminated surface
	Filled   []bool          `json:"-"` // of each triangle of Surface: it fills a hole of the scan
	Normals  []r3.Vec        `json:"-"` // to the free side at each vertex
	Face     *mesh.Mesh      `json:"-"` // the mould's face before trim and cut-outs
	Rims     []Rim           `json:"-"` // of Surface
	Draft    []float64       `json:"-"` // of each triangle of Surface, rad; undercuts are negative
	Curved   radius.Surface  `json:"-"` // curvature of Surface, hollow negative
	Stuck    []bool          `json:"-"` // of each triangle of Surface: whether it leans back or hangs behind another
	Findings []fault.Finding `json:"-"`
}

// RimKind tells the rim at the trim line from those of cut-outs.
type RimKind string

// The kinds of rim.
const (
	Outer  RimKind = "outer"
	CutRim RimKind = "cutout"
)

// Rim is a closed chain of the surface's vertices with the surface on its left
// seen from the free side. Index counts within the kind; for a cut-out it is
// that of part.cutouts.
type Rim struct {
	Kind     RimKind
	Index    int
	Vertices []int32
}

// Work makes the mould's face and the part's surface on it and checks how the
// part comes off.
func Work(in Input) (Result, error) {
	switch {
	case in.Mould == nil:
		return areaOnly(in.Part)
	case in.Part.Area != 0:
		return Result{}, &fault.Input{Field: "part.area", What: "the area follows from the mould", Do: "take the line out"}
	}
	if h := in.Part.Held; h != nil && h.Edge != "" && h.Edge != "clamped" && h.Edge != "pinned" {
		return Result{}, &fault.Input{Field: "part.held.edge", What: "edge is " + h.Edge, Do: "write clamped or pinned"}
	}
	if k := in.Mould.Kind; k != "" && k != Plug && k != Cavity {
		return Result{}, &fault.Input{Field: "mould.kind", What: "kind is " + string(k), Do: "write plug or cavity"}
	}
	if err := in.Mould.Release.check(); err != nil {
		return Result{}, err
	}
	if in.Mould.Import != nil && in.Mould.File == "" {
		return Result{}, &fault.Input{Field: "mould.import", What: "there is no mesh file to work on", Do: "name it as mould.file, or take the section out"}
	}
	var r Result
	body, err := in.Mould.body()
	if err != nil {
		return r, err
	}
	switch solids, file := len(in.Mould.Solids) > 0, in.Mould.File != ""; {
	case solids && file:
		return r, &fault.Input{Field: "mould.file", What: "a mould is made from solids or from a file, not both", Do: "take one out"}
	case solids:
		err = r.fromSolids(in)
	case file && in.Imported != nil:
		if err = solidsOnly(in.Mould); err == nil {
			err = r.fromMesh(in)
		}
	case file:
		return r, &fault.Input{Field: "mould.file", What: in.Mould.File + " has not been read"}
	default:
		return r, &fault.Input{Field: "mould.solids", What: "there is nothing to lay on", Do: "list solids, or name a mesh file"}
	}
	if err != nil {
		return r, err
	}
	r.judge(in)
	r.dress(in, body)
	r.standing(in, r.asBuilt(body, in.Mould.Build))
	return r, nil
}

func areaOnly(p PartSpec) (Result, error) {
	if p.Trim != nil || len(p.Cutouts) > 0 {
		return Result{}, &fault.Input{Field: "mould", What: "a trim line or a cut-out needs a mould", Do: "write the section mould, or only part.area"}
	}
	if !(p.Area > 0) {
		return Result{}, &fault.Range{Field: "part.area", Value: float64(p.Area), Min: 0, Max: 1000, Unit: " m^2", Why: "without a mould the part's area must be given"}
	}
	return Result{Area: p.Area, Findings: []fault.Finding{{
		Stage: "mould", Severity: fault.Note, Code: "area-only",
		What: "Only the part's area is known, not its shape.", Why: "the job has no mould",
		Do: "Add the section mould for patterns, draft and strength.",
	}}}, nil
}

// pullOf returns the way the part comes off: as given, or else up for a plug
// and down, out of its mouth, for a cavity.
func pullOf(s *Spec) r3.Vec {
	if s.Pull != nil && s.Pull.V != (r3.Vec{}) {
		return r3.Unit(s.Pull.V)
	}
	if s.Kind == Cavity {
		return r3.Vec{Z: -1}
	}
	return r3.Vec{Z: 1}
}

func axisOf(d *bind.Direction) (r3.Vec, bool) {
	if d == nil || d.V == (r3.Vec{}) {
		return r3.Vec{Z: 1}, false
	}
	return r3.Unit(d.V), true
}
