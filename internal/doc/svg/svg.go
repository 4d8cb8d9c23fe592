// Package svg writes one drawn page as SVG at true size: width and height are
// millimetres and the view box counts in millimetres, so a browser at 100 % and
// a plotter alike give full size.
//
// Each layer is a group whose id is the layer's name. Numbers have fixed
// decimals; equal pages give equal bytes. Words stay words: they name the Go
// font and carry their true length, so a reader without that font squeezes its
// own to the same space.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// Write writes the page as one SVG file.
func Write(w io.Writer, page draw.Page) error {
	if err := page.Check(); err != nil {
		return fmt.Errorf("svg: %w", err)
	}
	e := &encoder{h: page.H}
	e.printf("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n",
		num(page.W), num(page.H), num(page.W), num(page.H))
	e.printf("<title>%s</title>\n", escape(page.Name))
	for _, l := range page.Layers {
		e.printf("<g id=\"%s\">\n", escape(l.Name))
		for _, it := range l.Items {
			e.item(it)
		}
		e.printf("</g>\n")
	}
	e.printf("</svg>\n")
	_, err := w.Write(e.buf.Bytes())
	return err
}

type encoder struct {
	buf   bytes.Buffer
	h     float64
	clips int
}

func (e *encoder) printf(format string, args ...any) { fmt.Fprintf(&e.buf, format, args...) }

// num writes a length to 1 µm.
func num(x float64) string { return strconv.FormatFloat(math.Round(x*1000)/1000+0, 'f', 3, 64) }

func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer does not fail
	return b.String()
}

// xy turns y over: SVG counts it downwards.
func (e *encoder) xy(p r2.Vec) string { return num(p.X) + " " + num(e.h-p.Y) }

func (e *encoder) item(it draw.Item) {
	switch v := it.(type) {
	case draw.Path:
		e.path(v)
	case draw.Circle:
		e.printf("<circle cx=\"%s\" cy=\"%s\" r=\"%s\"%s/>\n", num(v.At.X), num(e.h-v.At.Y), num(v.R), paint(v.Pen, v.Fill))
	case draw.Facets:
		e.facets(v)
	case draw.Text:
		e.text(v)
	}
}

// paint gives the attributes of pen and fill.
func paint(pen draw.Pen, fill draw.Colour) string {
	s := ` fill="none"`
	if !fill.None() {
		s = fmt.Sprintf(` fill="%s"`, fill.Hex())
	}
	if pen.Width <= 0 || pen.Colour.None() {
		return s
	}
	s += fmt.Sprintf(` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, pen.Colour.Hex(), num(pen.Width))
	if len(pen.Dash) == 0 {
		return s + ` stroke-linecap="round"`
	}
	for i, d := range pen.Dash {
		s += [...]string{" ", ` stroke-dasharray="`}[b2i(i == 0)] + num(d)
	}
	return s + `"`
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (e *encoder) path(p draw.Path) {
	if len(p.Points) < 2 {
		return
	}
	kind, fill := "polyline", draw.Colour(0)
	if p.Closed {
		kind, fill = "polygon", p.Fill
	}
	e.printf("<%s points=\"", kind)
	for i, pt := range p.Points {
		if i > 0 {
			e.buf.WriteByte(' ')
		}
		e.buf.WriteString(num(pt.X) + "," + num(e.h-pt.Y))
	}
	e.printf("\"%s/>\n", paint(p.Pen, fill))
}

// facets writes each run of one colour as one path, with a thin stroke of the
// same colour over the hairline between neighbours.
func (e *encoder) facets(f draw.Facets) {
	for i := 0; i < len(f.Tris); {
		c := f.Colours[i]
		e.printf("<path fill=\"%s\" stroke=\"%s\" stroke-width=\"0.12\" stroke-linejoin=\"round\" d=\"", c.Hex(), c.Hex())
		for ; i < len(f.Tris) && f.Colours[i] == c; i++ {
			t := f.Tris[i]
			e.printf("M%s L%s L%sZ", e.facet(t[0]), e.facet(t[1]), e.facet(t[2]))
		}
		e.printf("\"/>\n")
	}
}

// facet writes a corner to 10 µm, fine enough for a picture.
func (e *encoder) facet(p r2.Vec) string {
	return strconv.FormatFloat(math.Round(p.X*100)/100+0, 'f', 2, 64) + " " + strconv.FormatFloat(math.Round((e.h-p.Y)*100)/100+0, 'f', 2, 64)
}

func (e *encoder) text(t draw.Text) {
	s := draw.Writable(t.String, t.Face)
	if s == "" || t.Size <= 0 {
		return
	}
	at, along := t.Base()
	w := draw.Width(s, t.Face, t.Size)
	at = r2.Add(at, r2.Scale(w*float64(t.Align)/2, along)) // a reader with another font still aligns
	clip := ""
	if !t.Clip.Empty() {
		e.clips++
		size := t.Clip.Size()
		e.printf("<clipPath id=\"clip%d\"><rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/></clipPath>\n", e.clips,
			num(t.Clip.Min.X), num(e.h-t.Clip.Max.Y), num(size.X), num(size.Y))
		clip = fmt.Sprintf("<g clip-path=\"url(#clip%d)\">", e.clips)
	}
	face := [...]string{
		draw.Regular: `font-family="Go, Arial, 'Liberation Sans', sans-serif"`,
		draw.Bold:    `font-family="Go, Arial, 'Liberation Sans', sans-serif" font-weight="bold"`,
		draw.Mono:    `font-family="'Go Mono', 'DejaVu Sans Mono', monospace"`,
	}[t.Face]
	turn := ""
	if along.Y != 0 || along.X != 1 {
		deg := -math.Atan2(along.Y, along.X) * 180 / math.Pi
		turn = fmt.Sprintf(" transform=\"rotate(%s %s)\"", num(deg), e.xy(at))
	}
	anchor := [...]string{draw.Start: "start", draw.Centre: "middle", draw.End: "end"}[t.Align]
	e.printf("%s<text x=\"%s\" y=\"%s\"%s text-anchor=\"%s\" %s font-size=\"%s\" textLength=\"%s\" lengthAdjust=\"spacingAndGlyphs\" fill=\"%s\">%s</text>",
		clip, num(at.X), num(e.h-at.Y), turn, anchor, face, num(t.Size*draw.Point), num(w), t.Inked().Hex(), escape(s))
	if clip != "" {
		e.printf("</g>")
	}
	e.printf("\n")
}
