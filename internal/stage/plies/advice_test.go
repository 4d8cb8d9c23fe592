package plies

import (
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/flat"
)

// advised lays the first ply and returns the advice on it.
func advised(t *testing.T, in Input) Advice {
	t.Helper()
	w := workOn(t, in)
	laid, err := w.layAll(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	ply := w.cut(in.Plies[0], laid[0])
	return w.advise(&ply, in.Plies[0], laid[0], w.hollows())
}

func kindsOf(a Advice) string {
	var out []string
	for _, s := range a.Steps {
		out = append(out, s.Kind)
	}
	return strings.Join(out, " ")
}

func (a Advice) of(kind string) (out AdviceStep) {
	for _, s := range a.Steps {
		if s.Kind == kind {
			return s
		}
	}
	return out
}

// On a pyramid with walls at 60° the cloth is smoothed down the walls along its two
// yarns and then into the four corners, where it shears by 36.9° (closed form in
// TestLockingAtCorners) towards the way out; it warns past 35°.
func TestAdviceOnAPyramid(t *testing.T) {
	a := advised(t, Input{Surface: box(60 * deg), Plies: stackOf(45, 0)})
	if got := kindsOf(a); got != "start line line quarter ease" {
		t.Fatalf("steps: %s", got)
	}
	for kind, words := range map[string][]string{
		stepStart:   {"on the top, in the middle", "warp arrow towards +x,"},
		stepLine:    {"along the warp", "400 mm towards +x and down, then 400 mm towards −x and down"},
		stepQuarter: {"the four quarters", "close by up to", "it resists"},
		stepEase:    {"along the bias", "three more places"},
	} {
		for _, word := range words {
			if s := a.of(kind).What; !strings.Contains(s, word) {
				t.Errorf("%s: %q lacks %q", kind, s, word)
			}
		}
	}
	if q := a.of(stepQuarter); len(q.Also) != 3 || q.To[0]*q.To[0] < 0.2*0.2 || q.Shear.Degrees() < 34 {
		t.Errorf("quarters: %+v", q)
	}
	ease := a.of(stepEase)
	middle := r3.Scale(0.5, r3.Add(vec(ease.From), vec(ease.Also[0][0])))
	if len(ease.Also) != 7 || r3.Norm(r3.Sub(middle, vec(ease.To))) > 1e-9 {
		t.Errorf("the arrows do not come from both sides: %+v", ease)
	}
}

// Upright walls: the four corners are slit, and the slits closed last, from their
// tips down to the foot.
func TestAdviceOnABox(t *testing.T) {
	a := advised(t, Input{Surface: lid(90*deg, 0.08), Plies: stackOf(45, 0)})
	if got := kindsOf(a); !strings.HasPrefix(got, "start line line quarter") || !strings.HasSuffix(got, "close") {
		t.Fatalf("steps: %s", got)
	}
	c := a.of(stepClose)
	if !strings.Contains(c.What, "four slits") || !strings.Contains(c.What, "15 mm") || len(c.Also) != 3 || c.To[2] > -0.079 || c.From[2] <= c.To[2] {
		t.Errorf("%+v", c)
	}
}

// A foot all round a block: the hollow is pressed in before the corners, and a dome
// shears nothing at its pole and has no ridge to ease.
func TestAdviceOnAFoot(t *testing.T) {
	foot := shapes.Starred(32, 32, func(s, t float64) r3.Vec {
		x, y := 0.3*(2*s-1), 0.3*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: -min(0.1, max(0, math.Abs(x)-0.1, math.Abs(y)-0.1))}
	})
	a := advised(t, Input{Surface: foot, Plies: stackOf(45, 0)})
	if got := kindsOf(a); got != "start line line press quarter" {
		t.Fatalf("steps: %s", got)
	}
	p := a.of(stepPress)
	if !strings.Contains(p.What, "stand") || !strings.Contains(a.of(stepLine).What, "Stop at each hollow") {
		t.Errorf("%q, %q", p.What, a.of(stepLine).What)
	}
	// the arrow comes from the block's side
	if from, to := math.Max(math.Abs(p.From[0]), math.Abs(p.From[1])), math.Max(math.Abs(p.To[0]), math.Abs(p.To[1])); from >= to || math.Abs(to-0.2) > 0.02 {
		t.Errorf("arrow from %v to %v", p.From, p.To)
	}
}

