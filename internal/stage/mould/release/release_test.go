package release

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh/shapes"
)

func work(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Work(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6g, want %.6g within %.2g", what, got, want, within)
	}
}

var up = r3.Vec{Z: 1}

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// A sphere of radius R cut at the angle θ from its top, past its equator: the zone
// that leans back by more than ε has the area 2πR²(sin… ) = 2πR²(cos(90°+ε) − cos θ),
// and its rim lies R(1 − sin θ) inside the equator.
func TestSpherePastItsEquator(t *testing.T) {
	const R = 0.1
	θ := rad(130)
	m := shapes.Cap(R, θ, 60)
	r := work(t, Input{Part: m, Pull: up, Normal: func(_ int, p r3.Vec) r3.Vec { return r3.Unit(p) }})
	show(t, r)
}

// show prints a result in short.
func show(t testing.TB, r Result) {
	t.Helper()
	one := func(name string, p Pull) {
		t.Logf("%s %.3f: undercut %.2f hidden %.2f low %.2f cm², least %.2f deg", name, p.Dir, 1e4*p.Undercut, 1e4*p.Hidden, 1e4*p.Low, p.MinDraft.Degrees())
	}
	one("judged", r.Judged)
	if r.Better != nil {
		one("better", *r.Better)
	}
	for _, a := range r.Areas {
		h := -1.0
		if a.Hook != nil {
			h = 1e3 * float64(*a.Hook)
		}
		t.Logf("  %s %.2f cm² at %.3f, hook %.3f mm %v", a.Kind, 1e4*a.Area, a.At, h, a.Flex)
	}
	for _, s := range []*Split{r.Mould, r.Part} {
		if s == nil {
			continue
		}
		t.Logf("split the %s, flat %v, %v, seam %.3f m, joint %+v", s.Of, s.Flat, s.Planes, s.Seam, s.Joint)
		for _, p := range s.Pieces {
			one("   piece", p.Pull)
		}
	}
	if r.MouldLeft != nil {
		t.Logf("mould left %.1f cm²", 1e4**r.MouldLeft)
	}
	if r.PartLeft != nil {
		t.Logf("part left %.1f cm²", 1e4**r.PartLeft)
	}
	t.Logf("openings %+v lost %+v core %+v grip %+v force %+v", r.Openings, r.Lost, r.Core, r.Grip, r.Force)
}
