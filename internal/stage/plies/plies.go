// Package plies answers what cloth is cut for each ply: how it lies on the part,
// how far it is sheared, where it locks, and the flat outline of its piece. It
// needs the surface of the part, the stack of cloth plies, the seed and the
// direction of the warp.
//
// A ply's angle turns from the warp's direction towards the weft, seen from the
// free side, which is the side of the mesh's outward normals. It holds at the
// seed; elsewhere the cloth decides, and what it departs by is a finding. Flat
// coordinates are u along the ply's own warp and v along its weft, with the
// seed at (0, 0), seen from the free side: the marked face of a cut piece looks
// away from the mould.
//
// The trim line (net_outline_m) is the rim of the part laid flat. The cut line
// (outline_m) lies outside it by the trim allowance. Cut-outs are not cut in the
// cloth but marked. cloth_area_m2 counts the cloth inside trim lines, cut-outs
// and laps taken off.
//
// The seed is sought by package seed. Where a ply would lock, it is slit (package
// slits); the flat pieces are drawn by package flat and put back on the mould by
// package relay. Where cloth bridges the part is found by package hollow.
//
// Values by vertex of the surface ([Laid]) are those on the right of a slit;
// shear_max_deg and the findings look at both sides.
//
// A ply that collapses over more than a trifle, or whose flat piece would overlap
// itself, can't be laid, and the finding is a stop.
//
// A doubler is a ply that lies in given places alone. The surface is cut at their edge,
// and the doubler is laid on what is inside as on a part of its own. Its edge inside
// the part is cut as it stays, without allowance. It has no stagger to its neighbours.
//
// It does not split plies into pieces that are laid one by one, turn a seam's
// side, or lay measured plies, cores or films.
package plies

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/hollow"
	"laywright/internal/stage/relay"
	"laywright/internal/stage/seed"
	"laywright/internal/stage/slits"
)

// Input is what the plies are cut for.
type Input struct {
	Spec    Spec
	Surface *mesh.Mesh // the part, outward normals towards the free side
	Plies   []PlyIn    // the cloth of the stack, from the mould face

	Mirrored string // x | y | z: the axis across which a second part is this one's mirror image; empty: none

	local *local // of doublers; nil: the surface is the whole part
}

// PlyIn is one ply of cloth.
type PlyIn struct {
	Number int    // its place in the stack, from 1
	Name   string // of the fabric
	Angle  si.Angle
	Fabric material.Fabric

	Thickness si.Length    // of the cured ply where the cloth is not sheared
	Fibre     si.ArealMass // of the dry cloth, not sheared

	Within []Area // where a doubler lies; nil: the ply lies everywhere
}

// Result is the plies' part of a plan.
type Result struct {
	Plies     []Ply        `json:"plies"`
	Seed      [3]float64   `json:"seed_m"`
	SeedFrom  string       `json:"seed_from"`             // given | middle | least shear
	Search    *seed.Search `json:"seed_search,omitempty"` // what was gained by looking for the seed
	Stagger   *float64     `json:"seam_stagger_min_m,omitempty"`
	ClothArea si.Area      `json:"cloth_area_m2"` // inside trim lines, laps left out
	LapArea   si.Area      `json:"lap_area_m2"`   // of the laps, which lie double

	Hollows []hollow.Hollow `json:"hollows,omitempty"` // where the part bends inwards
	Relaid  relay.Result    `json:"relaid"`            // the pieces put back on the mould

	Findings []fault.Finding `json:"-"`
}

// Ply is one ply laid down.
type Ply struct {
	Number   int          `json:"number"`
	Fabric   string       `json:"fabric"`
	Angle    si.Angle     `json:"angle_deg"`
	ShearMax si.Angle     `json:"shear_max_deg"` // largest, either way
	ShearP99 si.Angle     `json:"shear_p99_deg"` // not passed on 99 % of the part
	Locked   si.Area      `json:"locked_area_m2"`
	Warning  si.Area      `json:"near_locking_area_m2"`  // over the fabric's warning, up to locking
	OffMax   si.Angle     `json:"direction_off_max_deg"` // of a yarn, from the direction asked for there
	OffP95   si.Angle     `json:"direction_off_p95_deg"`
	Turned   float64      `json:"off_angle_share"` // share of the part where a yarn is over the tolerance off
	Pieces   []flat.Piece `json:"pieces"`
	Advice   Advice       `json:"advice"` // how it is laid by hand
	Seams    []flat.Seam  `json:"seams"`
	Mirrored []flat.Piece `json:"mirrored_pieces,omitempty"` // the pieces of the part's mirror image
	Within   []Place      `json:"within,omitempty"`          // where a doubler lies

	Laid   *Laid      `json:"-"`
	Sheets []Sheet    `json:"-"` // one a piece, patches last
	Beside *mesh.Mesh `json:"-"` // what of the surface a doubler does not lie on
}

// Sheet is a piece of cloth as it lies: its own ground, cut open, the flat places
// of its vertices, and what it is sheared there.
type Sheet struct {
	Piece string // its name
	flat.Sheet
	Vertices   []int32   // of the surface, by vertex of the ground; -1: on none
	Shear      []float64 // rad
	Warp, Weft []r3.Vec  // unit vectors
}

// Laid holds a ply by vertex of the surface. Plies that lie alike share one.
type Laid struct {
	Flat       []r2.Vec  // m
	Shear      []float64 // rad
	Warp, Weft []r3.Vec  // unit vectors
	Steps      int       // of the solver
	Residual   si.Length // its last step
	Off        Off       // of the yarns from the direction asked for
}