// Where the yarns close, cloth is pushed together across the bisector between them;
// where they open, along it.
func TestEaseAcrossTheBias(t *testing.T) {
	in := Input{Surface: plate(), Plies: stackOf(45, 0)}
	w := workOn(t, in)
	laid, err := w.layAll(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, γ := range []float64{40 * deg, -40 * deg} {
		l := w.laying(in.Plies[0], laid[0].beds[0])
		l.Shear[30] = γ
		l.ease()
		l.Shear[30] = 0
		push := r3.Unit(r3.Sub(vec(l.steps[0].To), vec(l.steps[0].From)))
		if want := r3.Unit(r3.Vec{X: 1, Y: math.Copysign(1, -γ)}); math.Abs(r3.Dot(push, want)) < 1-1e-9 {
			t.Errorf("sheared by %.0f°: pushed along %v", γ/deg, push)
		}
	}
}

// Quarters are named by the lines that they lie between; two that share a line by
// that line.
func TestQuartersAreNamed(t *testing.T) {
	l := laying{ways: [4]string{"+x", "+y", "−x", ""}}
	for want, of := range map[string][]int{
		"the quarter between the +x and +y lines":                                       {0},
		"the two quarters on either side of the +y line":                                {1, 0},
		"the two quarters on either side of the +x line":                                {3, 0},
		"the two quarters on either side of the −x line":                                {1, 2},
		"three quarters, one after the other, all but that between the +y and −x lines": {0, 3, 2},
		"the quarter beside the +x line":                                                {3},
		"the four quarters, one after the other":                                        {2, 1, 0, 3},
		"the quarters between the +x and +y lines, and beside the −x line":              {0, 2},
	} {
		var group []region
		for _, q := range of {
			group = append(group, region{of: q})
		}
		if got := l.nameQuarters(group); got != want {
			t.Errorf("%v: %q, want %q", of, got, want)
		}
	}
}

func TestAdviceOnPatches(t *testing.T) {
	strip := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 0.1}, {X: 0.1, Y: 0.02}, {Y: 0.02}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	top, err := mesh.NewTopology(strip)
	if err != nil {
		t.Fatal(err)
	}
	sheet := Sheet{Sheet: flat.Sheet{Ground: cut.Uncut(top)}}
	p := Ply{Pieces: []flat.Piece{{Name: "P01"}, {Name: "P01-1", Patch: true}, {Name: "P01-2", Patch: true}}, Sheets: []Sheet{sheet, sheet, sheet}}
	s, ok := p.patches()
	if !ok || !strings.Contains(s.What, "P01-1 and P01-2") || len(s.Also) != 1 || math.Abs(math.Abs(s.To[0]-s.From[0])-0.1) > 1e-12 {
		t.Errorf("%v %+v", ok, s)
	}
	if _, ok := (&Ply{}).patches(); ok {
		t.Error("advice on patches that are not there")
	}
}

func TestWhereabouts(t *testing.T) {
	box := r3.Box{Min: r3.Vec{X: -0.2, Y: -0.1}, Max: r3.Vec{X: 0.2, Y: 0.1, Z: 0.08}}
	for _, c := range []struct {
		at, normal r3.Vec
		want       string
	}{
		{r3.Vec{Z: 0.08}, r3.Vec{Z: 1}, "on the top, in the middle"},
		{r3.Vec{X: 0.16, Z: 0.08}, r3.Vec{Z: 1}, "on the top, 40 mm from the part's +x end"},
		{r3.Vec{X: 0.2, Y: -0.05, Z: 0.04}, r3.Vec{X: 1}, "on the wall that faces +x, 50 mm from the part's −y end"},
		{r3.Vec{X: -0.2, Y: 0.1}, r3.Vec{Z: 1}, "on the level ground at the foot, at the part's −x end and at the part's +y end"},
		{r3.Vec{X: 0.1, Y: 0.05, Z: 0.04}, r3.Unit(r3.Vec{X: 1, Z: 1}), "on the slope that faces +x and up, 100 mm from the part's +x end and 50 mm from the part's +y end"},
	} {
		if got := whereabouts(c.at, c.normal, box); got != c.want {
			t.Errorf("%v: %q, want %q", c.at, got, c.want)
		}
	}
	if got := towards(r3.Vec{Z: -1}); got != "straight down" {
		t.Error(got)
	}
}
