package strengthdraw

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/plydraw"
	"laywright/internal/job"
)

// chart is a map about one place.
type chart struct {
	plydraw.Picture
	views  plydraw.Views
	place  r3.Vec
	number string // at the place; empty: there is none to be marked
}

// picture draws a ring and the number at the place, from where it shows.
func (c chart) picture() plydraw.Picture {
	if c.number != "" {
		var from string
		c.views, from = c.views.Seeing(c.place)
		c.Note = strings.TrimSpace(c.Note + " " + from)
	}
	c.Sort, c.Aspect = "Strength", c.views.Aspect()
	return plydraw.Drawn(c.Picture, func(box r2.Box) []draw.Item {
		return c.views.Map(box, func(on plydraw.View) []draw.Item {
			at, shown := on.At(c.place)
			if !shown || c.number == "" {
				return nil
			}
			return plydraw.NewSigns(on.Box()).Ring(at, c.number)
		})
	})
}

// Scene is the picture for a small frame, with its caption: the strength used, from
// where the worst place shows, or, where strengths are not known, the motion.
func Scene(p job.Plan) (_ draw.Scene, caption string, any bool) {
	s := open(p)
	if s == nil {
		return draw.Scene{}, "", false
	}
	c := s.moves()
	if s.Share != nil {
		c = s.used()
	}
	return c.views.On(c.place), c.Caption, true
}

// moves is the map of how far the wall moves, drawn as it moves.
func (s *sheet) moves() chart {
	unit, size := s.words.measure()
	at, most := farthest(s.Move)
	times := math.Max(1, s.times(most))
	m := s.moved(s.Move, times)
	values := make([]float64, len(m.Vertices))
	for v, d := range taken(s, s.Move) {
		values[v] = size * r3.Norm(d)
	}
	limit := s.limit(size)
	note, key := fmt.Sprintf("Drawn %s times as far.", draw.Short(times)), "In the case that moves it most, heat left out. Ring: the farthest."
	if times == 1 {
		note = "Drawn as far as it moves."
	}
	if limit != nil && size*most > *limit {
		key += " Line across the colours: the limit."
	}
	return chart{
		Picture: plydraw.Picture{Name: "strength-moves", Caption: "How far the wall moves", Note: note, Key: key, Table: s.caseTable()},
		views:   s.seen(m, values, scale("moves by", unit, values, limit)),
		place:   r3.Add(s.Mesh.Vertices[at], r3.Scale(times, s.Move[at])),
		number:  show(s.words, s.Deflection),
	}
}

// limit is the job's limit on deflection in units of which so many make a metre.
func (s *sheet) limit(size float64) *float64 {
	d := s.plan.Duty
	if d == nil || d.Loads == nil || d.Loads.Deflection == nil {
		return nil
	}
	limit := size * float64(*d.Loads.Deflection)
	return &limit
}

// used is the map of how much of its strength the wall uses, the factor counted in.
func (s *sheet) used() chart {
	whole := 100.0
	values := s.worst(s.Share)
	for v := range values {
		values[v] *= whole * s.Factor
	}
	r := scale("strength used", "%", values, &whole)
	for v, x := range values { // where heat alone breaks it the limit's line can be drawn round it
		if math.IsInf(x, 1) {
			values[v] = 2 * math.Max(r.High, whole)
		}
	}
	c := chart{
		Picture: plydraw.Picture{Name: "strength-used", Caption: "Strength used, with factor " + draw.Short(s.Factor),
			Key:   fmt.Sprintf("The worst of all cases, plies and criteria; 100 %% is a failure index of 1/%s. Ring: fails first.", draw.Short(s.Factor)),
			Table: s.criteriaTable()},
		views: plydraw.NewViews(s.drawn, values, r),
	}
	if s.broken() || s.Index != nil && *s.Index*s.Factor > 1 {
		c.Key += " Line across the colours: 100 %."
	}
	if s.Worst != nil {
		c.place, c.number = vec(s.Worst.At), percent(s.Worst.Index*s.Factor)
	}
	return c
}

// alike is the share of the wall below which differences of thickness are not drawn.
const alike = 0.02

// wall is the map of how thick the wall came out, with the fasteners by number; of a
// wall that is alike all over only where it has fasteners.
func (s *sheet) wall() (_ plydraw.Picture, any bool) {
	unit, size := s.words.thin()
	values := s.worst(s.Wall)
	least, most := math.Inf(1), 0.0
	for v := range values {
		values[v] *= size
		least, most = min(least, values[v]), max(most, values[v])
	}
	pic := plydraw.Picture{Name: "strength-wall", Caption: "How thick the wall is", Sort: "Strength",
		Note: fmt.Sprintf("From %s to %s %s, cores in it.", draw.Short(least), draw.Short(most), unit), Key: "Sheared cloth lies thicker, and laps lie double.", Table: s.numbers()}
	r := draw.Range{Ramp: draw.Sequential(), Label: "wall", Unit: unit}
	drawn := plydraw.Views.Map
	if ticks := draw.Ticks(least, most, 6); most-least > alike*most && len(ticks) > 1 {
		step := ticks[1] - ticks[0]
		r.Low, r.High = step*math.Floor(least/step), step*math.Ceil(most/step)
	} else {
		values, drawn = nil, plydraw.Views.Bare
		pic.Note, pic.Key = fmt.Sprintf("%s %s everywhere, cores in it.", draw.Short(most), unit), ""
	}
	if len(s.Fasteners) > 0 {
		pic.Key, pic.Table = strings.TrimSpace(pic.Key+" Numbers: fasteners, see the table."), s.fastenerTable()
	}
	v := plydraw.NewViews(s.drawn, values, r)
	pic.Aspect = v.Aspect()
	return plydraw.Drawn(pic, func(box r2.Box) []draw.Item { return drawn(v, box, s.fasteners) }), values != nil || len(s.Fasteners) > 0
}

// fasteners puts the numbers of those that show beside them.
func (s *sheet) fasteners(on plydraw.View) (items []draw.Item) {
	signs := plydraw.NewSigns(on.Box())
	for i, f := range s.Fasteners {
		if at, shown := on.At(vec(f.At)); shown {
			items = append(items, signs.Name(at, fmt.Sprint(i+1))...)
		}
	}
	return items
}

// folds is the shape in which the wall buckles first.
func (s *sheet) folds() plydraw.Picture {
	return s.shape(s.Buckled, "strength-folds", "Folds at "+times(*s.Buckling)+" its load")
}

// swings is the shape of the lowest frequency.
func (s *sheet) swings() plydraw.Picture {
	return s.shape(s.Swing, "strength-swings", "Swings first at "+hertz(*s.Frequency))
}

func (s *sheet) shape(by []r3.Vec, name, caption string) plydraw.Picture {
	at, most := farthest(by)
	times := s.times(most)
	m := s.moved(by, times)
	values := make([]float64, len(m.Vertices))
	for v, d := range taken(s, by) {
		values[v] = r3.Norm(d) / most
	}
	place := r3.Add(s.Mesh.Vertices[at], r3.Scale(times, by[at]))
	scene := s.seen(m, values, draw.Range{Ramp: draw.Sequential(), High: 1.25}).On(place)
	pic := plydraw.Picture{Name: name, Caption: caption, Sort: "Strength", Aspect: 0.62, Table: s.numbers(),
		Key: "A shape without a size. Dark: moves most."}
	return plydraw.Drawn(pic, scene.Draw)
}
