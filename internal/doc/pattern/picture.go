package pattern

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
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
	name, data := p.Headline(), fmt.Sprintf("%s; %.0f x %.0f mm", p.clothWords(), size.X, size.Y)
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

// Room that the words of a roll picture take above and below each strip, and
// beside an upright one, in mm.
const (
	rollAbove  = 6
	rollBelow  = 8
	rollBeside = 22
)

// RollPicture draws the layout as large as fits the box. A long roll is broken
// into strips one under the other, read from the top, each with its lengths; a
// short one stands upright where that makes it larger.
func RollPicture(r Roll, box r2.Box) []draw.Item {
	strip := r.strip()
	if strip.Empty() || box.Empty() {
		return nil
	}
	items := []draw.Item{r.caption(box)}
	n, k := bestStrips(strip.Size(), box.Size())
	if up := uprightScale(strip.Size(), box.Size()); up > k {
		return append(items, r.upright(up, box)...)
	}
	each, top := strip.Size().X/float64(n), box.Max.Y
	for i := range n {
		top -= rollAbove
		part := r2.NewBox(float64(i)*each, 0, float64(i+1)*each, strip.Max.Y)
		fit := draw.Scale(k).Then(draw.Move(r2.Vec{X: box.Min.X - k*part.Min.X, Y: top - k*part.Max.Y}))
		items = append(items, r.stripPicture(part, fit)...)
		items = append(items, r.stripEnds(part, fit)...)
		top -= k*strip.Max.Y + rollBelow
	}
	return items
}

// caption is the headline in the largest of two sizes that fits.
func (r Roll) caption(box r2.Box) draw.Text {
	size := draw.Body
	if draw.Width(r.headline(), draw.Bold, size) > box.Size().X {
		size = draw.Small
	}
	return draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: draw.Cropped(r.headline(), draw.Bold, size, box.Size().X), Size: size, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink}
}

// bestStrips chooses how many strips give the largest scale in the box.
func bestStrips(size, room r2.Vec) (n int, scale float64) {
	for i := 1; i <= 12; i++ {
		k := min(room.X*float64(i)/size.X, (room.Y-float64(i)*(rollAbove+rollBelow))/(float64(i)*size.Y))
		if k > scale {
			n, scale = i, k
		}
	}
	if n == 0 { // no room even for the words: the pieces are more wanted
		return 1, min(room.X/size.X, room.Y/size.Y)
	}
	return n, scale
}

// uprightScale is the scale at which the strip fits with its length upwards.
func uprightScale(size, room r2.Vec) float64 {
	return min((room.X-rollBeside)/size.Y, (room.Y-rollAbove-rollBelow)/size.X)
}

// upright draws the roll with its length upwards; its width counts from the right,
// since a turn keeps the hand.
func (r Roll) upright(k float64, box r2.Box) []draw.Item {
	strip := r.strip()
	fit := draw.Turn(math.Pi / 2).Then(draw.Scale(k)).Then(draw.Move(r2.Vec{
		X: box.Min.X + k*strip.Max.Y, Y: box.Max.Y - rollAbove - k*strip.Max.X}))
	items := r.stripPicture(strip, fit)
	low, right := fit.Do(r2.Vec{Y: strip.Max.Y}), fit.Do(r2.Vec{})
	top := fit.Do(r2.Vec{X: strip.Max.X})
	items = append(items,
		r.endMark(r2.Vec{X: low.X, Y: low.Y - 1.5}, strip.Max.Y, draw.Start, draw.Below),
		r.endMark(r2.Vec{X: right.X, Y: right.Y - 1.5}, 0, draw.End, draw.Below),
		r.endMark(r2.Vec{X: top.X + 1.5, Y: top.Y}, strip.Max.X, draw.Start, draw.Below))
	length := min(threadsLong, k*strip.Max.X-6)
	if length < 8 {
		return items
	}
	turn := draw.Turn(math.Pi / 2).Then(draw.Move(r2.Vec{X: right.X + 2, Y: right.Y}))
	word := draw.Text{At: r2.Vec{X: right.X + 9, Y: right.Y + length/2}, String: "warp", Size: draw.Small, Rise: draw.MidHeight, Colour: draw.Soft}
	return append(append(items, draw.MoveAll(turn, rollThreads(r2.NewBox(0, 0, 1000, 1), length))...), word)
}

