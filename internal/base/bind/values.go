package bind

import (
	"errors"

	"go.yaml.in/yaml/v4"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// Formed is a type that reads itself and says in which forms it may be written,
// for the published schema: a text stands for itself, any other value for the
// type it has.
type Formed interface{ Forms() []any }

// Auto is a value that the person gives or leaves to the program: "auto".
// The zero value is auto, so that a key left out means the same.
type Auto[T any] struct {
	Given bool
	Value T
}

// Bind reads "auto" or a T.
func (a *Auto[T]) Bind(b *Binder, path string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode && n.Value == "auto" {
		return
	}
	a.Given = true
	b.Into(&a.Value, path, n)
}

// Forms are "auto" and a T.
func (a Auto[T]) Forms() []any { return []any{"auto", *new(T)} }

// Direction is three bare numbers that point somewhere; it has length 1 after reading.
type Direction struct{ V r3.Vec }

// Bind reads [x, y, z].
func (d *Direction) Bind(b *Binder, path string, n *yaml.Node) {
	var xyz []float64
	b.Into(&xyz, path, n)
	if len(xyz) != 3 || r3.Norm(r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]}) == 0 {
		b.Fail(path, n, "%s is a direction: three numbers, not all 0, like [1, 0, 0]", last(path))
		return
	}
	d.V = r3.Unit(r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]})
}

// Forms is a list of three numbers.
func (Direction) Forms() []any { return []any{[]float64{}} }

// point is a place as it is written.
type point struct {
	Unit string    `yaml:"unit"`
	XYZ  []float64 `yaml:"xyz"`
}

// points is a list of places as it is written.
type points struct {
	Unit   string      `yaml:"unit"`
	Points [][]float64 `yaml:"points"`
}

// pairs is a curve as it is written.
type pairs struct {
	Unit   []string    `yaml:"unit"`
	Points [][]float64 `yaml:"points"`
}

// Forms is a unit with three numbers.
func (Point) Forms() []any { return []any{point{}} }

// Forms is a unit with pairs of numbers.
func (Points2) Forms() []any { return []any{points{}} }

// Forms is a unit with triples of numbers.
func (Points3) Forms() []any { return []any{points{}} }

// Forms is two units with pairs of numbers.
func (Curve[X, Y]) Forms() []any { return []any{pairs{}} }

// Point is a place or a size in space, in metres after reading.
type Point struct{ V r3.Vec }

// Bind reads {unit: mm, xyz: [x, y, z]}.
func (p *Point) Bind(b *Binder, path string, n *yaml.Node) {
	var in point
	before := len(b.Problems)
	b.Into(&in, path, n)
	if len(b.Problems) > before {
		return
	}
	if len(in.XYZ) != 3 {
		b.Fail(path, n, "%s needs three numbers: {unit: mm, xyz: [0, 0, 0]}", last(path))
		return
	}
	if s, ok := b.size(in.Unit, si.Length(0).Kind(), path, n); ok {
		p.V = r3.Scale(s, r3.Vec{X: in.XYZ[0], Y: in.XYZ[1], Z: in.XYZ[2]})
	}
}

// Points2 is a list of points in a plane, in metres after reading.
type Points2 struct{ P []r2.Vec }

// Bind reads {unit: mm, points: [[x, y], ...]}.
func (p *Points2) Bind(b *Binder, path string, n *yaml.Node) {
	rows, s, ok := b.rows(path, n, 2)
	if !ok {
		return
	}
	for _, r := range rows {
		p.P = append(p.P, r2.Vec{X: s * r[0], Y: s * r[1]})
	}
}

// Points3 is a list of points in space, in metres after reading.
type Points3 struct{ P []r3.Vec }

// Bind reads {unit: mm, points: [[x, y, z], ...]}.
func (p *Points3) Bind(b *Binder, path string, n *yaml.Node) {
	rows, s, ok := b.rows(path, n, 3)
	if !ok {
		return
	}
	for _, r := range rows {
		p.P = append(p.P, r3.Vec{X: s * r[0], Y: s * r[1], Z: s * r[2]})
	}
}

func (b *Binder) rows(path string, n *yaml.Node, wide int) ([][]float64, float64, bool) {
	var in points
	before := len(b.Problems)
	b.Into(&in, path, n)
	if len(b.Problems) > before {
		return nil, 0, false
	}
	for i, r := range in.Points {
		if len(r) != wide {
			b.Fail(path, n, "point %d of %s has %d numbers, it needs %d", i+1, last(path), len(r), wide)
			return nil, 0, false
		}
	}
	s, ok := b.size(in.Unit, si.Length(0).Kind(), path, n)
	return in.Points, s, ok
}

func (b *Binder) size(unit string, k si.Kind, path string, n *yaml.Node) (float64, bool) {
	if unit == "" {
		b.Fail(path, n, "%s has no unit; add unit: mm", last(path))
		return 0, false
	}
	s, err := si.Size(unit, k)
	if err != nil {
		b.Fail(path, n, "%s: %v", last(path), err)
	}
	return s, err == nil
}

// Curve is a list of pairs of two quantities, in SI units after reading.
type Curve[X, Y si.Quantity] struct {
	X []X
	Y []Y
}

// Bind reads {unit: [min, degC], points: [[0, 20], [60, 60]]}.
func (c *Curve[X, Y]) Bind(b *Binder, path string, n *yaml.Node) {
	var in pairs
	before := len(b.Problems)
	b.Into(&in, path, n)
	if len(b.Problems) > before {
		return
	}
	if len(in.Unit) != 2 || len(in.Points) == 0 {
		b.Fail(path, n, "%s is a curve: two units and pairs of numbers, like {unit: [min, degC], points: [[0, 20], [60, 60]]}", last(path))
		return
	}
	var x X
	var y Y
	for i, r := range in.Points {
		if len(r) != 2 {
			b.Fail(path, n, "point %d of %s needs two numbers", i+1, last(path))
			return
		}
		px, errX := si.Convert(r[0], in.Unit[0], x.Kind())
		py, errY := si.Convert(r[1], in.Unit[1], y.Kind())
		if err := errors.Join(errX, errY); err != nil {
			b.Fail(path, n, "%s: %v", last(path), err)
			return
		}
		c.X, c.Y = append(c.X, X(px)), append(c.Y, Y(py))
	}
}
