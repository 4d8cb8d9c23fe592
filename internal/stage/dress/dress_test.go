package dress

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
)

const margin = 0.03

// three are sheets of the usual kinds, on rolls wide enough for all shapes below.
func three() []Sheet {
	return []Sheet{
		{Use: "peel ply", Material: "p", Letters: "PP", Layers: 1, Woven: true, Width: 1.5, Margin: margin, Lap: 0.015},
		{Use: "release film", Material: "f", Letters: "RF", Layers: 1, Width: 1.5, Margin: margin, Lap: 0.015},
		{Use: "bleeder", Material: "b", Letters: "BL", Layers: 2, Strain: 0.05, Width: 1.5, Margin: margin},
	}
}

func lay(t *testing.T, m *mesh.Mesh, seed r3.Vec, sheets ...Sheet) Result {
	t.Helper()
	if len(sheets) == 0 {
		sheets = three()
	}
	r, err := Lay(t.Context(), Input{Surface: m, Seed: seed, Warp: r3.Vec{X: 1}, Sheets: sheets})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Sheets) != len(sheets) {
		t.Fatalf("%d sheets of %d", len(r.Sheets), len(sheets))
	}
	return r
}

func plate(x, y float64) *mesh.Mesh {
	return shapes.Patch(int(x/0.02), int(y/0.02), func(u, v float64) r3.Vec { return r3.Vec{X: x * (u - 0.5), Y: y * (v - 0.5)} })
}

// halfPipe is half a cylinder along x.
func halfPipe(radius, long float64) *mesh.Mesh {
	return shapes.Patch(20, 40, func(u, v float64) r3.Vec {
		s, c := math.Sincos(math.Pi * v)
		return r3.Vec{X: long * (u - 0.5), Y: -radius * c, Z: radius * s}
	})
}

// halfCone is half the skirt of a cone frustum, open along two straight lines.
func halfCone(low, high, tall float64) *mesh.Mesh {
	return shapes.Patch(20, 40, func(u, v float64) r3.Vec {
		s, c := math.Sincos(math.Pi * v)
		r := low + (high-low)*u
		return r3.Vec{X: tall * u, Y: -r * c, Z: r * s}
	})
}

// What unrolls lies flat without a slit: all lengths are kept, and a piece is as large as
// the surface with a margin round it, whose corners are between round and square.
func TestWhatUnrolls(t *testing.T) {
	slant := math.Hypot(0.2, 0.04)
	for _, c := range []struct {
		name      string
		m         *mesh.Mesh
		seed      r3.Vec
		area, rim float64 // closed forms
		strain    float64 // that chords of the arcs leave
	}{
		{"plate", plate(0.4, 0.3), r3.Vec{}, 0.12, 1.4, 1e-9},
		{"half a cylinder", halfPipe(0.1, 0.3), r3.Vec{Z: 0.1}, math.Pi * 0.1 * 0.3, 2*math.Pi*0.1 + 0.6, 1e-6},
		{"half a cone", halfCone(0.1, 0.06, 0.2), r3.Vec{X: 0.1, Z: 0.08}, math.Pi / 2 * (0.1 + 0.06) * slant, math.Pi*(0.1+0.06) + 2*slant, 1e-3},
	} {
		for _, s := range lay(t, c.m, c.seed).Sheets {
			if len(s.Pieces) != 1 || s.Seams != 0 {
				t.Fatalf("%s, %s: %d pieces, %.0f mm of seams", c.name, s.Use, len(s.Pieces), 1000*float64(s.Seams))
			}
			if got := float64(s.Pieces[0].Area); math.Abs(got/c.area-1) > 2e-3 { // chords are shorter than arcs by (π/40)²/24
				t.Errorf("%s, %s: %.6f m² inside the part's edge, want %.6f", c.name, s.Use, got, c.area)
			}
			low, high := c.area+c.rim*margin+3*margin*margin, c.area+c.rim*margin+4*margin*margin
			if got := float64(s.Area); got < 0.995*low || got > 1.005*high {
				t.Errorf("%s, %s: cut %.5f m², want %.5f to %.5f", c.name, s.Use, got, low, high)
			}
			if s.Change != nil && *s.Change > c.strain || s.Over != 0 || s.Coverage < 1-1e-6 {
				t.Errorf("%s, %s: lengths change by %v, %g m² over, %.7f covered", c.name, s.Use, s.Change, float64(s.Over), s.Coverage)
			}
			if s.Edge == nil || math.Abs(float64(*s.Edge)/margin-1) > 0.01 {
				t.Errorf("%s, %s: goes %v past the edge, want %v", c.name, s.Use, s.Edge, margin)
			}
		}
	}
}

