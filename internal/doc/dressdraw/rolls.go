package dressdraw

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/carrier"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/nest"
)

// nameSize is that of a piece's name on a full-size roll, points.
const nameSize = 40

// RollPage draws a roll of the plan's dress at full size, for a cutter: knife lines on
// cut, and the roll's edges on mark. x runs along the roll.
func RollPage(plan job.Plan, r nest.Laid) draw.Page {
	full := draw.FromMetres()
	pg := draw.NewPage("roll of "+r.Material, 1000*float64(r.Length), 1000*float64(r.Width))
	for _, x := range placed(plan, r) {
		for _, k := range x.inside {
			pg.Add(pattern.KnifeLayer, draw.Line(draw.InkPen(0.35), full.All(k)...))
		}
		pg.Add(draw.Cut, draw.Ring(draw.InkPen(0.35), full.All(x.outline)))
		pg.Add(draw.Words, draw.Text{At: full.Do(x.outline.Bounds().Center()), String: x.name, Size: nameSize, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink})
	}
	pg.Add(draw.Mark, draw.Rect(pg.Box(), draw.InkPen(0.25), 0))
	return *pg
}

// onRoll is a piece where it lies, m.
type onRoll struct {
	name    string
	outline geom.Polygon
	inside  [][]r2.Vec
}

func placed(plan job.Plan, r nest.Laid) (out []onRoll) {
	pieces := map[string]flat.Piece{}
	for _, s := range plan.Dress.Sheets {
		for _, p := range s.Pieces {
			pieces[p.Name] = p
		}
	}
	for _, x := range r.Placements {
		p, at := pieces[x.Piece], r2.Vec{X: float64(x.X), Y: float64(x.Y)}
		put := func(line []r2.Vec) geom.Polygon { return pattern.Place(line, at, x.Turn, x.Flipped) }
		o := onRoll{name: p.Name, outline: put(job.Polygon(p.Outline))}
		for _, h := range rings(p.Holes) {
			o.inside = append(o.inside, put(append(h, h[0])))
		}
		for _, k := range lines(p.Knife) {
			o.inside = append(o.inside, put(k))
		}
		out = append(out, o)
	}
	return out
}

// FilmPicture draws the film of one batch under a headline, as large as fits a box: the
// rectangle of each piece with its number in the order of laying, its name where there is
// room, and its outline.
func FilmPicture(plan job.Plan, wide si.Length, b carrier.Batch, head string, box r2.Box) []draw.Item {
	out, fit := strip(head, float64(b.Length), float64(wide), box)
	carriers, outlines := map[string]geom.Polygon{}, plan.Outlines()
	for _, p := range plan.Plies.Plies {
		for _, piece := range p.Pieces {
			carriers[piece.Name] = job.Polygon(piece.Carrier)
		}
	}
	for _, x := range b.Pieces {
		at := r2.Vec{X: float64(x.X), Y: float64(x.Y)}
		film, cloth := pattern.Place(carriers[x.Piece], at, x.Turn, false), pattern.Place(outlines[x.Piece], at, x.Turn, false)
		out = append(out, draw.Path{Points: fit.All(cloth), Closed: true, Fill: draw.Wash, Pen: draw.Pen{Width: draw.Fine, Colour: draw.Soft}},
			draw.Path{Points: fit.All(film), Closed: true, Pen: draw.InkPen(draw.Fine)})
		name, room := fmt.Sprintf("%d: %s", x.Order, x.Piece), geom.Polygon(fit.All(film)).Bounds().Size().X
		if draw.Width(name, draw.Bold, draw.Small) > room {
			name = fmt.Sprint(x.Order)
		}
		out = append(out, named(name, fit.Do(film.Bounds().Center())))
	}
	return out
}

// strip is the empty roll under its headline, and how metres on it come to the page: along
// it to the right, across it upwards.
func strip(head string, long, wide float64, box r2.Box) ([]draw.Item, draw.Affine) {
	room := box
	room.Max.Y -= 6
	fit := draw.Fit(r2.NewBox(0, 0, long, wide), room)
	whole := geom.Rect(0, 0, long, wide)
	return []draw.Item{
		draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(head, draw.Bold, draw.Small, box.Size().X), Size: draw.Small, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink},
		draw.Path{Points: fit.All(whole), Closed: true, Fill: draw.Ground, Pen: draw.Pen{Width: draw.Medium, Colour: draw.Soft}}}, fit
}

func named(s string, at r2.Vec) draw.Text {
	return draw.Text{At: at, String: s, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}
}
