// Package outline answers where lines run that a job file draws on a part: circles
// and polygons seen along an axis, for cut-outs, trim lines and places that cloth
// lies in. Lengths are metres.
//
// It does not know the part: what it is drawn on is its user's.
package outline

import (
	"math"

	"go.yaml.in/yaml/v4"
	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Outline is a closed line of points in a plane; corner rounds its corners.
type Outline struct {
	bind.Points2
	Corner si.Length
}

// Circle is round about at. It goes along its axis, the surface's normal there where
// it is left out.
type Circle struct {
	Diameter si.Length       `yaml:"diameter"`
	At       bind.Point      `yaml:"at"`
	Axis     *bind.Direction `yaml:"axis"`
}

// Polygon is an outline about at, seen along the axis: the first coordinate
// runs level (along x for an upright axis), the second across it.
type Polygon struct {
	Outline Outline         `yaml:"outline"`
	At      bind.Point      `yaml:"at"`
	Axis    *bind.Direction `yaml:"axis"`
}

// Forms is a unit with pairs of numbers and the radius of the corners.
func (Outline) Forms() []any {
	return []any{struct {
		Unit   string      `yaml:"unit"`
		Points [][]float64 `yaml:"points"`
		Corner si.Length   `yaml:"corner"`
	}{}}
}

// Bind reads {unit: mm, points: [[x, y], ...], corner: "20 mm"}.
func (o *Outline) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		o.Points2.Bind(b, path, n)
		return
	}
	rest := *n
	rest.Content = nil
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "corner" {
			b.Into(&o.Corner, path+".corner", n.Content[i+1])
			continue
		}
		rest.Content = append(rest.Content, n.Content[i], n.Content[i+1])
	}
	o.Points2.Bind(b, path, &rest)
}

// Ring returns the outline anticlockwise with its corners rounded.
func (o Outline) Ring(field string) (geom.Polygon, error) {
	ring := geom.Polygon(o.P).Clean(1e-9)
	if err := ring.Valid(); err != nil {
		return nil, &fault.Input{Field: field, What: "the outline is no closed line that keeps clear of itself: " + err.Error(), Do: "list its corners in order, the last not repeated"}
	}
	ring = ring.Anticlockwise()
	if o.Corner == 0 {
		return ring, nil
	}
	return roundCorners(field, ring, float64(o.Corner))
}

// roundCorners puts an arc in place of each corner.
func roundCorners(field string, ring geom.Polygon, r float64) (geom.Polygon, error) {
	const chord = 5e-6 // m, that the arc's chords stand off it
	var out geom.Polygon
	used := make([]float64, len(ring)) // of each side, by its first corner
	for i, p := range ring {
		before, after := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
		u, w := r2.Unit(r2.Sub(p, before)), r2.Unit(r2.Sub(after, p))
		turn := math.Atan2(r2.Cross(u, w), r2.Dot(u, w))
		cut := r * math.Tan(math.Abs(turn)/2)
		used[i] += cut
		used[(i+len(ring)-1)%len(ring)] += cut
		side := math.Copysign(r, turn)
		c := r2.Add(r2.Sub(p, r2.Scale(cut, u)), r2.Vec{X: -u.Y * side, Y: u.X * side})
		steps := max(1, math.Ceil(math.Abs(turn)/(2*math.Acos(max(0.5, 1-chord/r)))))
		for k := range int(steps) + 1 {
			s, co := math.Sincos(turn * float64(k) / steps)
			v := r2.Vec{X: u.Y * side, Y: -u.X * side}
			out = append(out, r2.Add(c, r2.Vec{X: co*v.X - s*v.Y, Y: s*v.X + co*v.Y}))
		}
	}
	for i, p := range ring {
		if l := r2.Norm(r2.Sub(ring[(i+1)%len(ring)], p)); !(r > 0 && used[i] <= l*(1+1e-9)) {
			return nil, &fault.Input{Field: field + ".corner", What: "the corners are rounded by more than the sides have room for", Do: "make the radius less"}
		}
	}
	return out.Clean(1e-9), nil
}
