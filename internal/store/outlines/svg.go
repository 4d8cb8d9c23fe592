package outlines

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// frame is what a group passes on to what stands in it.
type frame struct {
	m      affine
	layer  string
	hidden bool
}

// asides are the elements whose content is not drawn where it stands.
var asides = []string{"defs", "symbol", "clipPath", "mask", "pattern", "marker", "metadata", "title", "desc", "style", "script"}

// readSVG reads a drawing in SVG.
func readSVG(r io.Reader, o Options) (d drawn, err error) {
	dec := xml.NewDecoder(r)
	dec.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // numbers are seven-bit in all
	var stack []frame
	for {
		tok, err := dec.Token()
		switch {
		case errors.Is(err, io.EOF) && stack == nil:
			return d, errors.New("holds no svg element")
		case errors.Is(err, io.EOF):
			return d, nil
		case err != nil:
			return d, err
		}
		switch e := tok.(type) {
		case xml.StartElement:
			n, _ := dec.InputPos()
			x := element{name: e.Name.Local, at: map[string]string{}, line: n}
			for _, a := range e.Attr {
				x.at[a.Name.Local] = a.Value
			}
			next, err := x.frame(stack, o)
			if err != nil {
				return d, err
			}
			stack = append(stack, next)
			if err := x.draw(&d, next); err != nil {
				return d, err
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			if len(stack) == 0 {
				stack = make([]frame, 0, 1) // not nil: there was one
			}
		}
	}
}

// element is one element with its attributes.
type element struct {
	name string
	at   map[string]string
	line int
}

func (x element) place() string { return fmt.Sprintf("line %d, %s", x.line, x.name) }

// frame is the element's own, within those it stands in.
func (x element) frame(stack []frame, o Options) (f frame, err error) {
	if len(stack) == 0 {
		if x.name != "svg" {
			return f, fmt.Errorf("%s: an svg element is expected first", x.place())
		}
		f.m, err = x.root(o)
		return f, err
	}
	f = stack[len(stack)-1]
	if x.name == "svg" {
		return f, fmt.Errorf("%s: a drawing within the drawing is not read; ungroup it where it was drawn", x.place())
	}
	f.hidden = f.hidden || slices.Contains(asides, x.name) || x.at["display"] == "none" || strings.Contains(strings.ReplaceAll(x.at["style"], " ", ""), "display:none")
	if x.name == "g" || x.name == "a" {
		if name := x.label(); name != "" {
			f.layer = name
		}
	}
	if t := x.at["transform"]; t != "" {
		m, err := transform(t)
		if err != nil {
			return f, fmt.Errorf("%s: %w", x.place(), err)
		}
		f.m = f.m.of(m)
	}
	return f, nil
}

// label is what the person who drew it calls an element: its label or its id.
func (x element) label() string {
	if l := x.at["label"]; l != "" {
		return l
	}
	return x.at["id"]
}

// svgUnits are the metres of the units of a width. A pixel is a 96th of an inch.
// Source: [svg2011]
var svgUnits = map[string]float64{"mm": 1e-3, "cm": 1e-2, "in": 0.0254, "pt": 0.0254 / 72, "pc": 0.0254 / 6, "px": 0.0254 / 96, "": 0.0254 / 96}

// root is the carriage from the drawing's own units to metres, y turned up.
func (x element) root(o Options) (affine, error) {
	unit := o.Unit
	if unit == 0 {
		wide, errW := size(x.at["width"])
		high, errH := size(x.at["height"])
		box, errB := numbers(x.at["viewBox"])
		switch {
		case errB != nil || len(box) != 0 && (len(box) != 4 || !(box[2] > 0 && box[3] > 0)):
			return affine{}, fmt.Errorf("%s: the view box %q is no four numbers", x.place(), x.at["viewBox"])
		case errW != nil || errH != nil:
			return affine{}, fmt.Errorf("%s: width %q and height %q do not say how large the drawing is; write unit: mm, in or what one unit of the drawing is", x.place(), x.at["width"], x.at["height"])
		case len(box) == 4:
			unit = min(wide/box[2], high/box[3])
		default:
			unit = svgUnits["px"]
		}
	}
	return scale(unit, -unit), nil
}

// size is a width in metres.
func size(text string) (float64, error) {
	text = strings.TrimSpace(text)
	number := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyz%")
	unit, ok := svgUnits[text[len(number):]]
	v := parsed(number)
	if !ok || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no length", text)
	}
	return v * unit, nil
}

