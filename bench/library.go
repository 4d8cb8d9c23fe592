package main

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"time"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/stage/nest"
)

// unit is a metre in the library's whole numbers.
const unit = 1e6

// result is what the library made of a roll.
type result struct {
	use   float64 // true areas of the pieces / (width × length)
	tried int     // layouts
	wall  float64 // s
}

// library has the library lay the convex hulls of the pieces: with hollow
// outlines its layouts overlap.
func library(program string, r nest.Roll) (result, error) {
	hulls := make([]geom.Polygon, len(r.Pieces))
	area := 0.0
	var in strings.Builder
	fmt.Fprintf(&in, "%.0f %g %d\n", unit*float64(r.Width), float64(r.Search), len(r.Pieces))
	for i, p := range r.Pieces {
		area += float64(p.Count) * math.Abs(p.Outline.Area())
		hulls[i] = geom.Hull(p.Outline).Reversed() // clockwise
		fmt.Fprintf(&in, "%d %d %d", p.Count, min(2, max(1, len(p.Turns))), len(hulls[i]))
		for k, v := range hulls[i] {
			v = r2.Vec{X: math.Round(unit * v.X), Y: math.Round(unit * v.Y)}
			hulls[i][k] = v
			fmt.Fprintf(&in, " %.0f %.0f", v.X, v.Y)
		}
		fmt.Fprintln(&in)
	}
	run := exec.Command(program)
	run.Stdin = strings.NewReader(in.String())
	start := time.Now()
	b, err := run.Output()
	if err != nil {
		return result{}, fmt.Errorf("the library: %w", err)
	}
	out := result{wall: time.Since(start).Seconds()}
	text := bytes.NewReader(b)
	var length float64
	if _, err := fmt.Fscan(text, &length, &out.tried); err != nil {
		return result{}, fmt.Errorf("the library's answer: %w", err)
	}
	out.use = area * unit / (float64(r.Width) * length)
	return out, clear(text, hulls, r)
}

// slack is the overlap in units of length that the library's rounding is
// allowed, along the border of a piece.
const slack = 5

// clear checks the library's layout: every copy within the strip, no two
// overlapping.
func clear(text *bytes.Reader, hulls []geom.Polygon, r nest.Roll) error {
	var laid []geom.Polygon
	for _, p := range r.Pieces {
		for range p.Count {
			var kind int
			var turn, x, y float64
			if _, err := fmt.Fscan(text, &kind, &turn, &x, &y); err != nil {
				return fmt.Errorf("the library's layout: %w", err)
			}
			q := hulls[kind].Turn(turn * math.Pi / 180).Shift(r2.Vec{X: x, Y: y}).Anticlockwise()
			b := q.Bounds()
			if b.Min.Y < -slack || b.Max.Y > unit*float64(r.Width)+slack {
				return fmt.Errorf("the library lays a copy of %q beyond the edge", r.Pieces[kind].Name)
			}
			for _, o := range laid {
				shared, err := geom.IntersectionArea(q, o)
				if err != nil {
					return fmt.Errorf("the library's layout: %w", err)
				}
				if shared > slack*q.Perimeter() {
					return fmt.Errorf("two pieces of the library's layout share %.3g of %.3g", shared, q.Area())
				}
			}
			laid = append(laid, q)
		}
	}
	return nil
}
