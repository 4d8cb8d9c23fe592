package release

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
)

func work(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Work(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func ready(t testing.TB, in Input) *surface {
	t.Helper()
	top, err := mesh.NewTopology(in.Part)
	if err != nil {
		t.Fatal(err)
	}
	return newSurface(in, top)
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6g, want %.6g within %.2g", what, got, want, within)
	}
}

var up = r3.Vec{Z: 1}

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// A sphere of radius R cut at the polar angle θ past its equator. The zone that
// leans back by more than ε has the height R(−cos θ − sin ε), hence the area 2πR times that
// (Archimedes); its rim lies R(1 − sin θ) inside the equator.
func TestSpherePastItsEquator(t *testing.T) {
	const R = 0.1
	θ := rad(130)
	fine := ready(t, Input{Part: shapes.Cap(R, θ, 120)})
	zone := 2 * math.Pi * R * R * (-math.Cos(θ) - sinLean)
	p := fine.pull(partMoves, up)
	near(t, "undercut", float64(p.Undercut), zone, 0.006*zone) // a row of triangles is 1 deg
	near(t, "hidden", float64(p.Hidden), 0, Trifle)
	near(t, "least draft", p.MinDraft.Degrees(), -40, 1) // the middles of the last row
	r := work(t, Input{Part: shapes.Cap(R, θ, 32), Pull: up})
	if len(r.Areas) == 0 || r.Areas[0].Hook == nil {
		t.Fatal("no hook")
	}
	near(t, "hook", float64(*r.Areas[0].Hook), R*(1-math.Sin(θ)), 5e-5)
	near(t, "opening", float64(r.Openings[0].Width), 2*R*math.Sin(θ), 1e-3)
	// Half a sphere comes off either way; the meridian has less seam than the equator.
	flatHalves(t, r.Part, r3.Vec{}, 2*R*θ)
	if r.Mould != nil {
		t.Errorf("the rigid plug can't leave through its neck, but is split %+v", r.Mould.Planes)
	}
	if r.Core == nil || !r.Core.Can {
		t.Errorf("a core of 2h = 47 mm goes through the neck of 153 mm: %+v", r.Core)
	}
}

// flatHalves checks a split by one plane through a place into pieces of one area
// that leave freely.
func flatHalves(t *testing.T, s *Split, through r3.Vec, seam float64) {
	t.Helper()
	if s == nil || !s.Flat || len(s.Planes) != 1 || len(s.Pieces) != 2 {
		t.Fatalf("split %+v", s)
	}
	near(t, "offset", s.Planes[0].side(through), 0, 1e-6)
	near(t, "seam", float64(s.Seam), seam, 0.01*seam)
	near(t, "halves", float64(s.Pieces[0].Area), float64(s.Pieces[1].Area), 0.01*float64(s.Pieces[0].Area))
	for _, p := range s.Pieces {
		if !p.Free() || p.MinDraft < si.Angle(-lean) {
			t.Errorf("piece along %v leaves %.2g m² and has %.2f deg", p.Dir, p.Locked(), p.MinDraft.Degrees())
		}
	}
}

// A torus pulled along its axis hooks with its lower half, half of 4π²Rr; at its
// lowest line a place must go sideways by r.
func TestTorusAlongItsAxis(t *testing.T) {
	const R, r = 0.1, 0.03
	got := work(t, Input{Part: shapes.Torus(R, r, 96, 48), Pull: up})
	half := 2 * math.Pi * math.Pi * R * r
	near(t, "undercut", float64(got.Judged.Undercut), half, 0.005*half)
	near(t, "hidden", float64(got.Judged.Hidden), 0, Trifle)
	near(t, "hook", float64(*got.Areas[0].Hook), r, 2e-4)
	flatHalves(t, got.Part, r3.Vec{}, 2*math.Pi*(R+r)+2*math.Pi*(R-r))
	near(t, "plane", math.Abs(got.Part.Planes[0].Normal[2]), 1, 1e-9)
	if got.Mould != nil || len(got.Openings) > 0 {
		t.Error("a plug closed all round is not drawn out")
	}
}

// A torus pulled across its axis hooks with half its area, and with the half of
// its inner side, (2π²Rr − 4πr²)/2, that looks along the pull over the hole at the other.
// What hooks by less than the slack s is left out: near the two flat circles,
// a strip of √(2s/r) of turn, π·R long.
func TestTorusAcrossItsAxis(t *testing.T) {
	const R, r = 0.1, 0.03
	in := Input{Part: shapes.Turned(shapes.Torus(R, r, 192, 96), r3.Vec{Y: 1}, math.Pi/2), Pull: up}
	s := ready(t, in)
	p := s.pull(partMoves, up)
	half := 2 * math.Pi * math.Pi * R * r
	inner := math.Pi*math.Pi*R*r - 2*math.Pi*r*r
	strip := 2 * math.Pi * R * r * math.Sqrt(2*s.off/r)
	near(t, "undercut", float64(p.Undercut), half, 0.005*half)
	near(t, "hidden", float64(p.Hidden), inner-strip, 0.02*inner)
}

// An S-duct of round section along a plane path of two arcs is split along the
// plane of its path; the seam runs along both sides, together 2·(2·ρ·α).
func TestSDuct(t *testing.T) {
	const ρ, α, radius = 0.2, math.Pi / 4, 0.04
	duct := tube(radius, 64, func(s float64) (at, along r3.Vec) {
		turn := α * (1 - math.Abs(2*s-1)) // the path's direction
		sin, cos := math.Sincos(turn)
		first := r3.Vec{X: ρ * sin, Y: ρ * (1 - cos)}
		if s > 0.5 {
			end := r3.Vec{X: 2 * ρ * math.Sin(α), Y: 2 * ρ * (1 - math.Cos(α))}
			return r3.Sub(end, first), r3.Vec{X: cos, Y: sin}
		}
		return first, r3.Vec{X: cos, Y: sin}
	})
	r := work(t, Input{Part: duct, Pull: r3.Unit(r3.Vec{X: 0.3, Y: 1, Z: 0.2}), Lost: Dissolve})
	if r.Judged.Free() || r.Better != nil && r.Better.Free() {
		t.Error("an S-duct comes off in no one pull")
	}
	flatHalves(t, r.Part, r3.Vec{}, 2*2*ρ*α)
	near(t, "plane", math.Abs(r.Part.Planes[0].Normal[2]), 1, 1e-9)
	if r.Lost == nil || !r.Lost.Can {
		t.Errorf("a plug that dissolves leaves through the open ends: %+v", r.Lost)
	}
	if r.Mould != nil || r.MouldLeft == nil || !(*r.MouldLeft > Trifle) {
		t.Error("a rigid plug as curved as this slides out straight in no three pieces")
	}
	near(t, "opening", float64(r.Openings[0].Width), 2*radius, 1e-3)
}

// A bowl whose mouth is a third of its width is let out by nothing while it has to
// stay in one piece: the reason is its mouth. In halves it does come off.
func TestClosedBowl(t *testing.T) {
	const R = 0.1
	θ := rad(170)
	in := Input{Part: shapes.Cap(R, θ, 32), Pull: up, OnePiece: true, Lost: Dig}
	r := work(t, in)
	if r.Judged.Free() || r.Better != nil && r.Better.Free() || r.Mould != nil || r.Part != nil {
		t.Errorf("it comes out: better %+v", r.Better)
	}
	if r.Lost == nil || r.Lost.Can || r.Core == nil || r.Core.Can {
		t.Errorf("lost %+v core %+v", r.Lost, r.Core)
	}
	near(t, "mouth", float64(r.Lost.Widest), 2*R*math.Sin(θ), 1e-3)
	near(t, "needed", float64(r.Lost.Needs), 0.05, 0)
	if r.MouldLeft == nil || !(*r.MouldLeft > Trifle) {
		t.Error("nothing says what the best split of the plug leaves")
	}
	in.OnePiece = false
	flatHalves(t, work(t, in).Part, r3.Vec{}, 2*R*θ)
}

// In a cavity the same bowl is the mould's affair: it parts, with flanges and pins.
func TestSplitCavity(t *testing.T) {
	const R = 0.1
	r := work(t, Input{Part: shapes.Cap(R, rad(130), 32).Flipped(), Pull: r3.Vec{Z: -1}, Cavity: true})
	if r.Mould == nil {
		t.Fatal("not split")
	}
	j := r.Mould.Joint
	near(t, "flange", float64(j.Area), float64(usualFlange)*float64(r.Mould.Seam), 1e-9)
	if len(j.Pins) < 2 {
		t.Fatalf("%d pins", len(j.Pins))
	}
	for _, p := range j.Pins { // half a flange outside the sphere
		near(t, "pin", r3.Norm(vec(p)), R+float64(usualFlange)/2, 1e-3)
		near(t, "pin in the plane", r.Mould.Planes[0].side(vec(p)), 0, 1e-9)
	}
	for _, p := range r.Mould.Pieces { // a half of the mould goes outwards: the part leaves it inwards
		if !p.Free() {
			t.Errorf("piece along %v", p.Dir)
		}
	}
}

// tube is a round tube along a path.
func tube(radius float64, around int, path func(s float64) (at, along r3.Vec)) *mesh.Mesh {
	const long = 60
	return shapes.Wound(around, long, func(u, v float64) r3.Vec {
		at, along := path(v)
		side := r3.Unit(r3.Cross(up, along))
		sin, cos := math.Sincos(2 * math.Pi * u)
		return r3.Add(at, r3.Add(r3.Scale(radius*cos, side), r3.Scale(radius*sin, r3.Cross(along, side))))
	})
}

// A tube that bends both ways has no plane that parts it; the line where its
// surface turns from one pull to the other does.
func TestCutAlongTurn(t *testing.T) {
	part := tube(0.03, 64, func(s float64) (at, along r3.Vec) {
		const long, sway = 0.5, 0.04
		a, b := 2*math.Pi*s, 3*math.Pi*s
		return r3.Vec{X: long * s, Y: sway * math.Sin(a), Z: sway * math.Cos(b)},
			r3.Unit(r3.Vec{X: long, Y: sway * 2 * math.Pi * math.Cos(a), Z: -sway * 3 * math.Pi * math.Sin(b)})
	})
	p := work(t, Input{Part: part, Pull: up}).Part
	if p == nil || p.Flat || len(p.Pieces) != 2 || p.locked() > Trifle {
		t.Fatalf("not parted along the turn: %+v", p)
	}
	var sum float64
	for _, q := range p.Pieces {
		if sum += float64(q.Area); q.MinDraft < si.Degrees(-3) { // a facet's turn
			t.Errorf("piece along %v leans back by %.2f deg", q.Dir, -q.MinDraft.Degrees())
		}
	}
	near(t, "area", sum, part.Area(), 1e-9)
}
