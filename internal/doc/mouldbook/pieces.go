package mouldbook

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/mould/carve"
)

// Piece is a full-size drawing and the name of its files.
type Piece struct {
	File  string // "board-03"
	Board pattern.Board
}

// Pieces lists all that is sawn for a plan's mould, in the order of the work.
func Pieces(p job.Plan) (out []Piece) {
	if p.Mould == nil || p.Mould.Build == nil {
		return nil
	}
	b := p.Mould.Build
	if b.Stack != nil {
		for _, board := range b.Stack.Boards {
			for _, piece := range board.Pieces {
				out = append(out, boardPiece(p, board, piece))
			}
		}
	}
	if b.Frame != nil {
		for _, f := range b.Frame.Formers {
			out = append(out, former(p, f))
		}
	}
	for _, t := range b.Templates {
		out = append(out, template(p, t))
	}
	for _, g := range b.Gauges {
		out = append(out, gauge(p, g))
	}
	return out
}

func part(p job.Plan) string {
	if p.Job.Part == "" || p.Job.Name == "" {
		return p.Job.Part + p.Job.Name
	}
	return p.Job.Part + " " + p.Job.Name
}

// boardHead names a piece of a board.
func boardHead(b carve.Board, piece carve.Piece, of int) string {
	if b.Number == 0 {
		return "Base board"
	}
	if len(b.Pieces) > 1 {
		return fmt.Sprintf("Piece %s of board %d, %d boards", piece.Name, b.Number, of)
	}
	return fmt.Sprintf("Board %d of %d", b.Number, of)
}

// boardPiece draws one piece of a board.
func boardPiece(p job.Plan, b carve.Board, piece carve.Piece) Piece {
	build := p.Mould.Build
	d := pattern.Board{Part: part(p), Name: piece.Name, Head: boardHead(b, piece, build.Boards), Saw: []geom.Region{piece.Outline}, Datum: datum(build.Axes, piece.Outline)}
	if b.Number > 0 {
		d.Number = fmt.Sprint(b.Number)
		if len(b.Pieces) > 1 {
			d.Number = piece.Name
		}
	}
	d.Facts = []string{fmt.Sprintf("%s %s", mm(b.Thickness), build.BoardMaterial), fmt.Sprintf("stands %s to %s up", mm(float64(b.Foot)), mm(float64(b.Head))), "this side up"}
	if b.Number == 0 {
		d.Facts = []string{d.Facts[0], "this side up: it is the mould's flange"}
	}
	d.Marks = levels(b, piece)
	for _, h := range b.Holes {
		at := r2.Vec{X: h.At[0], Y: h.At[1]}
		if !piece.Outline.Contains(at) {
			continue
		}
		drill := pattern.Drill{At: at, R: float64(h.Diameter) / 2, Blind: h.Below, Label: "through"}
		if h.Below {
			drill.Label = "from below, " + mm(float64(h.Depth)) + " deep"
		} else if h.Above {
			drill.Label = mm(float64(h.Depth)) + " deep"
		}
		d.Drill = append(d.Drill, drill)
	}
	if b.Grain == build.Axes[0] {
		d.Grain = r2.Vec{X: 1}
	} else if b.Grain != "" {
		d.Grain = r2.Vec{Y: 1}
	}
	d.Legend = boardLegend(build, b, len(d.Drill) > 0)
	return Piece{"board-" + piece.Name, d}
}

func boardLegend(build *mould.Build, b carve.Board, drilled bool) (out []string) {
	if b.Number == 0 {
		out = append(out, "Full line: saw. Dashes: the flange's edge; what lies beyond is the land for the bag's tape.")
	} else {
		out = append(out, "Full line: saw, beside it and never inside it.", "Dashes: carve to here at the upper face. Dash and dot: at the lower face, copied onto it. Dots: at a level face between.")
	}
	if drilled {
		out = append(out, fmt.Sprintf("Circles: drill %s, square to the face, through this drawing; a dashed circle from below.", mm(float64(build.Dowel))))
	}
	return append(out, "Thin cross: datum lines. Carry them over the edges of the board before it is glued.")
}

// levels draws the lines to carve to on one piece.
func levels(b carve.Board, piece carve.Piece) (out []pattern.BoardLine) {
	for i, l := range b.Levels {
		kind, label := pattern.Inner, "level at "+mm(l.Z)
		switch {
		case i == len(b.Levels)-1:
			kind, label = pattern.Upper, ""
		case i == 0:
			kind, label = pattern.Lower, ""
		}
		for _, r := range l.Cut {
			for _, ring := range append([]geom.Polygon{r.Outer}, r.Holes...) {
				if len(b.Pieces) == 1 || piece.Outline.Outer.Contains(ring[0]) {
					out = append(out, pattern.BoardLine{Points: ring, Closed: true, Kind: kind, Label: label})
				}
			}
		}
	}
	return out
}