// An open box is five rectangles: slit down its four corners a film unfolds into a cross
// without any change of length. The corners hold 90° each, more than any sheet takes whole.
func TestBoxUnfolds(t *testing.T) {
	size := r3.Vec{X: 0.2, Y: 0.15, Z: 0.08}
	want := size.X*size.Y + 2*(size.X+size.Y)*size.Z
	m := shapes.OpenBox(size, 12)
	r := lay(t, m, topOf(m))
	for _, s := range r.Sheets {
		tips, area := 0, 0.0
		for _, p := range s.Pieces {
			tips, area = tips+len(p.Stops), area+float64(p.Area)
		}
		if s.ShearMax != nil {
			continue // cloth takes some of each corner by shear
		}
		if len(s.Pieces) != 1 || tips != 4 || math.Abs(area/want-1) > 1e-3 || *s.Change > 1e-3 || s.Coverage < 0.9999 {
			t.Errorf("%s: %d pieces, %d slits, %.5f m² for %.5f, lengths change by %.2g, %.5f covered", s.Use, len(s.Pieces), tips, area, want, *s.Change, s.Coverage)
		}
		if long := 4 * size.Z; math.Abs(float64(s.Seams)/long-1) > 0.02 {
			t.Errorf("%s: %.1f mm of slits, want four of %.0f", s.Use, 1000*float64(s.Seams), 1000*size.Z)
		}
		box := flat.Polygon(s.Pieces[0].Outline).Bounds().Size()
		x, y := size.X+2*size.Z+2*margin, size.Y+2*size.Z+2*margin
		if math.Abs(max(box.X, box.Y)-max(x, y)) > 2e-3 || math.Abs(min(box.X, box.Y)-min(x, y)) > 2e-3 {
			t.Errorf("%s: %.1f × %.1f mm, want %.1f × %.1f", s.Use, 1000*box.X, 1000*box.Y, 1000*x, 1000*y)
		}
		names := map[string]int{}
		for _, m := range s.Pieces[0].Marks {
			if m.Kind == flat.Match {
				names[m.Label]++
			}
		}
		for label, n := range names {
			if n != 2 {
				t.Errorf("%s: %d match marks %s, want the two that meet", s.Use, n, label)
			}
		}
	}
}

// topOf is the middle of the face that looks up.
func topOf(m *mesh.Mesh) r3.Vec {
	box := m.Bounds()
	at := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	up := m.NearestVertex(r3.Vec{X: at.X, Y: at.Y, Z: box.Max.Z}, func(int) bool { return true })
	return m.Vertices[up]
}

// On a half ball no film lies: it is told how far it is over what it takes, and the pieces
// cover the ball all the same.
func TestBallIsToldAsPleats(t *testing.T) {
	m := shapes.Cap(0.1, math.Pi/2, 16)
	r := lay(t, m, r3.Vec{Z: 0.1})
	codes := map[string]bool{}
	for _, f := range r.Findings {
		codes[f.Code] = true
		if f.Stage != "bag" || f.Value == nil || f.Limit == nil {
			t.Errorf("%s: %+v", f.Code, f)
		}
	}
	if !codes["sheet-in-pleats"] || !codes["sheet-locks"] {
		t.Errorf("findings %v, want those on pleats and on locking", codes) // 52.4° of shear at the rim against 40°
	}
	for _, s := range r.Sheets {
		if s.Coverage < 0.999 {
			t.Errorf("%s covers %.5f", s.Use, s.Coverage)
		}
	}
}

// A saddle opens: a film is too short for its edge there. No slit helps, since it would
// gape, and the finding says what does.
func TestSaddleIsNotSlit(t *testing.T) {
	r := lay(t, shapes.Saddle(0.12, 0.15, 18), r3.Vec{})
	tight := false
	for _, f := range r.Findings {
		tight = tight || f.Code == "sheet-too-tight"
	}
	for _, s := range r.Sheets {
		if s.Seams != 0 || s.Coverage < 1-1e-6 {
			t.Errorf("%s: %.0f mm of slits, %.4f covered", s.Use, 1000*float64(s.Seams), s.Coverage)
		}
	}
	if !tight {
		t.Errorf("findings %+v", r.Findings)
	}
}

