package flat

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// curveThrough smooths a closed row of points.
func curveThrough(points []r2.Vec) geom.Polygon {
	closed := append(append([]r2.Vec{}, points...), points[0])
	got, _ := smoothed(closed, make([]float64, len(closed)), true)
	return geom.Polygon(got[:len(got)-1])
}

// On a circle of radius R the chords of a mesh stand off by h²/8R: 0.45 mm for 10 mm
// on 28 mm. The curve through the same vertices stays on the circle.
func TestCurveOnCircle(t *testing.T) {
	const r = 0.028
	for _, uneven := range []float64{0, 0.6} {
		rng := rand.New(rand.NewPCG(1, 2))
		var at []r2.Vec
		for i := range 18 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + uneven*(rng.Float64()-0.5)) / 18)
			at = append(at, r2.Vec{X: r * cos, Y: r * sin})
		}
		worst := 0.0
		ring := curveThrough(at)
		for i, p := range ring {
			mid := r2.Scale(0.5, r2.Add(p, ring[(i+1)%len(ring)]))
			worst = max(worst, math.Abs(r2.Norm(p)-r), math.Abs(r2.Norm(mid)-r))
		}
		if worst > 1e-4 {
			t.Errorf("uneven by %g: the curve leaves the circle by %.3f mm", uneven, 1000*worst)
		}
		if len(ring) > 80 {
			t.Errorf("%d points for a circle that needs %.0f at this tolerance", len(ring), math.Pi/math.Sqrt(2*smooth/r))
		}
	}
}

// The curve is of third order at least in the spacing of the vertices: on an ellipse
// half the spacing leaves an eighth of the error.
func TestCurveOrder(t *testing.T) {
	at := func(φ float64) r2.Vec { return r2.Vec{X: 0.2 * math.Cos(φ), Y: 0.12 * math.Sin(φ)} }
	off := func(n int) float64 {
		var row []r2.Vec
		for i := range n + 1 {
			row = append(row, at(2*math.Pi*float64(i)/float64(n)))
		}
		c, worst := newCurve(row, true), 0.0
		for i := range n {
			start, end := c.slopes(i)
			for _, share := range []float64{0.25, 0.5, 0.75} {
				p := cubic(row[i], row[i+1], start, end, share)
				φ := math.Atan2(p.Y/0.12, p.X/0.2)
				// distance to the ellipse to first order
				worst = max(worst, math.Abs(math.Hypot(p.X/0.2, p.Y/0.12)-1)/math.Hypot(math.Cos(φ)/0.2, math.Sin(φ)/0.12))
			}
		}
		return worst
	}
	if order := math.Log2(off(40) / off(80)); order < 2.8 {
		t.Errorf("order %.2f", order)
	}
	if e := off(40); e > smooth {
		t.Errorf("an ellipse of 40 vertices is missed by %.4f mm", 1000*e)
	}
}

// A rounded rectangle: its straight sides stay straight up to where the arcs begin,
// and a square keeps its corners.
func TestCurveKeepsStraightsAndCorners(t *testing.T) {
	const w, r = 0.1, 0.02
	var at []r2.Vec
	for q := range 4 {
		sin, cos := math.Sincos(float64(q) * math.Pi / 2)
		turned := func(x, y float64) r2.Vec { return r2.Vec{X: cos*x - sin*y, Y: sin*x + cos*y} }
		for i := range 7 { // an arc, then the straight by its far end
			s, c := math.Sincos(float64(i) / 6 * math.Pi / 2)
			at = append(at, turned(w-r+r*c, w-r+r*s))
		}
	}
	exact := geom.Rect(-(w - r), -(w - r), w-r, w-r)
	for i, p := range curveThrough(at) {
		inside := math.Abs(p.X) < w-r || math.Abs(p.Y) < w-r
		d := exact.Distance(p)
		if inside {
			d = max(math.Abs(p.X), math.Abs(p.Y)) - (w - r)
		}
		if math.Abs(d-r) > 5e-5 {
			t.Errorf("point %d is %.3f mm off the rounded square", i, 1000*(d-r))
		}
	}
	var square []r2.Vec
	for _, c := range geom.Rect(0, 0, 0.1, 0.1) {
		square = append(square, c)
	}
	square = append(square[:1:1], append([]r2.Vec{{X: 0.03}, {X: 0.06}}, square[1:]...)...)
	got := curveThrough(square)
	if len(got) != 4 || math.Abs(got.Area()-0.01) > 1e-12 {
		t.Errorf("a square came out as %v", got)
	}
}

// The exact flat outline of a hemisphere of radius 100 mm, given at every degree of
// the equator: drawn through every sixth point it passes all the others within
// 0.2 mm. Through the chords it would miss them by up to 0.6 mm.
func TestCurveOnHemisphereOutline(t *testing.T) {
	text, err := os.ReadFile("testdata/hemisphere_outline.json")
	if err != nil {
		t.Fatal(err)
	}
	var data struct {
		Points [][2]float64 `json:"points"`
	}
	if err := json.Unmarshal(text, &data); err != nil {
		t.Fatal(err)
	}
	exact := make([]r2.Vec, 0, 360)
	quarter := func(φ int) r2.Vec {
		return r2.Scale(0.1, r2.Vec{X: data.Points[φ][0], Y: data.Points[φ][1]})
	}
	for φ := range 360 {
		p := quarter(φ % 90)
		sin, cos := geom.SinCos(float64(φ/90) * math.Pi / 2)
		exact = append(exact, r2.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y})
	}
	var every []r2.Vec
	for φ := 0; φ < 360; φ += 6 {
		every = append(every, exact[φ])
	}
	ring, worst := curveThrough(every), 0.0
	for _, p := range exact {
		worst = max(worst, ring.Distance(p))
	}
	t.Logf("%d points, off by %.3f mm; chords by %.3f mm", len(ring), 1000*worst, 1000*chordsOff(every, exact))
	if worst > 2e-4 || ring.Valid() != nil {
		t.Errorf("off by %.3f mm", 1000*worst)
	}
}

func chordsOff(ring, exact []r2.Vec) (worst float64) {
	for _, p := range exact {
		worst = max(worst, geom.Polygon(ring).Distance(p))
	}
	return worst
}

// A rim of few vertices whose turns tell of no arc keeps to its chords.
func TestCurveKeepsToChords(t *testing.T) {
	hexagon := []r2.Vec{{X: 0}, {X: 0.2}, {X: 0.25, Y: 0.02}, {X: 0.25, Y: 0.2}, {X: 0.1, Y: 0.22}, {Y: 0.2}}
	ring := curveThrough(hexagon)
	for _, p := range ring {
		if d := geom.Polygon(hexagon).Distance(p); d > 1.2*bulge {
			t.Errorf("the curve leaves the chords by %.3f mm", 1000*d)
		}
	}
}
