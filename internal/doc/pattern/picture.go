package pattern

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// captionRoom is what the words under a picture take, in mm.
const captionRoom = 10

// Picture draws the piece small, as large as fits the box, for a list of what
// is to be cut: outline, trim line, thread direction, name and size.
func Picture(p Piece, box r2.Box) ([]draw.Item, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	room := box
	room.Min.Y += captionRoom
	full := geom.Polygon(draw.FromMetres().All(p.Outline))
	fit := draw.FromMetres().Then(draw.Fit(full.Bounds(), room))
	outline := geom.Polygon(fit.All(p.Outline))
	items := []draw.Item{draw.Path{Points: outline, Closed: true, Pen: draw.InkPen(draw.Medium), Fill: draw.Ground}}
	for _, h := range p.Holes {
		items = append(items, draw.Path{Points: fit.All(h), Closed: true, Pen: draw.InkPen(draw.Medium), Fill: draw.White})
	}
	for _, l := range p.trimLines() {
		l.Pen = draw.Pen{Width: draw.Fine, Colour: draw.Soft, Dash: []float64{1.5, 0.8}}
		items = append(items, l.Moved(fit))
	}
	for _, k := range p.Knife {
		items = append(items, draw.Line(draw.InkPen(draw.Fine), fit.All(k)...))
	}
	for _, m := range p.Marks {
		items = append(items, draw.Line(draw.InkPen(draw.Fine), fit.All(m.Points)...))
	}
	f := newField(outline, items[1:])
	items = append(items, f.smallThreads(r2.Unit(p.Warp))...)
	size := full.Bounds().Size()
	name, data := p.headline(), fmt.Sprintf("%s, %s; %.0f x %.0f mm", p.Fabric, degrees(p.Angle), size.X, size.Y)
	if p.count() > 1 {
		name += fmt.Sprintf(" · cut %d", p.count())
	}
	at := r2.Vec{X: box.Center().X, Y: box.Min.Y + captionRoom - 2}
	words := draw.Text{At: at, String: draw.Cropped(name, draw.Bold, draw.Small, box.Size().X), Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.Below, Colour: draw.Ink}
	under := words
	under.At.Y -= draw.Leading(draw.Small)
	under.Face, under.Colour, under.String = draw.Regular, draw.Soft, draw.Cropped(data, draw.Regular, draw.Small, box.Size().X)
	return append(items, words, under), nil
}

// smallThreads is the thread figure of a picture: half as long as there is
// room, with five cross lines.
func (f *field) smallThreads(dir r2.Vec) []draw.Item {
	ahead, behind := f.reach(f.spot, dir), f.reach(f.spot, r2.Scale(-1, dir))
	length := min((ahead+behind)/2, 30)
	mid := r2.Add(f.spot, r2.Scale((ahead-behind)/2, dir))
	across := r2.Vec{X: -dir.Y, Y: dir.X}
	on := func(u, v float64) r2.Vec {
		return r2.Add(mid, r2.Scale(length, r2.Add(r2.Scale(u, dir), r2.Scale(v, across))))
	}
	pen := draw.InkPen(draw.Fine)
	items := []draw.Item{
		draw.Line(pen, on(-0.5, 0), on(0.5, 0)),
		draw.Path{Points: []r2.Vec{on(0.5, 0), on(0.38, 0.045), on(0.38, -0.045)}, Closed: true, Pen: pen, Fill: draw.Ink},
	}
	for i := range 5 {
		u := -0.42 + 0.17*float64(i)
		items = append(items, draw.Line(pen, on(u, -0.06), on(u, 0.06)))
	}
	return items
}