// A tube is opened from rim to rim and unrolls.
func TestTubeIsOpened(t *testing.T) {
	const radius, high = 0.04, 0.2
	for _, s := range lay(t, shapes.Tube(radius, high, 40, 24), r3.Vec{X: radius, Z: high / 2}).Sheets {
		if want := 2 * math.Pi * radius * high; len(s.Pieces) != 1 || math.Abs(float64(s.Pieces[0].Area)/want-1) > 2e-3 || s.Over != 0 {
			t.Errorf("%s: %d pieces, %.5f m², want %.5f", s.Use, len(s.Pieces), float64(s.Pieces[0].Area), want)
		}
		if math.Abs(float64(s.Seams)/high-1) > 0.01 || s.Coverage < 0.9998 {
			t.Errorf("%s: opened over %.0f mm, %.5f covered", s.Use, 1000*float64(s.Seams), s.Coverage)
		}
	}
}

// A plate wider than its roll is parted so that each piece comes off the roll, and the
// pieces cover the plate, with a lap along the join.
func TestWiderThanTheRoll(t *testing.T) {
	sheets := three()
	for i := range sheets {
		sheets[i].Width = 0.5
	}
	const x, y = 1.2, 0.8
	for i, s := range lay(t, plate(x, y), r3.Vec{}, sheets...).Sheets {
		if len(s.Pieces) != 2 || s.Coverage < 0.9999 { // edges that meet leave a knife's breadth
			t.Errorf("%s: %d pieces cover %.6f", s.Use, len(s.Pieces), s.Coverage)
		}
		var names []string
		for _, p := range s.Pieces {
			names = append(names, p.Name)
			if !sheets[i].FromRoll(p) {
				t.Errorf("%s: %s does not come off the roll", s.Use, p.Name)
			}
		}
		if want := sheets[i].Letters; !slices.Equal(names, []string{want + "1", want + "2"}) {
			t.Errorf("names %v", names)
		}
		if math.Abs(float64(s.Seams)-x) > 0.02*x || s.Gapes != 0 {
			t.Errorf("%s: %.0f mm of join, %.0f short of the lap", s.Use, 1000*float64(s.Seams), 1000*float64(s.Gapes))
		}
	}
}

// Strips of a bag that is too wide both ways overlap by the lap and come to its width.
func TestRectangle(t *testing.T) {
	s := Sheet{Letters: "BF", Layers: 1, Width: 1.5, Lap: 0.05}
	for _, c := range []struct {
		long, wide si.Length
		strips     int
	}{{2, 1, 1}, {1, 2, 1}, {1.5, 1.5, 1}, {2, 1.6, 2}, {5, 2.95, 2}, {5, 2.951, 3}} {
		l := s.Rectangle(c.long, c.wide)
		across := 0.0
		for _, p := range l.Pieces {
			size := flat.Polygon(p.Outline).Bounds().Size()
			across += size.Y
			if size.Y > float64(s.Width)+1e-9 || math.Abs(size.X-float64(max(c.long, c.wide))) > 1e-9 || !s.FromRoll(p) {
				t.Errorf("%v × %v: a strip of %v", c.long, c.wide, size)
			}
		}
		if want := float64(min(c.long, c.wide)) + float64(c.strips-1)*0.05; len(l.Pieces) != c.strips || math.Abs(across-want) > 1e-9 {
			t.Errorf("%v × %v: %d strips of %.3f m together, want %d of %.3f", c.long, c.wide, len(l.Pieces), across, c.strips, want)
		}
	}
}

// A closed ball has no edge, and no sheet lies on it; a stopped plan stops here too.
func TestRefuses(t *testing.T) {
	if _, err := Lay(t.Context(), Input{Surface: shapes.Sphere(0.1, 2), Warp: r3.Vec{X: 1}, Sheets: three()}); err == nil {
		t.Error("a ball was covered")
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Lay(ctx, Input{Surface: plate(0.4, 0.3), Warp: r3.Vec{X: 1}, Sheets: three()}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