// Datum lines stand at 0 where that lies on the piece, else on a round measure next to
// its middle, m.
const datumRound = 10e-3

func datum(axes [2]string, r geom.Region) *pattern.Datum {
	box := r.Outer.Bounds()
	at := func(low, high float64) float64 {
		if low < 0 && 0 < high {
			return 0
		}
		return math.Round((low+high)/2/datumRound) * datumRound
	}
	d := pattern.Datum{X: at(box.Min.X, box.Max.X), Y: at(box.Min.Y, box.Max.Y)}
	d.AtX, d.AtY = axes[0]+" = "+mm(d.X), axes[1]+" = "+mm(d.Y)
	return &d
}

// outlined shifts a section's drawing nothing and marks its lines.
func sectionDatum(across string, box r2.Box) *pattern.Datum {
	d := &pattern.Datum{}
	if !(box.Min.X < 0 && 0 < box.Max.X) {
		d.X = math.Round((box.Min.X+box.Max.X)/2/datumRound) * datumRound
	}
	d.AtX, d.AtY = across+" = "+mm(d.X), "base line"
	return d
}

func stationName(name string) string {
	if name == "long" {
		return "along"
	}
	return name
}

func template(p job.Plan, t carve.Template) Piece {
	cavity := p.Mould.Build.Stack != nil && p.Mould.Build.Stack.Floor > 0
	d := pattern.Board{Part: part(p), Name: t.Name, Saw: t.Outline, Number: t.Name, Head: "Template " + stationName(t.Name)}
	if t.Name == "long" {
		d.Number = "L"
	}
	d.Datum = sectionDatum(t.Across, t.Outline[0].Outer.Bounds())
	d.Facts = []string{fmt.Sprintf("station %s = %s", t.Axis, mm(float64(t.At))), "seen from " + t.From}
	d.Legend = []string{"Full line: saw, and file to the line. The side that is drawn stands on the station.",
		"It stands with its foot on the base plane (the flange, or the bench) and its upright line over the datum line; no light shows under it when the shape is right."}
	if cavity {
		d.Legend = []string{"Full line: saw, and file to the line. The side that is drawn stands on the station.",
			"It hangs with its bar on the mouth of the mould and its upright line over the datum line; no light shows under it when the shape is right."}
	}
	if t.Halves {
		d.Notes = []string{"In two halves: push them on from both sides until they meet."}
	}
	return Piece{"template-" + t.Name, d}
}

func former(p job.Plan, f carve.Former) Piece {
	build := p.Mould.Build
	d := pattern.Board{Part: part(p), Name: f.Name, Saw: f.Outline, Number: f.Name, Head: "Station " + f.Name}
	file := "station-" + f.Name
	if f.Name == "long" {
		d.Head, d.Number, file = "Spine", "S", "spine"
	}
	var box geom.Polygon
	for _, r := range f.Outline {
		box = append(box, r.Outer...)
	}
	d.Datum = sectionDatum(f.Across, box.Bounds())
	d.Facts = []string{fmt.Sprintf("%s = %s, seen from %s", f.Axis, mm(float64(f.At)), f.From), fmt.Sprintf("%s thick, skin %s", mm(float64(build.BoardThickness)), mm(float64(build.Frame.Skin)))}
	for _, r := range f.Section {
		d.Marks = append(d.Marks, pattern.BoardLine{Points: r.Outer, Closed: true, Kind: pattern.Shape})
	}
	d.Legend = []string{"Full line: saw. Dashes: the finished shape, over the skin.",
		fmt.Sprintf("Slots: %s wide, as thick as the board that goes in; half the height each.", mm(float64(build.BoardThickness))),
		"The side that is drawn stands on the station and looks away from the middle of the mould; bevel the other edge where the skin wants it."}
	return Piece{file, d}
}

func gauge(p job.Plan, g carve.Gauge) Piece {
	r := mm(float64(g.Radius))
	d := pattern.Board{Part: part(p), Name: g.Name, Head: "Gauge, radius " + r, Number: g.Name, Saw: []geom.Region{g.Outline.Region()},
		Facts:  []string{"round end: for the hollow", "hollow end: for the edge"},
		Legend: []string{"Full line: saw and file. Draw the round end along the wet filler in the hollow; lay the hollow end over the edge."}}
	return Piece{"gauge-" + g.Name, d}
}