// Lay lays all plies and cuts their pieces.
func Lay(ctx context.Context, in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{Plies: []Ply{}}, err
	}
	all := in.Plies
	in.Plies = everywhere(all)
	out, w, err := lay(ctx, in)
	if err != nil || len(in.Plies) == len(all) {
		return out, err
	}
	return out, w.double(ctx, &out, all)
}

func (in Input) check() error {
	if err := in.Spec.check(); err != nil {
		return err
	}
	if in.Mirrored != "" && (len(in.Mirrored) != 1 || !strings.Contains("xyz", in.Mirrored)) {
		return &fault.Input{Field: "part.mirrored", What: fmt.Sprintf("%q is no axis", in.Mirrored), Do: "write x, y or z: the axis that the two parts lie opposite on"}
	}
	if in.Surface == nil || len(in.Surface.Triangles) == 0 {
		return &fault.Input{Field: "mould", What: "there is no surface to lay cloth on"}
	}
	if len(in.Plies) == 0 {
		return nil
	}
	if len(everywhere(in.Plies)) == 0 {
		return &fault.Input{Field: "laminate.stack", What: "no cloth lies everywhere", Do: "take within out of a ply that the wall is made of"}
	}
	return in.checkDrawn()
}

// lay lays plies that lie everywhere.
func lay(ctx context.Context, in Input) (out Result, w *work, err error) {
	out.Plies = []Ply{}
	if len(in.Plies) == 0 {
		return out, nil, nil
	}
	given := len(in.Surface.Vertices)
	fine, err := slits.WithRoom(in.Surface)
	if err != nil {
		return out, nil, err
	}
	in.Surface = fine.Mesh
	if w, err = newWork(in); err != nil {
		return out, nil, err
	}
	w.within = fine.Face
	if err := w.place(&out); err != nil {
		return out, nil, err
	}
	w.toward = w.asked(w.normals)
	laid, err := w.layAll(ctx)
	if err != nil {
		return out, nil, err
	}
	for i, p := range in.Plies {
		w.measureLaid(p, laid[i])
	}
	out.Plies = make([]Ply, len(in.Plies))
	sideBySide(len(in.Plies), func(i int) { out.Plies[i] = w.cut(in.Plies[i], laid[i]) })
	if err := w.putBack(ctx, &out, laid); err != nil {
		return out, nil, err
	}
	if in.local == nil {
		out.Hollows = w.hollows()
		w.judgeTight(&out, out.Hollows)
	}
	sideBySide(len(in.Plies), func(i int) {
		ply := &out.Plies[i]
		w.measure(ply, in.Plies[i], laid[i])
		ply.Advice = w.advise(ply, in.Plies[i], laid[i], out.Hollows)
	})
	fabrics := map[string]bool{}
	for i, p := range in.Plies {
		ply := &out.Plies[i]
		if label, first := w.label(i, laid); first {
			w.judge(&out, ply, p, laid[i], label)
		}
		if !fabrics[p.Name] {
			fabrics[p.Name] = true
			w.judgeHollow(&out, p, out.Hollows)
		}
		for _, piece := range ply.Pieces {
			out.ClothArea += piece.Area
			out.LapArea += piece.LapArea
		}
	}
	w.mirror(&out)
	w.judgeSeams(&out, laid)
	if !in.Spec.Slits.None {
		out.Findings = append(out.Findings, out.Relaid.Findings(w.relaying(out.Plies))...)
	}
	w.limits(&out, laid)
	out.keep(given)
	w.laid = laid
	return out, w, nil
}

// checkDrawn refuses a cut that is drawn for a ply that is not there.
func (in Input) checkDrawn() error {
	for i, d := range in.Spec.Slits.Drawn {
		for _, n := range d.Plies {
			k := slices.IndexFunc(in.Plies, func(p PlyIn) bool { return p.Number == n })
			if k >= 0 && in.Plies[k].Within != nil {
				return &fault.Input{Field: "plies.slits", What: fmt.Sprintf("slit %d is drawn for ply %d, which is a doubler", i+1, n),
					Do: "draw it for plies that lie everywhere; a doubler is slit by the program where it must be"}
			}
			if k < 0 {
				return &fault.Input{Field: "plies.slits", What: fmt.Sprintf("slit %d is drawn for ply %d, and there is none of that number", i+1, n),
					Do: "count the plies of cloth from the mould, from 1"}
			}
		}
	}
	return nil
}

// keep leaves only what lies on the first n vertices, those of the surface as it
// was given; those that were put between them come after.
func (r *Result) keep(n int) {
	for i := range r.Plies {
		l := r.Plies[i].Laid
		l.Flat, l.Shear, l.Warp, l.Weft = l.Flat[:n], l.Shear[:n], l.Warp[:n], l.Weft[:n]
		l.Off.Warp, l.Off.Weft = l.Off.Warp[:n], l.Off.Weft[:n]
		for _, s := range r.Plies[i].Sheets {
			for j, v := range s.Vertices {
				if int(v) >= n {
					s.Vertices[j] = -1
				}
			}
		}
	}
	r.Relaid.Stack.Layers, r.Relaid.Stack.Thickness = r.Relaid.Stack.Layers[:n], r.Relaid.Stack.Thickness[:n]
}
