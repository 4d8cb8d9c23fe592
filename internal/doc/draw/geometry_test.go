package draw

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// near fails unless got is within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g ± %.2g", what, got, want, tol)
	}
}

// area is the shoelace area, counter-clockwise positive.
func area(pts []r2.Vec) float64 {
	sum := 0.0
	for i, a := range pts {
		sum += r2.Cross(a, pts[(i+1)%len(pts)])
	}
	return sum / 2
}

func length(pts []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += r2.Norm(r2.Sub(pts[i], pts[i-1]))
	}
	return sum
}

// wild is a star-shaped polygon with deep hollows.
func wild(rng *rand.Rand, n int) []r2.Vec {
	pts := make([]r2.Vec, n)
	for i := range pts {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := 10 + 90*rng.Float64()
		pts[i] = r2.Vec{X: r * c, Y: r * s}
	}
	return pts
}

// The parts of a shape in the four quarters make up the whole: an identity of
// areas for the fill and of lengths for the line.
func TestClippedPartsMakeTheWhole(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 50 {
		p := Path{Points: wild(rng, 40), Closed: true, Pen: InkPen(Fine), Fill: Wash}
		cut := r2.Vec{X: 60*rng.Float64() - 30, Y: 60*rng.Float64() - 30}
		areas, lengths := 0.0, 0.0
		for _, box := range []r2.Box{
			r2.NewBox(-200, -200, cut.X, cut.Y), r2.NewBox(cut.X, -200, 200, cut.Y),
			r2.NewBox(-200, cut.Y, cut.X, 200), r2.NewBox(cut.X, cut.Y, 200, 200),
		} {
			for _, it := range p.Clipped(box) {
				part := it.(Path)
				b := part.Bounds()
				if b.Min.X < box.Min.X-1e-9 || b.Max.X > box.Max.X+1e-9 || b.Min.Y < box.Min.Y-1e-9 || b.Max.Y > box.Max.Y+1e-9 {
					t.Fatalf("a part reaches outside its box: %v in %v", b, box)
				}
				if part.Closed {
					areas += area(part.Points)
				} else {
					lengths += length(part.Points)
				}
			}
		}
		near(t, "sum of areas", areas, area(p.Points), 1e-6)
		near(t, "sum of lengths", lengths, length(append(p.Points, p.Points[0])), 1e-6)
	}
}

func TestFacetsClippedKeepArea(t *testing.T) {
	f := Facets{Tris: [][3]r2.Vec{{{X: -5, Y: -5}, {X: 15, Y: 0}, {X: 2, Y: 12}}}, Colours: []Colour{Ink}}
	sum := 0.0
	for _, box := range []r2.Box{r2.NewBox(-50, -50, 3, 50), r2.NewBox(3, -50, 50, 50)} {
		for _, it := range f.Clipped(box) {
			for _, tri := range it.(Facets).Tris {
				sum += area(tri[:])
			}
		}
	}
	near(t, "area", sum, area(f.Tris[0][:]), 1e-9)
}

// A line that only touches, runs along, or passes by the box.
func TestClipSegmentEdgeCases(t *testing.T) {
	box := r2.NewBox(0, 0, 10, 10)
	for _, c := range []struct {
		a, b   r2.Vec
		ok     bool
		length float64
	}{
		{r2.Vec{X: -5, Y: 5}, r2.Vec{X: 15, Y: 5}, true, 10},
		{r2.Vec{X: -5, Y: 0}, r2.Vec{X: 15, Y: 0}, true, 10}, // along the border
		{r2.Vec{X: -5, Y: 11}, r2.Vec{X: 15, Y: 11}, false, 0},
		{r2.Vec{X: 2, Y: 2}, r2.Vec{X: 5, Y: 6}, true, 5},
		{r2.Vec{X: -5, Y: 5}, r2.Vec{X: 5, Y: -5}, true, 0}, // a corner
		{r2.Vec{X: -6, Y: 5}, r2.Vec{X: 5, Y: -6}, false, 0},
	} {
		t0, t1, ok := clipSegment(c.a, c.b, box)
		if ok != c.ok {
			t.Errorf("%v to %v: ok %v, want %v", c.a, c.b, ok, c.ok)
		} else if ok {
			near(t, "length", (t1-t0)*r2.Norm(r2.Sub(c.b, c.a)), c.length, 1e-12)
		}
	}
}

