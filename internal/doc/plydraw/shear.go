package plydraw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// threadCount is about how many threads are drawn across a piece.
const threadCount = 18

// Shear draws a kind of ply on the mould: its shear in colours with the locking
// angle as a line, threads, slits, and where each piece begins with the direction
// of its warp.
func (a *Album) Shear(k Kind) Picture {
	p, w := a.plan, wordsOf(a.plan)
	grounds := a.groundsOf(k)
	m, shear := joined(grounds)
	if b := k.First.Beside; b != nil {
		m, shear = beside(m, shear, drawable(b).mesh)
	}
	s := newStage(m, a.mould().find)
	s.scene.Values, s.scene.Range = shear, ShearRange(p, k.First.Fabric, shear)
	span := 0.0
	for _, g := range grounds {
		span = max(span, g.span())
	}
	step := w.spacing(span, threadCount)
	var begins []begin
	for _, g := range grounds {
		if !g.patch {
			s.scene.Traces = append(s.scene.Traces, g.yarns(step, s.scene.Range)...)
			begins = append(begins, g.begin(span/4))
		}
	}
	for _, seam := range k.First.Seams {
		s.scene.Traces = append(s.scene.Traces, slitTraces(points(seam.Line))...)
	}
	return Picture{Name: k.stem() + "-shear", Caption: fmt.Sprintf("%s on the mould, %s", k.Label(), k.Cloth()), Aspect: s.aspect(),
		Sort:  "On the mould",
		Note:  fmt.Sprintf("Threads every %s of flat cloth.", w.round(step)),
		Key:   "Full lines run along the warp, fine ones along the weft. Cross in a circle: seed. Arrow: warp. Heavy line on paper: slit, closed on the part.",
		Table: numbers(p, k),
		draw: func(box r2.Box) []draw.Item {
			return withLegend(box, s, func(v seen) (out []draw.Item) {
				for _, b := range begins {
					out = append(out, v.begin(b)...)
				}
				return out
			})
		}}
}

// ShearRange is the scale of a fabric's shear, degrees: it holds the locking
// angle, so that a dark place is one near to it.
func ShearRange(p job.Plan, fabric string, shear []float64) draw.Range {
	top := 10.0
	for _, g := range shear {
		if !math.IsNaN(g) {
			top = max(top, g)
		}
	}
	r := draw.Range{Ramp: draw.Sequential(), Label: "shear", Unit: "°"}
	if limit := p.Locking(fabric).Degrees(); limit > 0 {
		r.Limit = &limit
		top = max(top, limit)
	}
	r.High = math.Ceil(top/5) * 5
	return r
}

// darkFrom is the share of the ramp from which threads are drawn light.
const darkFrom = 0.55

// yarns returns both families of threads, dark on light ground and light on dark.
func (g *ground) yarns(step float64, r draw.Range) (out []draw.Trace) {
	for _, weft := range []bool{true, false} {
		width := 0.22
		if weft {
			width = 0.1
		}
		for _, t := range g.threads(step, weft) {
			from := 0
			for i := range t.face {
				if i+1 < len(t.face) && g.dark(t.face[i+1], r) == g.dark(t.face[i], r) {
					continue
				}
				pen := draw.Pen{Width: width, Colour: draw.Soft}
				if g.dark(t.face[i], r) {
					pen.Colour = draw.Faint
				}
				out = append(out, draw.Trace{Points: t.at[from : i+2], Pen: pen})
				from = i + 1
			}
		}
	}
	return out
}

// dark tells whether a triangle is drawn in a dark colour.
func (g *ground) dark(f int, r draw.Range) bool {
	t := g.mesh.Triangles[f]
	mean := (g.shear[t[0]] + g.shear[t[1]] + g.shear[t[2]]) / 3
	return mean > r.Low+darkFrom*(r.High-r.Low)
}

// slitTraces draws a slit on the surface.
func slitTraces(line []r3.Vec) []draw.Trace {
	return []draw.Trace{{Points: line, Pen: draw.Pen{Width: 0.5 + 2*halo, Colour: draw.Ground}}, {Points: line, Pen: draw.InkPen(draw.Strong)}}
}

