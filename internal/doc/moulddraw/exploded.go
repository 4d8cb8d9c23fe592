package moulddraw

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/mould/release"
)

// apartBy is how far pieces are drawn off their place, as a share of the diagonal.
const apartBy = 0.28

// piece is one piece of a split as it is drawn.
type piece struct {
	by   r3.Vec // how far off its place
	pull arrow
}

// exploded shows the split of the plan, or the first that it offers, pulled apart.
func exploded(p job.Plan) (out plydraw.Picture, any bool) {
	sp := shownSplit(p.Mould)
	if sp == nil {
		return out, false
	}
	pieces := apart(*sp, p.Mould.Surface.Diagonal())
	all, values := &mesh.Mesh{}, []float64(nil)
	var pulls []arrow
	for i, pc := range pieces {
		m := sp.Pieces[i].Mesh
		shade := make([]float64, len(m.Triangles))
		for f := range shade {
			shade[f] = 0.15 + 0.25*float64(i%3)
		}
		m, v := valued(m, shade, false)
		base := int32(len(all.Vertices))
		for _, q := range m.Vertices {
			all.Vertices = append(all.Vertices, r3.Add(q, pc.by))
		}
		for _, t := range m.Triangles {
			all.Triangles = append(all.Triangles, [3]int32{t[0] + base, t[1] + base, t[2] + base})
		}
		values = append(values, v...)
		pulls = append(pulls, pc.pull)
	}
	all, values = room(all, values, pulls...)
	v := plydraw.NewViews(all, values, draw.Range{Ramp: draw.Sequential(), High: 1.5}, r3.Unit(r3.Vec{X: 1, Y: -1, Z: 0.7}))
	words := plydraw.WordsOf(p)
	return plydraw.Drawn(plydraw.Picture{Name: "mould-split", Caption: fmt.Sprintf("The %s in %d pieces, pulled apart", whatSplits(p, *sp), len(pieces)), Aspect: 0.75, Sort: "Off the mould",
		Note:  splitNote(*sp, words),
		Key:   "Arrows: the way each piece leaves, 1 first. Dashes join places that meet when it is closed.",
		Table: pieceTable(words, *sp)},
		func(box r2.Box) []draw.Item {
			return v.Bare(box, func(on plydraw.View) (items []draw.Item) {
				items = append(items, pins(on, *sp, pieces)...)
				signs := plydraw.NewSigns(on.Box())
				for i, pc := range pieces {
					items = append(items, pc.pull.draw(on, 1)...)
					at, _ := on.At(pc.pull.from)
					items = append(items, signs.Name(at, fmt.Sprint(i+1))...)
				}
				return items
			})
		}), true
}

// leaves is the way a piece goes: a part off its mould, or a mould the other way
// off its part.
func leaves(sp release.Split, i int) r3.Vec {
	if sp.Of == release.TheMould {
		return r3.Scale(-1, unit(sp.Pieces[i].Dir))
	}
	return unit(sp.Pieces[i].Dir)
}

// apart moves the pieces off each other. Those that leave away from each other all
// move; of others the last stays and those before it go the farther the earlier
// they leave.
func apart(sp release.Split, far float64) []piece {
	n := len(sp.Pieces)
	away := n == 2 && r3.Dot(leaves(sp, 0), leaves(sp, 1)) < -0.2
	out := make([]piece, n)
	for i := range out {
		e := leaves(sp, i)
		steps := 2 * float64(n-1-i)
		if away {
			steps = 1
		}
		out[i].by = r3.Scale(steps*apartBy*far, e)
		out[i].pull = arrowOff(sp.Pieces[i].Mesh, e)
		out[i].pull.from, out[i].pull.to = r3.Add(out[i].pull.from, out[i].by), r3.Add(out[i].pull.to, out[i].by)
	}
	return out
}

// whatSplits names the part, the plug or the cavity.
func whatSplits(p job.Plan, sp release.Split) string {
	switch {
	case sp.Of == release.ThePart:
		return "part"
	case p.Spec.Mould.Kind == mould.Cavity:
		return "cavity"
	}
	return "plug"
}

// shownSplit is the split that the plan goes by, or would offer first.
func shownSplit(m *mould.Result) *release.Split {
	switch o := m.Release; {
	case m.Way == mould.SplitPart:
		return o.Part
	case m.Way == mould.SplitMould || m.Way == mould.Locked && o.Mould != nil:
		return o.Mould
	case m.Way == mould.Locked:
		return o.Part
	}
	return nil
}

func splitNote(sp release.Split, words plydraw.Words) string {
	say := fmt.Sprintf("Seam: %s.", words.Length(float64(sp.Seam)))
	if sp.Joint.Width > 0 {
		what := "flanges"
		if sp.Of == release.ThePart {
			what = "lap"
		}
		say += fmt.Sprintf(" Width of the %s: %s.", what, words.Length(float64(sp.Joint.Width)))
	}
	if n := len(sp.Joint.Pins); n > 0 {
		say += fmt.Sprintf(" Dots: %d register pins of %s, one off the even spacing.", n, words.Length(float64(sp.Joint.Pin)))
	}
	return say
}

func pieceTable(words plydraw.Words, sp release.Split) draw.Table {
	t := draw.Table{Columns: []draw.Column{{Head: "Piece", Share: 0.6}, {Head: "Leaves along", Share: 1.6}, {Head: "Area", Share: 1, Align: draw.End}, {Head: "Least draft", Share: 1, Align: draw.End}, {Head: "Under 3°", Share: 1, Align: draw.End}}}
	for i, p := range sp.Pieces {
		e := leaves(sp, i)
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), direction(e), words.Area(float64(p.Area)), plydraw.Degrees(max(0, float64(p.MinDraft))), words.Area(float64(p.Low))})
	}
	return t
}

// direction names an axis, or writes the three shares.
func direction(e r3.Vec) string {
	for _, axis := range []struct {
		name string
		is   r3.Vec
	}{{"+x", r3.Vec{X: 1}}, {"-x", r3.Vec{X: -1}}, {"+y", r3.Vec{Y: 1}}, {"-y", r3.Vec{Y: -1}}, {"+z", r3.Vec{Z: 1}}, {"-z", r3.Vec{Z: -1}}} {
		if r3.Dot(e, axis.is) > 1-1e-6 {
			return axis.name
		}
	}
	return draw.Number(e.X, 2) + ", " + draw.Number(e.Y, 2) + ", " + draw.Number(e.Z, 2)
}

// pins draws each register pin as a dash between the first two pieces, and where
// there are none, the beginnings and middles of the seams.
func pins(on plydraw.View, sp release.Split, pieces []piece) (items []draw.Item) {
	dash := draw.Pen{Width: draw.Medium, Colour: draw.Soft, Dash: []float64{1.5, 1}}
	var at []r3.Vec
	for _, p := range sp.Joint.Pins {
		at = append(at, vec(p))
	}
	if len(at) == 0 {
		for _, l := range sp.Lines {
			at = append(at, l[0], l[len(l)/2])
		}
	}
	for _, q := range at {
		a, _ := on.At(r3.Add(q, pieces[0].by))
		b, _ := on.At(r3.Add(q, pieces[1].by))
		items = append(items, draw.Line(dash, a, b))
		if len(sp.Joint.Pins) > 0 {
			items = append(items, draw.Circle{At: r2.Scale(0.5, r2.Add(a, b)), R: 0.9, Fill: draw.Ink})
		}
	}
	return items
}