// stripPicture draws one part of the roll: pieces cut at its ends.
func (r Roll) stripPicture(part r2.Box, fit draw.Affine) []draw.Item {
	items := []draw.Item{draw.Rect(part, draw.Pen{}, draw.Ground).Moved(fit)}
	full := draw.FromMetres()
	for _, p := range r.Pieces {
		shape := draw.Path{Points: full.All(p.Outline()), Closed: true, Pen: draw.InkPen(draw.Medium), Fill: draw.Wash}
		for _, it := range shape.Clipped(part) {
			items = append(items, it.Moved(fit))
		}
		for _, it := range rollName(p, 10, full.Then(fit)) {
			if t := it.(draw.Text); boxHas(part, fit, t.At) {
				items = append(items, t)
			}
		}
	}
	for _, it := range r.cloth(full.Then(fit)) {
		items = append(items, it.Clipped(boxIn(part, fit))...)
	}
	return append(items, draw.Rect(part, draw.Pen{Width: draw.Medium, Colour: draw.Soft}, 0).Moved(fit))
}

// threadsLong is the length of the warp arrow beside a picture, in mm.
const threadsLong = 24

// stripEnds writes the lengths under a strip's ends and the warp between them,
// or after them where the strip is short.
func (r Roll) stripEnds(part r2.Box, fit draw.Affine) []draw.Item {
	low := fit.Do(part.Min)
	right := fit.Do(r2.Vec{X: part.Max.X, Y: part.Min.Y})
	from := r.endMark(r2.Vec{X: low.X, Y: low.Y - 1.5}, part.Min.X, draw.Start, draw.Below)
	to := r.endMark(r2.Vec{X: right.X, Y: low.Y - 1.5}, part.Max.X, draw.End, draw.Below)
	fromEnd, toEnd := from.Bounds().Max.X, to.Bounds().Max.X
	if to.Bounds().Min.X < fromEnd+2 { // no room for both under a short strip
		to.At.X, to.Align = fromEnd+2, draw.Start
		to.String = "to " + to.String
		toEnd = to.Bounds().Max.X
	}
	const word = 10 // room of the word
	mid := (low.X+right.X)/2 - (threadsLong+word)/2
	if mid < fromEnd+2 || mid+threadsLong+word > to.Bounds().Min.X-2 {
		mid = toEnd + 4
	}
	warp := draw.Text{At: r2.Vec{X: mid + threadsLong + 1.5, Y: low.Y - 3.8}, String: "warp", Size: draw.Small, Rise: draw.MidHeight, Colour: draw.Soft}
	items := []draw.Item{from, to, warp}
	return append(items, draw.MoveAll(draw.Move(r2.Vec{X: mid, Y: low.Y + 1}), rollThreads(r2.NewBox(0, 0, 1000, 1), threadsLong))...)
}

// endMark writes a length of the roll that is drawn in millimetres.
func (r Roll) endMark(at r2.Vec, mm float64, align draw.Align, rise draw.Rise) draw.Text {
	return draw.Text{At: at, String: r.shown(si.Length(mm / 1000)), Size: draw.Small, Align: align, Rise: rise, Colour: draw.Soft}
}

// boxIn is a part of the roll as it stands on paper.
func boxIn(part r2.Box, fit draw.Affine) r2.Box {
	return geom.Polygon(fit.All(part.Vertices())).Bounds()
}

// boxHas reports that a point on paper falls in a part of the roll.
func boxHas(part r2.Box, fit draw.Affine, at r2.Vec) bool {
	b := boxIn(part, fit)
	return b.Min.X <= at.X && at.X < b.Max.X && b.Min.Y <= at.Y && at.Y <= b.Max.Y
}

// keptName says that a remnant is kept, and under which name.
func keptName(k Kept, size float64, fit draw.Affine) []draw.Item {
	return nameIn("keep "+k.Name, fit.All(k.Outline), size)
}

// rollName writes a piece's name at its roomiest place.
func rollName(p Placed, size float64, fit draw.Affine) []draw.Item {
	return nameIn(p.Piece.Name, fit.All(p.Outline()), size)
}

// nameIn writes a name at the roomiest place of an outline, smaller where it must be
// but never under 8 points; an outline too small for that has none.
func nameIn(name string, outline geom.Polygon, size float64) []draw.Item {
	f := newField(outline, nil)
	for ; size >= draw.Small; size-- {
		w, h := blockSize([]string{name}, size)
		if at, ok := f.free.nearest(w+2*size/28, h+size/28, f.spot); ok {
			return []draw.Item{draw.Text{At: at, String: name, Size: size, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink}}
		}
	}
	return nil
}
