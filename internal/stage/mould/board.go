package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/solid"
)

// usualBoard is the thickness of a board where no material says its own, and
// stations the number of upright cross-sections. Common practice, no source.
const (
	usualBoard = 18e-3 // m
	stations   = 9
	boardEdge  = 5e-3 // m, wood left round a board's outline for the saw
)

// build works out boards, slices and templates of a plug. A cavity is carved
// into a stack or cast from a plug, which is not worked out.
func (r *Result) build(in Input, b *shape) error {
	if b.cavity {
		r.find(fault.Note, "build-cavity", "Boards and templates are worked out for plugs only.", "a cavity is most often laid up on a plug", "Plan the plug as a job of its own.")
		return nil
	}
	if len(b.solids) == 0 {
		return nil // a flat plate is bought
	}
	u := &Build{BoardThickness: usualBoard}
	var density si.Density
	for _, m := range in.Materials {
		if m.Record.Board.Known {
			u.BoardThickness, density = m.Record.Board.Value, m.Record.Density.Value
			break
		}
	}
	if !(u.BoardThickness > 0.2e-3) {
		return &fault.Input{Field: "mould.materials", What: fmt.Sprintf("a board %.4g mm thick", 1e3*float64(u.BoardThickness)), Do: "correct the record's board_thickness"}
	}
	if err := u.stack(r, b); err != nil {
		return err
	}
	u.BoardMass = si.Mass(float64(u.BoardVolume) * float64(density))
	u.Templates = templates(r, b)
	u.FillerVolume = si.Volume(fillerVolume(b))
	r.Build = u
	return nil
}

// stack slices the body at the boards' faces. A board must hold the outline at
// its foot and at its head; its rough size is the rectangle round both.
func (u *Build) stack(r *Result, b *shape) error {
	top := r.Face.Bounds().Max.Z
	low := max(b.base, r.Face.Bounds().Min.Z)
	t := float64(u.BoardThickness)
	u.Boards = int(math.Ceil((top-low)/t - 1e-9))
	if u.Boards > 2000 {
		return &fault.Input{Field: "mould.materials", What: fmt.Sprintf("%d boards would be stacked", u.Boards), Do: "take a thicker board"}
	}
	at := func(z float64) []geom.Polygon {
		if b.ground && z < 1e-6 {
			return foot(b.joined.Sharp, b.bounds, b.least/3)
		}
		return slice(r.Face, r3.Vec{Z: z}, r3.Vec{Z: 1}, r3.Vec{X: 1}, r3.Vec{Y: 1})
	}
	hair := 1e-5 // m: a slice is taken just inside its board, not through a flat face of the body
	for i := range u.Boards {
		z0, z1 := low+float64(i)*t, min(low+float64(i+1)*t, top)
		foot, head := at(z0+hair), at(z1-hair)
		u.Slices = append(u.Slices,
			PlaneCut{fmt.Sprintf("board %d foot", i+1), z0, "z", foot},
			PlaneCut{fmt.Sprintf("board %d head", i+1), z1, "z", head})
		box := geom.Polygon(nil).Bounds()
		for _, p := range append(append([]geom.Polygon(nil), foot...), head...) {
			q := p.Bounds()
			box.Min.X, box.Min.Y = min(box.Min.X, q.Min.X), min(box.Min.Y, q.Min.Y)
			box.Max.X, box.Max.Y = max(box.Max.X, q.Max.X), max(box.Max.Y, q.Max.Y)
		}
		if w, d := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y; w > 0 && d > 0 {
			u.BoardVolume += si.Volume((w + 2*boardEdge) * (d + 2*boardEdge) * t)
		}
	}
	return nil
}

// templates cuts the body upright at even stations along its longer side.
func templates(r *Result, b *shape) []PlaneCut {
	box := b.bounds
	along, across, name := r3.Vec{X: 1}, r3.Vec{Y: 1}, "x"
	low, high := box.Min.X, box.Max.X
	if box.Max.Y-box.Min.Y > high-low {
		along, across, name = r3.Vec{Y: 1}, r3.Vec{X: -1}, "y"
		low, high = box.Min.Y, box.Max.Y
	}
	var out []PlaneCut
	for i := range stations {
		at := low + (high-low)*(float64(i)+0.5)/stations
		cut := slice(r.Face, r3.Scale(at, along), along, across, r3.Vec{Z: 1})
		if len(cut) > 0 {
			out = append(out, PlaneCut{fmt.Sprintf("station %d", i+1), at, name, cut})
		}
	}
	return out
}

// fillerVolume counts what the fillets add to the bare solids, on a grid of
// cells over the joints, each counted by the share that its middle's distance
// gives it:
//
//	V = h³ Σ [share(d with fillets) − share(d bare)],  share(d) = ½ − d/h within 0 … 1
//
// Blocks of cells where no second solid is near are passed over.
func fillerVolume(b *shape) float64 {
	radius := b.joined.Radius
	if radius <= 0 || len(b.joined.Parts) < 2 {
		return 0
	}
	const block = 8
	h := max(radius/6, r3.Norm(r3.Sub(b.bounds.Max, b.bounds.Min))/400)
	side := block * h
	reach := radius + side
	nx := int(math.Ceil((b.bounds.Max.X - b.bounds.Min.X + 2*radius) / side))
	ny := int(math.Ceil((b.bounds.Max.Y - b.bounds.Min.Y + 2*radius) / side))
	nz := int(math.Ceil((b.bounds.Max.Z + radius) / side))
	share := func(d float64) float64 { return max(0, min(1, 0.5-d/h)) }
	var cells float64
	for i := range nx * ny * nz {
		o := r3.Vec{X: b.bounds.Min.X - radius + side*float64(i%nx), Y: b.bounds.Min.Y - radius + side*float64(i/nx%ny), Z: side * float64(i/(nx*ny))}
		if !joint(b.joined, r3.Add(o, r3.Scale(side/2, r3.Vec{X: 1, Y: 1, Z: 1})), reach) {
			continue
		}
		for c := range block * block * block {
			p := r3.Add(o, r3.Scale(h, r3.Vec{X: float64(c%block) + 0.5, Y: float64(c/block%block) + 0.5, Z: float64(c/(block*block)) + 0.5}))
			bare, _ := b.joined.Sharp(p)
			if bare <= -h/2 || bare >= radius {
				continue
			}
			filled, _ := b.joined.At(p)
			cells += share(filled) - share(bare)
		}
	}
	return cells * h * h * h
}

// joint tells whether two solids come within reach of p.
func joint(j *solid.Joined, p r3.Vec, reach float64) bool {
	near := 0
	for _, part := range j.Parts {
		if d, _ := part.At(p); math.Abs(d) < reach {
			near++
		}
	}
	return near > 1
}
