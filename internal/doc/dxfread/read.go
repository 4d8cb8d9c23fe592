// Package dxfread reads outlines, circles and words back from a DXF file of
// release 12, for the tests that prove the patterns true. It shares no code
// with the writer.
//
// It knows LINE, POLYLINE, CIRCLE and TEXT, and the header values $ACADVER and
// $INSUNITS. Bulges, blocks and splines are refused, not skipped. Lengths are
// those of the file.
package dxfread

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// Drawing is what a file holds.
type Drawing struct {
	Version  string
	Units    int      // $INSUNITS: 4 is millimetres
	Layers   []string // as the table names them
	Entities []Entity
}

// Entity is one thing drawn.
type Entity struct {
	Kind   string // LINE, POLYLINE, CIRCLE, TEXT
	Layer  string
	Points []r2.Vec
	Closed bool
	R      float64 // radius, or height of the words
	Words  string
}

// Area is the area inside a closed entity.
func (e Entity) Area() float64 {
	sum := 0.0
	for i, a := range e.Points {
		sum += r2.Cross(a, e.Points[(i+1)%len(e.Points)]) / 2
	}
	return max(sum, -sum)
}

// On returns the entities of a layer.
func (d Drawing) On(layer string) []Entity {
	var out []Entity
	for _, e := range d.Entities {
		if e.Layer == layer {
			out = append(out, e)
		}
	}
	return out
}

// pair is one group: its code and its value.
type pair struct {
	code  int
	value string
}

// Read reads a file.
func Read(r io.Reader) (Drawing, error) {
	pairs, err := split(r)
	if err != nil {
		return Drawing{}, err
	}
	var d Drawing
	section, last := "", ""
	for i := 0; i < len(pairs); i++ {
		p := pairs[i]
		switch {
		case p.code == 0 && p.value == "SECTION" && i+1 < len(pairs):
			section = pairs[i+1].value
		case p.code == 0 && p.value == "ENDSEC":
			section = ""
		case section == "HEADER" && p.code == 9:
			last = p.value
		case section == "HEADER" && last == "$ACADVER" && p.code == 1:
			d.Version = p.value
		case section == "HEADER" && last == "$INSUNITS" && p.code == 70:
			if d.Units, err = strconv.Atoi(p.value); err != nil {
				return d, err
			}
		case section == "TABLES" && p.code == 0:
			last = p.value
		case section == "TABLES" && last == "LAYER" && p.code == 2:
			d.Layers = append(d.Layers, p.value)
		case section == "ENTITIES" && p.code == 0:
			if err := d.entity(p.value, body(pairs[i+1:])); err != nil {
				return d, fmt.Errorf("group %d: %w", i, err)
			}
		}
	}
	return d, nil
}

func split(r io.Reader) ([]pair, error) {
	var out []pair
	s := bufio.NewScanner(r)
	for s.Scan() {
		code, err := strconv.Atoi(strings.TrimSpace(s.Text()))
		if err != nil {
			return nil, err
		}
		if !s.Scan() {
			return nil, io.ErrUnexpectedEOF
		}
		for _, c := range s.Bytes() {
			if c > '~' {
				return nil, fmt.Errorf("release 12 is seven-bit: %q", s.Text())
			}
		}
		out = append(out, pair{code, strings.TrimRight(s.Text(), "\r")})
	}
	return out, s.Err()
}

// body is the groups up to the next entity.
func body(pairs []pair) []pair {
	for i, p := range pairs {
		if p.code == 0 {
			return pairs[:i]
		}
	}
	return pairs
}

// entity adds what one entity says to the drawing.
func (d *Drawing) entity(kind string, groups []pair) error {
	e := Entity{Kind: kind}
	var a, b r2.Vec
	flags := 0
	for _, g := range groups {
		var err error
		switch g.code {
		case 8:
			e.Layer = g.value
		case 1:
			e.Words = g.value
		case 10:
			a.X, err = strconv.ParseFloat(g.value, 64)
		case 20:
			a.Y, err = strconv.ParseFloat(g.value, 64)
		case 11:
			b.X, err = strconv.ParseFloat(g.value, 64)
		case 21:
			b.Y, err = strconv.ParseFloat(g.value, 64)
		case 40:
			e.R, err = strconv.ParseFloat(g.value, 64)
		case 70:
			flags, err = strconv.Atoi(g.value)
		case 42:
			err = fmt.Errorf("a bulge is not read")
		}
		if err != nil {
			return err
		}
	}
	switch kind {
	case "LINE":
		e.Points = []r2.Vec{a, b}
	case "POLYLINE":
		e.Closed = flags&1 != 0
	case "CIRCLE", "TEXT":
		e.Points = []r2.Vec{a}
	case "VERTEX":
		n := len(d.Entities)
		if n == 0 || d.Entities[n-1].Kind != "POLYLINE" {
			return fmt.Errorf("a vertex without a polyline")
		}
		d.Entities[n-1].Points = append(d.Entities[n-1].Points, a)
		return nil
	case "SEQEND":
		return nil
	default:
		return fmt.Errorf("%s is not read", kind)
	}
	d.Entities = append(d.Entities, e)
	return nil
}
