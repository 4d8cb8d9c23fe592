package plydraw

import (
	"fmt"
	"strings"

	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/relay"
)

// numbers is the table of a kind of ply.
func numbers(p job.Plan, k Kind) draw.Table {
	w, ply := wordsOf(p), k.First
	var rows [][]string
	add := func(what, number string) { rows = append(rows, []string{what, number}) }
	largest := degrees(float64(ply.ShearMax))
	if limit := p.Locking(ply.Fabric); limit > 0 {
		largest += " (locks at " + degrees(float64(limit)) + ")"
	}
	add("largest shear", largest)
	add("not passed on 99 % of the part", degrees(float64(ply.ShearP99)))
	add("over the locking angle, near it", w.area(float64(ply.Locked))+", "+w.area(float64(ply.Warning)))
	add("warp off its angle", percent(ply.Turned)+" of the part")
	add("pieces", pieceNames(k))
	if n := len(ply.Seams); n > 0 {
		long := 0.0
		for _, s := range ply.Seams {
			long += float64(s.Length)
		}
		add("slits", fmt.Sprintf("%d, %s together", n, w.length(long)))
	}
	add("cloth inside the trim line", w.area(float64(job.PlyArea(ply))))
	if c, any := covered(p, k); any {
		add("part covered, measured", draw.Number(100*c.Coverage, 2)+" %")
		if c.LapLeast != nil && c.LapMedian != nil {
			add("laps, least and middle", w.length(float64(*c.LapLeast))+", "+w.length(float64(*c.LapMedian)))
		}
		if c.EdgeLeast != nil && c.EdgeMost != nil {
			add("cut edge past the trim line", w.length(float64(*c.EdgeLeast))+" to "+w.length(float64(*c.EdgeMost)))
		}
	}
	return twice(rows)
}

// pieceNames lists the pieces of all plies of the kind.
func pieceNames(k Kind) string {
	var names []string
	for _, ply := range k.Plies {
		for _, piece := range ply.Pieces {
			names = append(names, piece.Name)
		}
	}
	return strings.Join(names, ", ")
}

// twice lays rows of a name and a number out in two columns.
func twice(rows [][]string) draw.Table {
	half := (len(rows) + 1) / 2
	t := draw.Table{Columns: []draw.Column{{Share: 2.1, Face: draw.Bold}, {Share: 1.9}, {Share: 1.9, Face: draw.Bold}, {Share: 1.9}}, Size: draw.Small}
	for i := range half {
		row := append([]string(nil), rows[i]...)
		if half+i < len(rows) {
			row = append(row, rows[half+i]...)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// covered is what a kind of ply covers when its pieces are put back on the mould.
func covered(p job.Plan, k Kind) (relay.Covered, bool) {
	for _, c := range p.Plies.Relaid.Plies {
		if c.Number == k.First.Number {
			return c, true
		}
	}
	return relay.Covered{}, false
}
