// Package outlines reads closed outlines from a drawing, DXF in text or SVG, as
// pieces to be cut: each outermost closed line is a piece, a closed line inside it a
// hole, one inside a hole a piece again.
//
// Lengths come out in metres, y up, the hand as it is seen on the screen. The unit is
// that of the file ($INSUNITS; width and view box) unless the caller gives one. Curves
// become chords that leave them by no more than [Sag]; lines and arcs that meet end to
// end within [Joint] are one line. What is no outline (words, dimensions, open lines,
// other layers) is left out and told.
//
// DXF: LINE, LWPOLYLINE, POLYLINE with bulges, ARC, CIRCLE, ELLIPSE, SPLINE by control
// points, and blocks, nested ones too, with INSERT. SVG: path, polygon, polyline, line,
// rect, circle, ellipse, groups with transforms; not use, clips and styles other than
// display. Source: [dxf2012], [svg2011]
package outlines

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"laywright/internal/base/geom"
)

// Sag is how far a chord may leave its curve, and Joint how far apart two ends may be
// that meet, in metres.
const (
	Sag   = 0.05e-3
	Joint = 0.05e-3
)

// Options say how a file is read.
type Options struct {
	Unit  float64 // metres to a unit of the file; 0: as the file says
	Layer string  // the only layer or group to read; none: "cut" if there is one, else all
}

// Outline is one piece.
type Outline struct {
	Name  string // what the drawing calls it, or the file's name with a number
	Ring  geom.Polygon
	Holes []geom.Polygon
}

// Drawing is what a file holds.
type Drawing struct {
	Outlines []Outline
	Layer    string         // that alone was read; empty: all
	Open     int            // lines that close nowhere
	Specks   int            // outlines too small to cut
	Left     map[string]int // what else was left out, by its kind
}

// Read reads a drawing. The name of its file says its form, in capitals or not.
func Read(r io.Reader, name string, o Options) (Drawing, error) {
	var d drawn
	var err error
	switch kind := strings.ToLower(filepath.Ext(name)); kind {
	case ".dxf":
		d, err = readDXF(r, o)
	case ".svg":
		d, err = readSVG(r, o)
	default:
		err = fmt.Errorf("files ending in %q are not read; save the drawing as DXF (in text) or SVG", kind)
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("%s: %w", filepath.Base(name), err)
	}
	out, err := d.pieces(o, strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
	if err != nil {
		return out, fmt.Errorf("%s: %w", filepath.Base(name), err)
	}
	return out, nil
}
