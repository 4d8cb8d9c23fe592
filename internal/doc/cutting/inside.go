package cutting

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
)

// inside lists what is cut in a piece: holes, slits and snips.
func (h *hand) inside(p pattern.Piece) {
	t := draw.Table{Columns: []draw.Column{{Head: "inside", Share: 2.2}, {Head: "along", Share: 1.4, Align: draw.End}, {Head: "across", Share: 1.4, Align: draw.End}, {Head: "", Share: 7}}}
	row := func(what string, at r2.Vec, then string) {
		t.Rows = append(t.Rows, []string{what, h.rule.text(at.X), h.rule.text(at.Y), then})
	}
	var odd []geom.Polygon
	for i, ring := range p.Holes {
		if at, r, ok := round(ring); ok {
			row(fmt.Sprintf("hole %d", i+1), at, "round, this is its middle; diameter "+h.rule.text(2*r))
			continue
		}
		odd = append(odd, ring)
	}
	for i, line := range p.Knife {
		h.line(row, fmt.Sprintf("slit %d", i+1), line, p.Stops)
	}
	for i, line := range p.Notches {
		h.line(row, fmt.Sprintf("snip %d", i+1), line, nil)
	}
	if len(t.Rows) > 0 {
		h.Table(t)
	}
	for _, ring := range odd {
		h.Table(h.corners(sidesOf(ring, h.rule.step()), "hole, "))
	}
}

// line lists the bends of a slit or a snip from end to end.
func (h *hand) line(row func(what string, at r2.Vec, then string), what string, line []r2.Vec, stops []pattern.Stop) {
	bends := opened(line)
	for k, at := range bends {
		var then []string
		for _, s := range stops {
			if r2.Norm(r2.Sub(s.At, at)) < s.Radius+sideTol {
				then = append(then, "at the round, "+h.rule.text(2*s.Radius)+" wide: no further")
			}
		}
		if k+1 < len(bends) {
			then = append(then, "straight, "+h.rule.text(r2.Norm(r2.Sub(bends[k+1], at))))
		}
		row(what, at, strings.Join(then, "; "))
		what = ""
	}
}

// opened are the bends of an open line within [sideTol].
func opened(line []r2.Vec) []r2.Vec {
	if len(line) < 3 {
		return line
	}
	worst, at := 0.0, 0
	a, b := line[0], line[len(line)-1]
	for i, p := range line {
		if d := geom.SegmentDistance(p, a, b); d > worst {
			worst, at = d, i
		}
	}
	if worst <= sideTol {
		return []r2.Vec{a, b}
	}
	return append(opened(line[:at+1]), opened(line[at:])[1:]...)
}

// round tells whether a ring is a circle within [sideTol].
func round(ring geom.Polygon) (at r2.Vec, radius float64, ok bool) {
	if len(ring) < 8 {
		return at, 0, false
	}
	at = ring.Centroid()
	radius = math.Sqrt(math.Abs(ring.Area()) / math.Pi)
	for _, p := range ring {
		if !(math.Abs(r2.Norm(r2.Sub(p, at))-radius) <= sideTol) {
			return at, radius, false
		}
	}
	return at, radius, true
}
