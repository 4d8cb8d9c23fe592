// Package hpgl writes one drawn page as HP-GL, the language that pen plotters
// and knife plotters read, at true size.
//
// Units and axes. A plotter unit is 0.025 mm, 40 to the millimetre; nothing is
// scaled. x runs along the paper, y across it, origin at the page's lower left
// corner. A place is rounded to the nearest unit, so it is true to 0.013 mm.
// Numbers are whole and carry no exponent. The first plotters of this language
// end at 32,767 units, 819 mm; a longer page needs one that reads HP-GL/2, whose
// numbers reach 8,388,607 units, and a page beyond that is refused.
//
// A file is for a pen or for a knife. For a [Pen] it holds every layer but the
// furniture of printed paper, each with a pen number of its own ([PenOf]): dashes
// are drawn dash by dash and words with the plotter's own letters, stretched to
// their true length. For a [Knife] it holds the layers cut and knife alone, in
// full lines with tool 1, the cuts inside a piece before the line round it: a
// machine with a single tool would cut words and marks into the cloth. How far a
// knife trails its holder, and how deep it goes, is set on the machine.
//
// Source: [hpgl1997]
package hpgl

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// Tool is what the plotter holds.
type Tool uint8

// Pen draws everything, Knife cuts.
const (
	Pen Tool = iota
	Knife
)

// PerMM is the number of plotter units to a millimetre.
const PerMM = 40

// maxUnit is the largest coordinate that a plotter of the second language reads:
// 2²³ − 1 units.
const maxUnit = 1<<23 - 1

// knifeLayer holds the cuts inside a piece.
const knifeLayer = "knife"

// PenOf is the pen that draws a layer: 1 cut, 2 knife, 3 marks and laps, 4 warp,
// 5 words and what else there is.
func PenOf(layer string) int {
	switch layer {
	case draw.Cut:
		return 1
	case knifeLayer:
		return 2
	case draw.Mark, "lap":
		return 3
	case draw.Warp:
		return 4
	}
	return 5
}

// Write writes the page as one HP-GL file for a tool.
func Write(w io.Writer, page draw.Page, tool Tool) error {
	if err := page.Check(); err != nil {
		return fmt.Errorf("hpgl: %w", err)
	}
	if side := max(page.W, page.H); side*PerMM > maxUnit {
		return fmt.Errorf("hpgl: the page is %.0f mm long; a plotter counts to %.0f mm: write DXF or SVG", side, float64(maxUnit)/PerMM)
	}
	e := &encoder{tool: tool}
	e.op("IN;")
	for _, l := range ordered(page, tool) {
		e.layer(l)
	}
	e.op("PU0,0;SP0;")
	_, err := w.Write(e.buf.Bytes())
	return err
}

// ordered are the layers that a tool draws, in its order: what is inside a piece
// comes before the line that frees it.
func ordered(page draw.Page, tool Tool) (out []draw.Layer) {
	var last []draw.Layer
	for _, l := range page.Layers {
		switch {
		case l.Name == draw.Cut:
			last = append(last, l)
		case l.Name == knifeLayer, tool == Pen && l.Name != draw.Paper:
			out = append(out, l)
		}
	}
	return append(out, last...)
}

type encoder struct {
	buf  bytes.Buffer
	tool Tool
	now  int // the tool's number in use
}

func (e *encoder) op(s string) {
	e.buf.WriteString(s)
	e.buf.WriteByte('\n')
}

func (e *encoder) layer(l draw.Layer) {
	pen := 1
	if e.tool == Pen {
		pen = PenOf(l.Name)
	}
	if pen != e.now && len(l.Items) > 0 {
		e.now = pen
		e.op(fmt.Sprintf("SP%d;", pen))
	}
	for _, it := range l.Items {
		switch v := it.(type) {
		case draw.Path:
			e.path(v)
		case draw.Circle:
			e.path(v.Polygon(circleSag))
		case draw.Text:
			if e.tool == Pen {
				e.text(v)
			}
		}
	}
}

// circleSag is how far a circle's sides leave it, in mm: half a unit.
const circleSag = 0.5 / PerMM

// path draws a line; one without a pen is only a fill and is left out.
func (e *encoder) path(p draw.Path) {
	if p.Pen.Width <= 0 || len(p.Points) < 2 {
		return
	}
	pts := p.Points
	if p.Closed {
		pts = append(pts[:len(pts):len(pts)], pts[0])
	}
	if e.tool == Knife || len(p.Pen.Dash) == 0 {
		e.line(pts)
		return
	}
	for _, dash := range dashes(pts, p.Pen.Dash) {
		e.line(dash)
	}
}

// mostPoints bounds the points of one instruction: old plotters hold a line of
// instructions in a buffer of some hundred bytes.
const mostPoints = 24

// line moves to the first point and draws to the others; a point that falls on
// the unit of the one before is left out.
func (e *encoder) line(pts []r2.Vec) {
	last := units(pts[0])
	fmt.Fprintf(&e.buf, "PU%d,%d;", last[0], last[1])
	n := 0
	for i, p := range pts[1:] {
		u := units(p)
		if u == last && !(n == 0 && i == len(pts)-2) {
			continue
		}
		if n%mostPoints == 0 {
			if n > 0 {
				e.buf.WriteByte(';')
			}
			e.buf.WriteString("\nPD")
		} else {
			e.buf.WriteByte(',')
		}
		fmt.Fprintf(&e.buf, "%d,%d", u[0], u[1])
		last = u
		n++
	}
	e.op(";PU;")
}

func units(p r2.Vec) [2]int {
	return [2]int{int(math.Round(p.X * PerMM)), int(math.Round(p.Y * PerMM))}
}