// draw adds the lines of a shape.
func (x element) draw(d *drawn, f frame) error {
	if f.hidden {
		return nil
	}
	subs, err := x.shape(Sag / f.m.growth())
	if err != nil {
		return fmt.Errorf("%s: %w", x.place(), err)
	}
	if subs == nil && slices.Contains([]string{"use", "text", "image", "foreignObject"}, x.name) {
		d.leave(x.name)
	}
	for _, s := range subs {
		l := line{layer: f.layer, name: x.label(), place: x.place(), points: s.points, closed: s.closed}
		if l.name == "" && f.layer != "cut" {
			l.name = f.layer
		}
		if err := d.add(l, f.m); err != nil {
			return err
		}
	}
	return nil
}

// sub is one line of a shape.
type sub struct {
	points []r2.Vec
	closed bool
}

// shape is the lines of an element; nil where it is no shape.
func (x element) shape(sag float64) ([]sub, error) {
	v := func(name string) float64 { return x.length(name) }
	switch x.name {
	case "path":
		return path(x.at["d"], sag)
	case "polygon", "polyline":
		n, err := numbers(x.at["points"])
		if err != nil || len(n)%2 != 0 {
			return nil, fmt.Errorf("its points are no pairs of numbers")
		}
		var pts []r2.Vec
		for i := 0; i < len(n); i += 2 {
			pts = append(pts, r2.Vec{X: n[i], Y: n[i+1]})
		}
		return []sub{{pts, x.name == "polygon"}}, nil
	case "line":
		return []sub{{[]r2.Vec{{X: v("x1"), Y: v("y1")}, {X: v("x2"), Y: v("y2")}}, false}}, nil
	case "circle":
		return []sub{{moved(arc(v("r"), v("r"), 0, 2*math.Pi, sag), shift(v("cx"), v("cy"))), true}}, nil
	case "ellipse":
		return []sub{{moved(arc(v("rx"), v("ry"), 0, 2*math.Pi, sag), shift(v("cx"), v("cy"))), true}}, nil
	case "rect":
		return []sub{{x.rect(sag), true}}, nil
	}
	return nil, nil
}

// length is an attribute in the drawing's own units; NaN for one with another unit,
// which [drawn.add] tells.
func (x element) length(name string) float64 {
	text := strings.TrimSuffix(strings.TrimSpace(x.at[name]), "px")
	if text == "" {
		return 0
	}
	return parsed(text)
}

// rect is a rectangle, its corners rounded where it says so.
func (x element) rect(sag float64) []r2.Vec {
	left, top, w, h := x.length("x"), x.length("y"), x.length("width"), x.length("height")
	rx, ry := x.length("rx"), x.length("ry")
	if x.at["rx"] == "" {
		rx = ry
	}
	if x.at["ry"] == "" {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if !(rx > 0 && ry > 0) {
		return []r2.Vec{{X: left, Y: top}, {X: left + w, Y: top}, {X: left + w, Y: top + h}, {X: left, Y: top + h}}
	}
	var out []r2.Vec
	for i, at := range [4]r2.Vec{{X: left + w - rx, Y: top + ry}, {X: left + w - rx, Y: top + h - ry}, {X: left + rx, Y: top + h - ry}, {X: left + rx, Y: top + ry}} {
		out = append(out, moved(arc(rx, ry, float64(i-1)*math.Pi/2, math.Pi/2, sag), shift(at.X, at.Y))...)
	}
	return out
}
