package onepage

import (
	"fmt"
	"math"

	"laywright/internal/doc/curedraw"
	"laywright/internal/doc/cutting"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dutydraw"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/plydraw"
	"laywright/internal/doc/strengthdraw"
	"laywright/internal/job"

	"gonum.org/v1/gonum/spatial/r2"
)

// picture is one framed drawing with its caption.
type picture struct {
	caption string
	draw    func(r2.Box) []draw.Item
}

// allPictures lists the pictures that the plan has, in the order of the work.
func allPictures(p job.Plan) (out []picture) {
	add := func(has bool, draw func(job.Plan) picture) {
		if has {
			out = append(out, draw(p))
		}
	}
	add(p.Mould != nil && p.Mould.Face != nil, mouldPicture)
	add(p.Plies != nil && len(p.Plies.Plies) > 0, shearPicture)
	if scene, caption, any := strengthdraw.Scene(p); any {
		out = append(out, mapPicture(caption, scene))
	}
	add(p.Roll != nil && len(p.Roll.Rolls) > 0, rollPicture)
	add(p.Cure != nil && len(p.Cure.History.Time) > 1, curePicture)
	add(p.Duty != nil && p.Duty.Heater != nil && len(p.Duty.Heater.PassTable) > 1, passPicture)
	return out
}

func mouldPicture(p job.Plan) picture {
	scene := draw.Scene{Vertices: p.Mould.Face.Vertices, Triangles: p.Mould.Face.Triangles, Edges: true}
	return picture{"Mould", func(box r2.Box) []draw.Item { return scene.Draw(box) }}
}

// shearPicture shows the ply that shears most.
func shearPicture(p job.Plan) picture {
	worst := 0
	for i, ply := range p.Plies.Plies {
		if ply.ShearMax > p.Plies.Plies[worst].ShearMax {
			worst = i
		}
	}
	ply := p.Plies.Plies[worst]
	values := make([]float64, len(ply.Laid.Shear))
	for i, g := range ply.Laid.Shear {
		values[i] = math.Abs(g) * 180 / math.Pi
	}
	scale := plydraw.ShearRange(p, ply.Fabric, values)
	scene := draw.Scene{Vertices: p.Mould.Surface.Vertices, Triangles: p.Mould.Surface.Triangles, Values: values, Range: scale, Edges: true}
	return mapPicture(fmt.Sprintf("Shear of ply %d, %s at %.0f°", ply.Number, ply.Fabric, ply.Angle.Degrees()), scene)
}

// tickHalf is what half of a tick's number takes beside the legend's ends, in mm.
const tickHalf = 3

// A map in a box lower than this has its legend beside it, as wide as this, in mm.
const (
	lowMap     = 48
	besideWide = 34
)

// mapPicture is a scene over its legend, or beside it in a low box.
func mapPicture(caption string, scene draw.Scene) picture {
	return picture{caption, func(box r2.Box) []draw.Item {
		legend, room := box, box
		legend.Min.X, legend.Max.X = box.Min.X+tickHalf, box.Max.X-tickHalf
		if box.Size().Y < lowMap {
			legend.Max.X = legend.Min.X + besideWide
			legend.Max.Y = box.Min.Y + draw.LegendHeight
			room.Min.X = legend.Max.X + 3
		} else {
			legend.Max.Y = box.Min.Y + draw.LegendHeight
			room.Min.Y = legend.Max.Y + 1
		}
		return append(scene.Draw(room), scene.Range.Legend(legend)...)
	}}
}

// rollPicture shows the layout of the roll that most cloth is cut from.
func rollPicture(p job.Plan) picture {
	best := 0
	for i, r := range p.Roll.Rolls {
		if r.Use*float64(r.Length*r.Width) > p.Roll.Rolls[best].Use*float64(p.Roll.Rolls[best].Length*p.Roll.Rolls[best].Width) {
			best = i
		}
	}
	laid := cutting.Rolls(p)[best]
	caption := "On the roll"
	if n := len(p.Roll.Rolls); n > 1 {
		caption = fmt.Sprintf("On the roll, %d of %d", best+1, n)
	}
	return picture{caption, func(box r2.Box) []draw.Item { return pattern.RollPicture(laid, box) }}
}

func curePicture(p job.Plan) picture {
	pic := curedraw.Cure(p)
	return picture{pic.Caption, pic.Draw}
}

func passPicture(p job.Plan) picture {
	pic := dutydraw.Passes(p)
	return picture{pic.Caption, pic.Draw}
}
