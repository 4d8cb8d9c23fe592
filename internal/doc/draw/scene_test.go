package draw

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// unitCube is the unit cube, outward facing.
func unitCube() Scene {
	var s Scene
	for i := range 8 {
		s.Vertices = append(s.Vertices, r3.Vec{X: float64(i & 1), Y: float64(i >> 1 & 1), Z: float64(i >> 2)})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		s.Triangles = append(s.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return s
}

// Seen along its diagonal a unit cube is a regular hexagon 2√(2/3) high. Each
// vertex is given its own nearness to the eye as value, so the colour on paper
// tells how deep one sees. The ray through a point q of the picture leaves the
// cube at the least of the distances (b − q)/e to the three faces turned to the
// eye e; nothing behind that may show.
func TestOnlyTheFrontOfACubeShows(t *testing.T) {
	s := unitCube()
	e := Isometric()
	for _, p := range s.Vertices {
		s.Values = append(s.Values, r3.Dot(p, e))
	}
	s.Range, s.Flat = Range{Ramp: Sequential(), Low: -0.6, High: 1.2}, true
	box := r2.NewBox(0, 0, 100, 100)
	v := s.View(box)
	near(t, "height of the picture", v.fit.Scale()*2*math.Sqrt(2.0/3), 100, 1e-9)
	top := map[[2]int]Colour{}
	for _, it := range s.Draw(box) {
		f := it.(Facets)
		for i, tri := range f.Tris {
			b := boxOf(tri[:])
			for y := int(b.Min.Y); y <= int(b.Max.Y); y++ {
				for x := int(b.Min.X); x <= int(b.Max.X); x++ {
					if within(r2.Vec{X: float64(x) + 0.5, Y: float64(y) + 0.5}, tri) {
						top[[2]int{x, y}] = f.Colours[i]
					}
				}
			}
		}
	}
	near(t, "area of the hexagon", float64(len(top))/(v.fit.Scale()*v.fit.Scale()), math.Sqrt(3), 0.01)
	step := (s.Range.High - s.Range.Low) / Shades
	for at, c := range top {
		q := v.under(r2.Vec{X: float64(at[0]) + 0.5, Y: float64(at[1]) + 0.5})
		d := min((b01(e.X)-q.X)/e.X, (b01(e.Y)-q.Y)/e.Y, (b01(e.Z)-q.Z)/e.Z)
		if c != s.Range.Colour(d) && c != s.Range.Colour(d-step) && c != s.Range.Colour(d+step) {
			t.Fatalf("at %v the colour is %s, the front lies at %.3f with %s", at, c.Hex(), d, s.Range.Colour(d).Hex())
		}
	}
}

// b01 is the face of the unit cube that an eye in direction e sees.
func b01(e float64) float64 {
	if e > 0 {
		return 1
	}
	return 0
}

// under returns the point of space at depth nought that falls at p on paper.
func (v View) under(p r2.Vec) r3.Vec {
	k := v.fit.Scale()
	x, y := (p.X-v.fit.E)/k, (p.Y-v.fit.F)/k
	return r3.Add(r3.Scale(x, v.right), r3.Scale(y, v.up))
}

func within(p r2.Vec, t [3]r2.Vec) bool {
	a, b, c := r2.Cross(r2.Sub(t[1], t[0]), r2.Sub(p, t[0])), r2.Cross(r2.Sub(t[2], t[1]), r2.Sub(p, t[1])), r2.Cross(r2.Sub(t[0], t[2]), r2.Sub(p, t[2]))
	return a >= 0 && b >= 0 && c >= 0 || a <= 0 && b <= 0 && c <= 0
}

// A picture must not be mirrored: from in front, with z up, +x is on the right;
// from above y is up.
func TestViewKeepsHandedness(t *testing.T) {
	s := unitCube()
	for _, c := range []struct{ eye, right, up r3.Vec }{
		{r3.Vec{Y: -1}, r3.Vec{X: 1}, r3.Vec{Z: 1}},
		{r3.Vec{Z: 1}, r3.Vec{X: 1}, r3.Vec{Y: 1}},
		{r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}},
	} {
		s.Eye = c.eye
		v := s.View(r2.NewBox(0, 0, 10, 10))
		o, _ := v.At(r3.Vec{})
		r, _ := v.At(c.right)
		u, _ := v.At(c.up)
		if d := r2.Sub(r, o); !(d.X > 0 && math.Abs(d.Y) < 1e-9) {
			t.Errorf("eye %v: right goes to %v", c.eye, d)
		}
		if d := r2.Sub(u, o); !(d.Y > 0 && math.Abs(d.X) < 1e-9) {
			t.Errorf("eye %v: up goes to %v", c.eye, d)
		}
	}
}

// The line of a limit on a slope is straight and where the value says; a trace
// behind the cube is not drawn, one in front is drawn whole.
func TestLimitLineAndHiddenTraces(t *testing.T) {
	limit := 0.25
	s := Scene{
		Vertices:  []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
		Values:    []float64{0, 1, 1, 0}, // the value is x
		Range:     Range{Ramp: Sequential(), Low: 0, High: 1, Limit: &limit},
		Eye:       r3.Vec{Z: 1}, Flat: true,
	}
	sum := 0.0
	for _, it := range s.Draw(r2.NewBox(0, 0, 80, 80)) {
		if p, ok := it.(Path); ok {
			for _, q := range p.Points {
				near(t, "x of the limit", q.X, 20, 1e-9)
			}
			sum += length(p.Points)
		}
	}
	near(t, "length of the limit", sum, 80, 1e-6)

	c := unitCube()
	c.Eye = r3.Vec{Y: -1}
	for _, tr := range []struct{ y, want float64 }{{0, 60}, {1, 0}} {
		c.Traces = []Trace{{Points: []r3.Vec{{X: 0.2, Y: tr.y, Z: 0.5}, {X: 0.5, Y: tr.y, Z: 0.5}, {X: 0.8, Y: tr.y, Z: 0.5}}, Pen: InkPen(Strong)}}
		sum := 0.0
		for _, it := range c.Draw(r2.NewBox(0, 0, 100, 100)) {
			if p, ok := it.(Path); ok {
				sum += length(p.Points)
			}
		}
		near(t, "trace shown", sum, tr.want, 1e-6)
	}
}

// A coarse mesh is divided where the map needs it, and the parts cover the whole.
func TestDividedFacetsCoverTheSurface(t *testing.T) {
	s := Scene{
		Vertices:  []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
		Values:    []float64{0, 0.3, 1, 0.6},
		Range:     Range{Ramp: Sequential(), Low: 0, High: 1},
		Eye:       r3.Vec{Z: 1}, Flat: true,
	}
	sum, colours := 0.0, map[Colour]bool{}
	for _, it := range s.Draw(r2.NewBox(0, 0, 50, 50)) {
		f := it.(Facets)
		for i, tri := range f.Tris {
			sum += math.Abs(area(tri[:]))
			colours[f.Colours[i]] = true
		}
	}
	near(t, "area", sum, 2500, 1e-6)
	if len(colours) < Shades-4 || len(colours) > Shades {
		t.Errorf("%d colours, want about %d", len(colours), Shades)
	}
}
