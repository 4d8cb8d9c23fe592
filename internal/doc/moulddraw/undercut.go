package moulddraw

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
	"laywright/internal/stage/mould/release"
)

// undercuts shows the areas that hook or grip, numbered, with the way that the
// wall would have to flex; none where there are none.
func undercuts(p job.Plan) (out plydraw.Picture, any bool) {
	m := p.Mould
	areas := m.Release.Areas
	if len(areas) == 0 {
		return out, false
	}
	weight := map[release.Kind]float64{release.Undercut: 1, release.NoDraft: 0.55, release.LowDraft: 0.3}
	shade := make([]float64, len(m.Surface.Triangles))
	for _, a := range areas {
		for _, f := range a.Faces {
			shade[f] = weight[a.Kind]
		}
	}
	pull := arrowOff(m.Surface, unit(m.Release.Judged.Dir))
	surface, values := valued(m.Surface, shade, true)
	surface, values = room(surface, values, pull)
	v := plydraw.NewViews(surface, values, draw.Range{Ramp: draw.Sequential(), High: 1.25},
		eyesFor(m.Surface, func(f int) bool { return shade[f] == weight[areas[0].Kind] })...)
	far := m.Surface.Diagonal()
	return plydraw.Drawn(plydraw.Picture{Name: "mould-undercut", Caption: "Where it hooks and grips", Aspect: v.Aspect(), Sort: "Off the mould",
		Note:  "Dark: hooks when pulled. Paler: free, but under 1° of draft; palest: under 3°.",
		Key:   "Big arrow: the pull. Small arrows: the way the wall would have to flex there until it comes past. Numbers: see the table.",
		Table: areaTable(plydraw.WordsOf(p), areas)},
		func(box r2.Box) []draw.Item {
			return v.Bare(box, func(on plydraw.View) (items []draw.Item) {
				items = pull.draw(on, 1)
				signs := plydraw.NewSigns(on.Box())
				for i, a := range areas {
					if a.Hook != nil {
						if _, shown := on.At(vec(*a.HookAt)); shown {
							from := vec(*a.HookAt)
							items = append(items, arrow{from, r3.Add(from, r3.Scale(0.1*far, vec(*a.Flex)))}.draw(on, 0.45)...)
						}
					}
					if at, shown := on.At(vec(a.At)); shown {
						items = append(items, signs.Name(at, fmt.Sprint(i+1))...)
					}
				}
				return items
			})
		}), true
}

func areaTable(words plydraw.Words, areas []release.Area) draw.Table {
	t := draw.Table{Columns: []draw.Column{{Head: "No", Share: 0.5}, {Head: "What", Share: 1.2}, {Head: "Area", Share: 1, Align: draw.End}, {Head: "Long", Share: 1, Align: draw.End},
		{Head: "Least draft", Share: 1, Align: draw.End}, {Head: "Flex sideways", Share: 1.1, Align: draw.End}, {Head: "At", Share: 1.8, Align: draw.End}}}
	for i, a := range areas {
		hook := ""
		switch {
		case a.Hook != nil:
			hook = words.Length(float64(*a.Hook))
		case a.Kind == release.Undercut:
			hook = "shut in"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), string(a.Kind), words.Area(float64(a.Area)), words.Length(float64(a.Length)), plydraw.Degrees(float64(a.MinDraft)), hook, words.Place(a.At)})
	}
	return t
}

func vec(a [3]float64) r3.Vec  { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
func unit(a [3]float64) r3.Vec { return r3.Unit(vec(a)) }

func middle(m *mesh.Mesh) r3.Vec {
	b := m.Bounds()
	return r3.Scale(0.5, r3.Add(b.Min, b.Max))
}
