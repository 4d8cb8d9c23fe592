package mouldbook

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/nest"
)

// sheets shows how the boards lie on the sheets that they are sawn from.
func (w *writer) sheets() {
	s := w.plan.Sheets
	if s == nil || len(s.Sheets) == 0 {
		return
	}
	w.Heading("Sheets")
	text := fmt.Sprintf("%s of %s, %.0f %% used.", heading(fault.Count(s.Needed, "sheet", "sheets")), w.size(s.Length, s.Width), 100*s.Use)
	if w.build.Grain {
		text += " The grain runs along the sheet."
	}
	w.Lead(text + " Saw them apart roughly first; offcuts do as well where a piece fits.")
	const across = 2
	for i := 0; i < len(s.Sheets); i += across {
		wide := (w.Width() - 5) / across
		high := min(wide*float64(s.Width/s.Length)+8, 90)
		for k, box := range draw.Split(w.Room(high), across, 5) {
			if i+k < len(s.Sheets) {
				w.Draw(sheetPicture(s, i+k, box)...)
			}
		}
	}
	if len(s.TooLarge) > 0 {
		w.Para("Larger than a sheet, so to be joined from two: " + strings.Join(s.TooLarge, ", ") + ".")
	}
}

// placed is a piece where it lies on its sheet, m.
func placed(s *job.Sheets, at nest.Placement) geom.Region {
	shift := r2.Vec{X: float64(at.X), Y: float64(at.Y)}
	own := s.Outlines[at.Piece]
	out := geom.Region{Outer: pattern.Place(own.Outer, shift, at.Turn, at.Flipped)}
	for _, h := range own.Holes {
		out.Holes = append(out.Holes, pattern.Place(h, shift, at.Turn, at.Flipped))
	}
	return out
}

func sheetPicture(s *job.Sheets, i int, box r2.Box) []draw.Item {
	whole := r2.NewBox(0, 0, float64(s.Length), float64(s.Width))
	room := box
	room.Max.Y -= 6
	fit := draw.Fit(whole, room)
	out := []draw.Item{draw.Text{At: r2.Vec{X: box.Min.X, Y: box.Max.Y}, String: fmt.Sprintf("Sheet %d", i+1), Size: draw.Small, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink},
		draw.Rect(whole, draw.Pen{Width: draw.Medium, Colour: draw.Soft}, draw.Ground).Moved(fit)}
	for _, at := range s.Sheets[i].Placements {
		r := placed(s, at)
		out = append(out, draw.Path{Points: fit.All(r.Outer), Closed: true, Fill: draw.Wash, Pen: draw.InkPen(draw.Fine)})
		for _, h := range r.Holes {
			out = append(out, draw.Path{Points: fit.All(h), Closed: true, Fill: draw.Ground, Pen: draw.InkPen(draw.Fine)})
		}
		out = append(out, draw.Text{At: fit.Do(r.Outer.Bounds().Center()), String: at.Piece, Size: draw.Small, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink})
	}
	return out
}

// SheetPage draws one sheet at full size, for a machine that saws it: outlines on cut.
func SheetPage(s *job.Sheets, i int) draw.Page {
	full := draw.FromMetres()
	pg := draw.NewPage(fmt.Sprintf("sheet %d", i+1), 1000*float64(s.Length), 1000*float64(s.Width))
	for _, at := range s.Sheets[i].Placements {
		r := placed(s, at)
		for _, ring := range append([]geom.Polygon{r.Outer}, r.Holes...) {
			pg.Add(draw.Cut, draw.Ring(draw.InkPen(0.35), full.All(ring)))
		}
		pg.Add(draw.Words, draw.Text{At: full.Do(r.Outer.Bounds().Center()), String: at.Piece, Size: 40, Face: draw.Bold, Align: draw.Centre, Rise: draw.MidHeight, Colour: draw.Ink})
	}
	pg.Add(draw.Mark, draw.Rect(pg.Box(), draw.InkPen(0.25), 0))
	return *pg
}