func points(line [][3]float64) []r3.Vec {
	out := make([]r3.Vec, len(line))
	for i, p := range line {
		out[i] = r3.Vec{X: p[0], Y: p[1], Z: p[2]}
	}
	return out
}

// begin is where a piece is laid down first, and the way its warp goes from there.
type begin struct {
	seed  r3.Vec
	known bool
	warp  []r3.Vec
}

// lonely is a distance between threads, m, at which there is only the seed's.
const lonely = 1e6

// begin follows the thread from the seed along the warp, as long as given, m.
func (g *ground) begin(long float64) (b begin) {
	b.seed, b.known = g.seedOf()
	for _, t := range g.threads(lonely, false) {
		if line := t.between(0, long); len(line) > len(b.warp) {
			b.warp = line
		}
	}
	return b
}

// between returns the part of a warp thread with flat places from u0 to u1, in
// the warp's direction, if it begins at u0.
func (t thread) between(u0, u1 float64) []r3.Vec {
	if line, from, _ := t.within(u0, u1); from <= u0 {
		return line
	}
	return nil
}

// within returns the part of a warp thread with flat places from u0 to u1, in the
// warp's direction, and from where to where it goes.
func (t thread) within(u0, u1 float64) (out []r3.Vec, from, to float64) {
	at, flat := t.at, t.flat
	if n := len(flat); n > 1 && flat[0].X > flat[n-1].X {
		at, flat = reversed(at), reversed(flat)
	}
	for i := 1; i < len(flat); i++ {
		a, b := flat[i-1].X, flat[i].X
		lo, hi := max(a, u0), min(b, u1)
		if lo >= hi {
			continue
		}
		if len(out) == 0 {
			out, from = append(out, mixed(at[i-1], at[i], (lo-a)/(b-a))), lo
		}
		out, to = append(out, mixed(at[i-1], at[i], (hi-a)/(b-a))), hi
	}
	return out, from, to
}

func mixed(a, b r3.Vec, w float64) r3.Vec { return r3.Add(a, r3.Scale(w, r3.Sub(b, a))) }

func reversed[T any](s []T) []T {
	out := make([]T, len(s))
	for i, x := range s {
		out[len(s)-1-i] = x
	}
	return out
}

// begin draws a seed and its warp's arrow, as far as they are seen.
func (v seen) begin(b begin) (out []draw.Item) {
	at, shown := v.at(b.seed)
	if !b.known || !shown {
		return nil
	}
	var line []r2.Vec
	for _, p := range b.warp {
		q, shown := v.at(p)
		if !shown {
			break
		}
		line = append(line, q)
	}
	return append(arrow(0.6, line...), seedSign(at)...)
}

// Room of a legend under a map, or beside it where the map is lower than lowMap,
// in mm.
const (
	legendWide = 56
	besideWide = 40
	legendSide = 4 // what half of a tick's number takes
	lowMap     = 62
)

// withLegend draws the views with the legend of their colours.
func withLegend(box r2.Box, s stage, on func(v seen) []draw.Item) []draw.Item {
	legend := box
	legend.Max.Y = box.Min.Y + draw.LegendHeight
	if size := box.Size(); size.Y < lowMap && size.X > 3*besideWide {
		views := box
		views.Max.X = box.Max.X - besideWide - viewGap
		legend.Min.X, legend.Max.X = views.Max.X+viewGap+legendSide, box.Max.X-legendSide
		return append(s.draw(views, 0, 0, r2.NewBox(views.Max.X+viewGap, box.Min.Y, box.Max.X, box.Max.Y), on), s.scene.Range.Legend(legend)...)
	}
	legend.Min.X = box.Min.X + legendSide
	room := box.Size().X / float64(len(s.eyes))
	legend.Max.X = legend.Min.X + min(legendWide, room-2*axisRoom-2*legendSide)
	return append(s.draw(box, underLegend, 0, r2.Box{}, on), s.scene.Range.Legend(legend)...)
}
