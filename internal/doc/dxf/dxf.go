// Package dxf writes one drawn page as a DXF file of release 12 in text, the
// form that every cutter's program reads.
//
// Units and axes: millimetres, y up, origin at the page's lower left corner.
// Release 12 has no unit of its own, so a reader that asks must be told
// millimetres; $INSUNITS is put all the same for later readers that look for
// it, and a pattern carries a check square and its unit in words.
//
// Layers keep the drawing's names, in lower case: cut, knife, lap, mark, carrier,
// warp, text. (Names
// in this format do not tell case apart.) The layer "paper" is left out: it is
// the furniture of a printed page. Fills, colours and pen widths of single
// items are left out too, and so are facets and the clip of words: a knife has
// no use for them. Dashed lines keep the line type DASHED.
package dxf

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// Write writes the page as one DXF file.
func Write(w io.Writer, page draw.Page) error {
	if err := page.Check(); err != nil {
		return fmt.Errorf("dxf: %w", err)
	}
	e := &encoder{}
	layers := written(page)
	e.header(page)
	e.tables(layers)
	e.group(0, "SECTION")
	e.group(2, "ENTITIES")
	for _, l := range layers {
		for _, it := range l.Items {
			e.item(l.Name, it)
		}
	}
	e.group(0, "ENDSEC")
	e.group(0, "EOF")
	_, err := w.Write(e.buf.Bytes())
	return err
}

// written are the layers that go into the file.
func written(page draw.Page) []draw.Layer {
	var out []draw.Layer
	for _, l := range page.Layers {
		if l.Name != draw.Paper {
			out = append(out, l)
		}
	}
	return out
}

// encoder writes group codes and values, each on a line of its own.
type encoder struct{ buf bytes.Buffer }

func (e *encoder) group(code int, value string) {
	fmt.Fprintf(&e.buf, "%3d\r\n%s\r\n", code, value)
}

func (e *encoder) int(code, value int) { e.group(code, strconv.Itoa(value)) }

// real writes a number to a millionth of a millimetre, so that reading back
// loses nothing that matters to an area.
func (e *encoder) real(code int, x float64) {
	e.group(code, strconv.FormatFloat(math.Round(x*1e6)/1e6+0, 'f', 6, 64))
}

// point writes x under the code and y ten above.
func (e *encoder) point(code int, p r2.Vec) {
	e.real(code, p.X)
	e.real(code+10, p.Y)
}

func (e *encoder) header(page draw.Page) {
	box := page.Box()
	e.group(0, "SECTION")
	e.group(2, "HEADER")
	e.group(9, "$ACADVER")
	e.group(1, "AC1009")
	e.group(9, "$INSUNITS")
	e.int(70, 4) // millimetres
	e.group(9, "$EXTMIN")
	e.point(10, box.Min)
	e.real(30, 0)
	e.group(9, "$EXTMAX")
	e.point(10, box.Max)
	e.real(30, 0)
	e.group(9, "$LIMMIN")
	e.point(10, box.Min)
	e.group(9, "$LIMMAX")
	e.point(10, box.Max)
	e.group(0, "ENDSEC")
}

// dash is the pattern of the line type DASHED in mm: on, off.
const (
	dashOn  = 4.0
	dashOff = 2.0
)

func (e *encoder) tables(layers []draw.Layer) {
	e.group(0, "SECTION")
	e.group(2, "TABLES")
	e.group(0, "TABLE")
	e.group(2, "LTYPE")
	e.int(70, 2)
	e.lineType("CONTINUOUS", "full")
	e.lineType("DASHED", "dashed", dashOn, -dashOff)
	e.group(0, "ENDTAB")
	e.group(0, "TABLE")
	e.group(2, "LAYER")
	e.int(70, len(layers)+1)
	e.layer("0", 7)
	for _, l := range layers {
		e.layer(l.Name, colourIndex(l.Name))
	}
	e.group(0, "ENDTAB")
	e.group(0, "TABLE")
	e.group(2, "STYLE")
	e.int(70, 1)
	e.style()
	e.group(0, "ENDTAB")
	e.group(0, "ENDSEC")
}

func (e *encoder) lineType(name, words string, pattern ...float64) {
	total := 0.0
	for _, d := range pattern {
		total += math.Abs(d)
	}
	e.group(0, "LTYPE")
	e.group(2, name)
	e.int(70, 0)
	e.group(3, words)
	e.int(72, 65)
	e.int(73, len(pattern))
	e.real(40, total)
	for _, d := range pattern {
		e.real(49, d)
	}
}

func (e *encoder) layer(name string, colour int) {
	e.group(0, "LAYER")
	e.group(2, name)
	e.int(70, 0)
	e.int(62, colour)
	e.group(6, "CONTINUOUS")
}

// colourIndex tells the layers apart on a screen: 1 red, 3 green, 5 blue,
// 6 magenta, 7 black or white, 8 grey.
func colourIndex(layer string) int {
	switch layer {
	case draw.Cut, "knife":
		return 1
	case "lap":
		return 6
	case "carrier":
		return 8
	case draw.Warp:
		return 3
	case draw.Mark:
		return 5
	}
	return 7
}

func (e *encoder) style() {
	e.group(0, "STYLE")
	e.group(2, "STANDARD")
	e.int(70, 0)
	e.real(40, 0)
	e.real(41, 1)
	e.real(50, 0)
	e.int(71, 0)
	e.real(42, 2.5)
	e.group(3, "txt")
	e.group(4, "")
}
