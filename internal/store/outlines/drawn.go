package outlines

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// line is one line of a drawing, in metres.
type line struct {
	layer  string
	name   string // of the thing itself; may be empty
	place  string // in the file, for a person
	points []r2.Vec
	closed bool
}

// drawn is what a reader found.
type drawn struct {
	lines []line
	left  map[string]int
}

// farthest is how far from its origin a drawing may reach, in metres.
const farthest = 1000

// add takes a line; its points are those of the file carried by a transform.
func (d *drawn) add(l line, m affine) error {
	pts := make([]r2.Vec, 0, len(l.points))
	for _, p := range l.points {
		q := m.do(p)
		if math.IsNaN(q.X + q.Y) {
			return fmt.Errorf("%s: one of its numbers is none, or has a unit that is not the drawing's", l.place)
		}
		if !(math.Abs(q.X) <= farthest && math.Abs(q.Y) <= farthest) {
			return fmt.Errorf("%s: a point lies at (%g, %g) of the file, which comes to more than %d m; is the unit right?", l.place, p.X, p.Y, farthest)
		}
		if n := len(pts); n == 0 || pts[n-1] != q {
			pts = append(pts, q)
		}
	}
	if l.points = pts; len(pts) > 1 {
		d.lines = append(d.lines, l)
	}
	return nil
}

func (d *drawn) leave(kind string) {
	if d.left == nil {
		d.left = map[string]int{}
	}
	d.left[kind]++
}

// only keeps the layer that is asked for, or the one called cut where there is one.
func (d *drawn) only(layer string) (string, error) {
	asked := layer != ""
	if !asked {
		layer = "cut"
	}
	on := func(l line) bool { return strings.EqualFold(l.layer, layer) }
	if !slices.ContainsFunc(d.lines, on) {
		if !asked {
			return "", nil
		}
		var names []string
		for _, l := range d.lines {
			if !slices.Contains(names, l.layer) {
				names = append(names, l.layer)
			}
		}
		slices.Sort(names)
		return "", fmt.Errorf("nothing is drawn on layer %q; there is %s", layer, strings.Join(names, ", "))
	}
	var kept []line
	for _, l := range d.lines {
		if on(l) {
			kept = append(kept, l)
		} else {
			d.leave("line on other layers")
		}
	}
	d.lines = kept
	return layer, nil
}

// Outlines smaller than this are specks: no knife turns in them. Metres squared.
const speck = 1e-6

// pieces makes outlines with holes of the lines.
func (d *drawn) pieces(o Options, stem string) (out Drawing, err error) {
	if out.Layer, err = d.only(o.Layer); err != nil {
		return out, err
	}
	closed, open := joined(d.lines)
	out.Open, out.Left = open, d.left
	var rings []line
	for _, l := range closed {
		ring := geom.Polygon(l.points).Clean(Joint / 10)
		if len(ring) < 3 || math.Abs(ring.Area()) < speck {
			out.Specks++
			continue
		}
		if err := ring.Valid(); err != nil {
			return out, fmt.Errorf("%s: the outline crosses or touches itself; draw it as one simple line", l.place)
		}
		l.points = ring.Anticlockwise()
		if !slices.ContainsFunc(rings, func(r line) bool { return alike(r.points, l.points) }) {
			rings = append(rings, l)
		}
	}
	if len(rings) == 0 {
		return out, fmt.Errorf("there is no closed outline%s; draw each piece as a line that ends where it begins", onLayer(out.Layer))
	}
	out.Outlines = nested(rings)
	named(out.Outlines, stem)
	return out, nil
}

func onLayer(layer string) string {
	if layer == "" {
		return ""
	}
	return fmt.Sprintf(" on layer %q", layer)
}

// alike tells whether two rings are one drawn twice.
func alike(a, b geom.Polygon) bool {
	p, q := a.Bounds(), b.Bounds()
	return r2.Norm(r2.Sub(p.Min, q.Min)) < Joint && r2.Norm(r2.Sub(p.Max, q.Max)) < Joint && math.Abs(a.Area()-b.Area()) < Joint*a.Perimeter()
}

// nested tells pieces from holes: a ring in an even number of others is a piece, any
// other a hole of the smallest piece that holds it.
func nested(rings []line) (out []Outline) {
	depth := make([]int, len(rings))
	for i := range rings {
		for j := range rings {
			if holds(rings[j], rings[i]) {
				depth[i]++
			}
		}
	}
	at := make([]int, len(rings)) // the piece that a ring is
	for i, r := range rings {
		if depth[i]%2 == 0 {
			at[i] = len(out)
			out = append(out, Outline{Name: r.name, Ring: r.points})
		}
	}
	for h, r := range rings {
		if depth[h]%2 == 0 {
			continue
		}
		best, least := 0, math.Inf(1)
		for i := range rings {
			if area := geom.Polygon(rings[i].points).Area(); depth[i] == depth[h]-1 && area < least && holds(rings[i], r) {
				best, least = at[i], area
			}
		}
		out[best].Holes = append(out[best].Holes, r.points)
	}
	return out
}

// holds tells whether a ring lies in another: by one of its corners, since rings that
// cross are refused or drawn by mistake.
func holds(outer, inner line) bool {
	o := geom.Polygon(outer.points)
	return math.Abs(o.Area()) > math.Abs(geom.Polygon(inner.points).Area()) && o.Contains(inner.points[0])
}

// named gives each outline a name of its own: those of one name are numbered.
func named(all []Outline, stem string) {
	count := map[string]int{}
	for i := range all {
		all[i].Name = cmp.Or(all[i].Name, stem, "piece")
		count[all[i].Name]++
	}
	number := map[string]int{}
	for i, o := range all {
		for name := o.Name; count[name] > 1 || name != o.Name && count[name] > 0; {
			number[o.Name]++
			name = fmt.Sprintf("%s-%d", o.Name, number[o.Name])
			all[i].Name = name
		}
		if all[i].Name != o.Name {
			count[all[i].Name]++
		}
	}
}
