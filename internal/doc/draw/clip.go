package draw

import (
	"gonum.org/v1/gonum/spatial/r2"
)

func inside(p r2.Vec, b r2.Box) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

// meet is the common part of two boxes; an empty first box means everywhere.
func meet(a, b r2.Box) r2.Box {
	if a.Empty() {
		return b
	}
	return r2.Box{
		Min: r2.Vec{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: r2.Vec{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// clipSegment returns the part of a–b in the box as two parameters along it.
// It is the parametric clip of Liang and Barsky. Source: [liang1984].
func clipSegment(a, b r2.Vec, box r2.Box) (t0, t1 float64, ok bool) {
	d := r2.Sub(b, a)
	t0, t1 = 0, 1
	for _, e := range [4][2]float64{
		{-d.X, a.X - box.Min.X}, {d.X, box.Max.X - a.X},
		{-d.Y, a.Y - box.Min.Y}, {d.Y, box.Max.Y - a.Y},
	} {
		p, q := e[0], e[1]
		switch {
		case p == 0:
			if q < 0 {
				return 0, 0, false
			}
		case p < 0:
			t0 = max(t0, q/p)
		default:
			t1 = min(t1, q/p)
		}
	}
	return t0, t1, t0 <= t1
}

// clipLine returns the parts of a polyline that lie in the box. Each is open.
func clipLine(pts []r2.Vec, closed bool, box r2.Box) [][]r2.Vec {
	if closed && len(pts) > 1 {
		pts = append(pts[:len(pts):len(pts)], pts[0])
	}
	var out [][]r2.Vec
	var run []r2.Vec
	flush := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	for i := 0; i+1 < len(pts); i++ {
		a, b := pts[i], pts[i+1]
		t0, t1, ok := clipSegment(a, b, box)
		if !ok {
			flush()
			continue
		}
		d := r2.Sub(b, a)
		if run == nil {
			run = append(run, r2.Add(a, r2.Scale(t0, d)))
		}
		run = append(run, r2.Add(a, r2.Scale(t1, d)))
		if t1 < 1 {
			flush()
		}
	}
	flush()
	return out
}

// clipPolygon returns the polygon cut to the box (Sutherland and Hodgman). A
// hollow polygon cut in two comes back as one ring joined along the border:
// right for a fill, so only fills use it. Source: [sutherland1974].
func clipPolygon(pts []r2.Vec, box r2.Box) []r2.Vec {
	side := []func(r2.Vec) float64{
		func(p r2.Vec) float64 { return p.X - box.Min.X },
		func(p r2.Vec) float64 { return box.Max.X - p.X },
		func(p r2.Vec) float64 { return p.Y - box.Min.Y },
		func(p r2.Vec) float64 { return box.Max.Y - p.Y },
	}
	for _, h := range side {
		var out []r2.Vec
		for i, b := range pts {
			a := pts[(i+len(pts)-1)%len(pts)]
			ha, hb := h(a), h(b)
			if (ha < 0) != (hb < 0) {
				out = append(out, r2.Add(a, r2.Scale(ha/(ha-hb), r2.Sub(b, a))))
			}
			if hb >= 0 {
				out = append(out, b)
			}
		}
		pts = out
	}
	return pts
}

// Clipped cuts the path: the fill as a polygon without a pen, the line as the
// open runs that lie in the box.
func (p Path) Clipped(box r2.Box) []Item {
	b := p.Bounds()
	if inside(b.Min, box) && inside(b.Max, box) {
		return []Item{p}
	}
	var out []Item
	if p.Closed && !p.Fill.None() {
		if ring := clipPolygon(p.Points, box); len(ring) > 2 {
			out = append(out, Path{Points: ring, Closed: true, Fill: p.Fill})
		}
	}
	if p.Pen.Width > 0 {
		for _, run := range clipLine(p.Points, p.Closed, box) {
			out = append(out, Path{Points: run, Pen: p.Pen})
		}
	}
	return out
}

// circleSag is how far a clipped circle's sides leave the circle, in mm: less
// than a tenth of the thinnest pen.
const circleSag = 0.005

// Clipped keeps a circle that lies inside and cuts any other as a polygon.
func (c Circle) Clipped(box r2.Box) []Item {
	b := c.Bounds()
	if inside(b.Min, box) && inside(b.Max, box) {
		return []Item{c}
	}
	return c.Polygon(circleSag).Clipped(box)
}

// Clipped cuts every triangle; a cut one comes back as a fan.
func (f Facets) Clipped(box r2.Box) []Item {
	var out Facets
	for i, t := range f.Tris {
		if inside(t[0], box) && inside(t[1], box) && inside(t[2], box) {
			out.Tris, out.Colours = append(out.Tris, t), append(out.Colours, f.Colours[i])
			continue
		}
		ring := clipPolygon(t[:], box)
		for k := 2; k < len(ring); k++ {
			out.Tris = append(out.Tris, [3]r2.Vec{ring[0], ring[k-1], ring[k]})
			out.Colours = append(out.Colours, f.Colours[i])
		}
	}
	if len(out.Tris) == 0 {
		return nil
	}
	return []Item{out}
}