// A turn and a shift keep lengths and handedness, a mirror turns it over, a
// scale of k multiplies areas by k².
func TestAffineIdentities(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	p := wild(rng, 12)
	a := Turn(0.7).Then(Move(r2.Vec{X: 3, Y: -8}))
	near(t, "turned area", area(a.All(p)), area(p), 1e-9)
	near(t, "mirrored area", area(Mirror().All(p)), -area(p), 1e-9)
	near(t, "scaled area", area(Scale(1.5).Then(a).All(p)), 2.25*area(p), 1e-8)
	near(t, "scale factor", Scale(1.5).Then(a).Scale(), 1.5, 1e-12)
	q := Turn(math.Pi / 2).Do(r2.Vec{X: 1})
	near(t, "quarter turn x", q.X, 0, 1e-15)
	near(t, "quarter turn y", q.Y, 1, 1e-15)
	x := r2.Vec{X: 2, Y: 5}
	near(t, "two turns add", r2.Norm(r2.Sub(Turn(0.4).Then(Turn(0.9)).Do(x), Turn(1.3).Do(x))), 0, 1e-12)
	one, two := Scale(2).Then(a).Do(x), a.Do(Scale(2).Do(x))
	near(t, "order of Then", r2.Norm(r2.Sub(one, two)), 0, 1e-12)
}

func TestFitIsCentredAndLargest(t *testing.T) {
	from, to := r2.NewBox(-3, 2, 5, 6), r2.NewBox(10, 10, 110, 60)
	a := Fit(from, to)
	got := boxOf(a.All(from.Vertices()))
	near(t, "width", got.Size().X, 100, 1e-9)
	near(t, "height", got.Size().Y, 50, 1e-9)
	near(t, "middle", r2.Norm(r2.Sub(got.Center(), to.Center())), 0, 1e-9)
}

// A polygon of n corners on a circle leaves it by r(1 − cos(π/n)).
func TestCirclePolygonSag(t *testing.T) {
	for _, r := range []float64{1, 30, 500} {
		pts := Circle{R: r}.Polygon(0.005).Points
		mid := r2.Scale(0.5, r2.Add(pts[0], pts[1]))
		if sag := r - r2.Norm(mid); sag > 0.005 {
			t.Errorf("radius %g: sag %.4f mm, want at most 0.005", r, sag)
		}
	}
}

func TestWindowShiftsAndCuts(t *testing.T) {
	p := NewPage("whole", 100, 100)
	p.Add(Cut, Line(InkPen(Fine), r2.Vec{X: 0, Y: 50}, r2.Vec{X: 100, Y: 50}))
	p.Add(Words, Text{At: r2.Vec{X: 25, Y: 50}, String: "across the border", Size: 12})
	w := p.Window("part", r2.NewBox(20, 40, 40, 60), 30, 30, r2.Vec{X: 5, Y: 5})
	line := w.Layer(Cut)[0].(Path)
	if line.Points[0] != (r2.Vec{X: 5, Y: 15}) || line.Points[1] != (r2.Vec{X: 25, Y: 15}) {
		t.Errorf("line lies at %v", line.Points)
	}
	words := w.Layer(Words)[0].(Text)
	if words.Clip != r2.NewBox(5, 5, 25, 25) {
		t.Errorf("words are clipped to %v", words.Clip)
	}
}

func TestCheckRefusesWhatIsNoPlace(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		p := NewPage("x", 10, 10)
		p.Add(Cut, Line(InkPen(Fine), r2.Vec{}, r2.Vec{X: x}))
		if p.Check() == nil {
			t.Errorf("a point at %g was taken", x)
		}
	}
	if NewPage("x", math.NaN(), 10).Check() == nil || NewPage("x", 0, 10).Check() == nil {
		t.Error("a page without a size was taken")
	}
}
