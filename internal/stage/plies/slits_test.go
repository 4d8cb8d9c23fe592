package plies

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
)

// lid is a square top, 200 mm wide, with walls of a height at an angle to the
// horizontal, up to 90°, and sharp edges.
func lid(β, height float64) *mesh.Mesh {
	return shapes.Starred(40, 40, func(s, t float64) r3.Vec {
		x, y := 2*s-1, 2*t-1
		ρ := max(math.Abs(x), math.Abs(y))
		if ρ <= 0.5 {
			return r3.Vec{X: 0.2 * x, Y: 0.2 * y}
		}
		down := 2 * (ρ - 0.5) * height
		half := 0.1 + down/math.Tan(β)
		return r3.Vec{X: half * x / ρ, Y: half * y / ρ, Z: -down}
	})
}

func given(x, y, z float64) Spec {
	return Spec{Seed: bind.Auto[bind.Point]{Given: true, Value: bind.Point{V: r3.Vec{X: x, Y: y, Z: z}}}}
}

// pastCorner is how far a tip may lie beyond a sharp corner, m: one triangle
// across its diagonal, so that no cell of the net straddles the tip.
const pastCorner = 0.0145

// A box with upright walls, slit at each corner as long as the wall is high, lies
// without shear: its flat shape is a cross. In each notch of
// 90° the lap is a strip on one wall, as wide as asked. All areas are those of
// plane figures.
func TestUprightBox(t *testing.T) {
	var corners Spec
	for _, c := range []r3.Vec{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		corners.Slits.Drawn = append(corners.Slits.Drawn, Drawn{From: bind.Point{V: r3.Scale(0.09, c)}, To: bind.Point{V: r3.Add(r3.Scale(0.1, c), r3.Vec{Z: -0.08})}})
	}
	r := laid(t, Input{Spec: corners, Surface: lid(90*deg, 0.08), Plies: stackOf(45, 0)})
	if got := codes(r); strings.Contains(got, "cloth") || strings.Contains(got, "overlaps") || strings.Contains(got, "lap-short") || !strings.Contains(got, "note plies-are-slit") {
		t.Errorf("findings: %s", got)
	}
	p := r.Plies[0]
	if p.ShearMax > si.Degrees(0.5) || p.Locked != 0 || len(p.Seams) != 4 {
		t.Fatalf("shear %.2f°, locked %g m², %d seams", p.ShearMax.Degrees(), p.Locked, len(p.Seams))
	}
	for _, s := range p.Seams {
		if over := float64(s.Length) - 0.08; over < -1e-9 || over > pastCorner || s.Short > 0.025 || s.Lap != usualLap {
			t.Errorf("seam of %.4f m, %.4f m of it short of the lap of %g m", s.Length, s.Short, s.Lap)
		}
		first, last := flat.Vec(s.Line[0]), flat.Vec(s.Line[len(s.Line)-1])
		if math.Hypot(math.Abs(first.X)-0.1, math.Abs(first.Y)-0.1) > pastCorner || first.Z != 0 || math.Abs(last.Z+0.08) > 1e-9 {
			t.Errorf("seam from %v to %v", first, last)
		}
	}
	piece := p.Pieces[0]
	const cross = 0.04 + 4*0.2*0.08
	if math.Abs(flat.Polygon(piece.Net).Area()/cross-1) > 1e-4 || math.Abs(float64(piece.Area)/cross-1) > 1e-4 {
		t.Errorf("net %.6f m², cloth %.6f m², want %.6f", flat.Polygon(piece.Net).Area(), piece.Area, cross)
	}
	if want := 4 * 0.08 * (0.015 + cutWider); math.Abs(float64(r.LapArea)/want-1) > 0.01 {
		t.Errorf("laps %.6f m², want %.6f", r.LapArea, want)
	}
	// four rims of 200 mm with the allowance of 20 mm, and a quarter turn at each lap's end
	straight, turn := cross+4*0.08*(0.015+cutWider)+4*0.2*0.02, math.Pi
	if got := flat.Polygon(piece.Outline); got.Valid() != nil || got.Area() < straight+turn*0.015*0.015 || got.Area() > straight+turn*0.02*0.02 {
		t.Errorf("outline round %.6f m²: %v", got.Area(), got.Valid())
	}
	// the left side, seen from the tip, has cloth beyond its lap line, to the width of the lap
	for _, mark := range piece.Marks {
		if mark.Label != "lap line" {
			continue
		}
		line := flat.Polygon(mark.Line)
		a, b := line[len(line)-2], line[len(line)-1]
		right := r2.Unit(r2.Vec{X: b.Y - a.Y, Y: a.X - b.X})
		mid := r2.Add(a, r2.Scale(0.7, r2.Sub(b, a)))
		cut := flat.Polygon(piece.Outline)
		const lap = 0.015 + cutWider
		if !cut.Contains(r2.Add(mid, r2.Scale(lap-1e-4, right))) || cut.Contains(r2.Add(mid, r2.Scale(lap+1e-4, right))) {
			t.Errorf("no lap of %g m to the right of %v to %v", lap, a, b)
		}
	}
	if len(piece.Marks) < 8 || len(piece.Knife) < 4 {
		t.Errorf("%d marks, %d knife lines", len(piece.Marks), len(piece.Knife))
	}
}

// With draft the corner still holds more than the cloth takes (80.04° behind
// walls at 85°: 90° − 2·asin(cot β/√(1+2cot²β))); slits along the slanted edge,
// h·√(1+2cot²β) long, let it lie. The yarns from the seed of a ply on the bias run over
// the corners and share each between the walls beside it, 40.02° to either; two corners
// would meet as far below the edge as half the lid is wide, and the walls end before. It lies uncut.
func TestDraftedBox(t *testing.T) {
	const h = 0.08
	r := laid(t, Input{Spec: Spec{Stagger: new(si.Length)}, Surface: lid(85*deg, h), Plies: stackOf(45, 0, 45)})
	cot := 1 / math.Tan(85*deg)
	long := h * math.Sqrt(1+2*cot*cot)
	for i, p := range r.Plies {
		if p.ShearMax > si.Degrees(45) || p.Locked != 0 || len(p.Seams) != [2]int{4, 0}[i] {
			t.Errorf("ply %d: shear %.2f°, locked %g m², %d seams", p.Number, p.ShearMax.Degrees(), p.Locked, len(p.Seams))
		}
		for _, s := range p.Seams {
			// what is left over 80° − 45° may be sheared, so that a tip need not reach the corner
			if s.Length < si.Length(long/2) || float64(s.Length) > long+pastCorner {
				t.Errorf("ply %d: seam of %.4f m, want at most %.4f", p.Number, s.Length, long)
			}
		}
	}
	if γ := r.Plies[1].ShearMax; γ < si.Degrees(40) {
		t.Errorf("on the bias %.2f°, want half of 80.04° at least", γ.Degrees())
	}
	whole := laid(t, Input{Spec: Spec{Slits: Slits{None: true}}, Surface: lid(70*deg, h), Plies: stackOf(60, 0)})
	if len(whole.Plies[0].Seams) != 0 || whole.Stagger != nil || whole.LapArea != 0 {
		t.Errorf("slits where there are to be none: %+v", whole.Plies[0].Seams)
	}
}

// A cone to its apex does not lie flat without a slit; with one it is a sector of
// angle 360°·sin α, of area π·r·s, without shear.
func TestConeNeedsOneSlit(t *testing.T) {
	const slant, sin = 0.12, 0.7
	m := &mesh.Mesh{Vertices: []r3.Vec{{Z: slant * math.Sqrt(1-sin*sin)}}}
	const rings, around = 14, 48
	for j := 1; j <= rings; j++ {
		for i := range around {
			φ, s := 2*math.Pi*float64(i)/around, slant*float64(j)/rings
			m.Vertices = append(m.Vertices, r3.Vec{X: s * sin * math.Cos(φ), Y: s * sin * math.Sin(φ), Z: (slant - s) * math.Sqrt(1-sin*sin)})
		}
	}
	at := func(j, i int) int32 { return int32(1 + (j-1)*around + i%around) }
	for i := range around {
		m.Triangles = append(m.Triangles, [3]int32{0, at(1, i), at(1, i+1)})
		for j := 1; j < rings; j++ {
			m.Triangles = append(m.Triangles, [3]int32{at(j, i), at(j+1, i), at(j+1, i+1)}, [3]int32{at(j, i), at(j+1, i+1), at(j, i+1)})
		}
	}
	r := laid(t, Input{Spec: given(0.05, 0.001, 0.05), Surface: m, Plies: stackOf(45, 0)})
	p := r.Plies[0]
	if len(p.Seams) != 1 || p.ShearMax > si.Degrees(1) || strings.Contains(codes(r), "stop piece-overlaps") {
		t.Fatalf("%d seams, shear %.2f°, findings %s", len(p.Seams), p.ShearMax.Degrees(), codes(r))
	}
	if math.Abs(float64(p.Seams[0].Length)/slant-1) > 0.01 {
		t.Errorf("seam of %.4f m, want %.4f", p.Seams[0].Length, slant)
	}
	if got := flat.Polygon(p.Pieces[0].Net).Area(); math.Abs(got/(math.Pi*sin*slant*slant)-1) > 2e-3 {
		t.Errorf("flat %.6f m² on %.6f", got, m.Area())
	}
}

// A hemisphere shears cloth by 52.4° at its rim on the bias (see the drape
// package); cloth that locks at 40° gets slits there, and lies.
func TestHemisphereIsSlit(t *testing.T) {
	m := shapes.Starred(32, 32, func(s, u float64) r3.Vec {
		x, y := 2*s-1, 2*u-1
		ρ := max(math.Abs(x), math.Abs(y))
		if ρ == 0 {
			return r3.Vec{Z: 0.1}
		}
		θ, n := ρ*math.Pi/2, math.Hypot(x, y)
		return r3.Vec{X: 0.1 * math.Sin(θ) * x / n, Y: 0.1 * math.Sin(θ) * y / n, Z: 0.1 * math.Cos(θ)}
	})
	r := laid(t, Input{Surface: m, Plies: stackOf(40, 0)})
	p := r.Plies[0]
	if p.Locked > si.Area(1e-4) || p.ShearMax > si.Degrees(42) || len(p.Seams) < 4 || len(p.Seams) > 8 {
		t.Errorf("locked %g m², %d seams, findings %s", p.Locked, len(p.Seams), codes(r))
	}
	for _, s := range p.Seams {
		if s.Length > 0.11 {
			t.Errorf("a slit of %.3f m", s.Length)
		}
	}
	if piece := p.Pieces[0]; flat.Polygon(piece.Net).Valid() != nil || flat.Polygon(piece.Outline).Valid() != nil {
		t.Errorf("the piece crosses itself")
	}
}

// A drawn slit in a plate does not open: it is one knife line with no lap, and the
// outline stays as it is. One that is drawn into a cut-out is cut to its middle.
func TestDrawnSlit(t *testing.T) {
	drawn := Spec{Slits: Slits{Drawn: []Drawn{{From: bind.Point{V: r3.Vec{X: 0.05}}, To: bind.Point{V: r3.Vec{X: 0.2}}}}}}
	r := laid(t, Input{Spec: drawn, Surface: plate(), Plies: stackOf(45, 0)})
	p := r.Plies[0]
	if len(p.Seams) != 1 || math.Abs(float64(p.Seams[0].Length)-0.1) > 1e-9 || p.Seams[0].Short != p.Seams[0].Length {
		t.Fatalf("seams %+v", p.Seams)
	}
	whole := laid(t, Input{Spec: Spec{Slits: Slits{None: true}}, Surface: plate(), Plies: stackOf(45, 0)}).Plies[0].Pieces[0]
	piece := p.Pieces[0]
	if math.Abs(flat.Polygon(piece.Outline).Area()/flat.Polygon(whole.Outline).Area()-1) > 2e-3 || len(piece.Knife) != 1 || piece.LapArea > 1e-5 {
		t.Errorf("outline round %.6f m² for %.6f, %d knife lines, lap %g m²", flat.Polygon(piece.Outline).Area(), flat.Polygon(whole.Outline).Area(), len(piece.Knife), piece.LapArea)
	}
	if k := piece.Knife[0]; math.Abs(k[0][0]-0.05) > 1e-3 || math.Abs(k[len(k)-1][0]-0.17) > 1e-3 {
		t.Errorf("knife from %v to %v, want from the tip to the cut line", k[0], k[len(k)-1])
	}
	// the slit gives no lap: a patch lies over it, a lap wide to each side and past the tip
	if n := len(p.Pieces); n != 2 || !p.Pieces[1].Patch || strings.Contains(codes(r), "lap-short") {
		t.Fatalf("%d pieces, findings: %s", n, codes(r))
	}
	if got, want := float64(p.Pieces[1].Area), 0.03*0.1+math.Pi*0.015*0.015/2; got < want || got > 1.3*want {
		t.Errorf("a patch of %.6f m², want a little over %.6f", got, want)
	}
}

// Neighbouring plies are slit on either side of a corner; where both must reach
// it a finding says so. At the rim they are the stagger apart over the corner, which
// straight across, from wall to wall, is 25 mm/√2.
func TestStagger(t *testing.T) {
	r := laid(t, Input{Surface: lid(90*deg, 0.12), Plies: stackOf(45, 0, 0, 0)})
	if r.Stagger == nil || *r.Stagger > 1e-3 || !strings.Contains(codes(r), "caution seams-close") {
		t.Errorf("least distance %v, findings %s", r.Stagger, codes(r))
	}
	if r.Plies[0].Laid == r.Plies[1].Laid || r.Plies[1].Laid == r.Plies[2].Laid || r.Plies[0].Laid == r.Plies[2].Laid {
		t.Error("three plies in a row are not slit along three lines")
	}
	for _, p := range r.Plies {
		if p.Locked != 0 || len(p.Seams) != 4 {
			t.Errorf("ply %d: locked %g m², %d seams", p.Number, p.Locked, len(p.Seams))
		}
	}
	for _, a := range r.Plies[0].Seams {
		for _, b := range r.Plies[1].Seams {
			if d := r3.Norm(r3.Sub(flat.Vec(a.Line[len(a.Line)-1]), flat.Vec(b.Line[len(b.Line)-1]))); d < 0.025/math.Sqrt2 {
				t.Errorf("seams leave %.4f m from each other", d)
			}
		}
	}
}

func TestSlitsGiveSameBytes(t *testing.T) {
	in := Input{Surface: lid(88*deg, 0.06), Plies: stackOf(45, 0)}
	a, err := json.Marshal(laid(t, in))
	if err != nil {
		t.Fatal(err)
	}
	if b, _ := json.Marshal(laid(t, in)); !bytes.Equal(a, b) {
		t.Error("laid twice, the plies differ")
	}
}

func TestSlitsHeedTheirContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Lay(ctx, Input{Surface: lid(90*deg, 0.08), Plies: stackOf(45, 0)}); err == nil {
		t.Error("a call that was ended gave a result")
	}
}

// A cut drawn for a ply that is not in the stack is no cut left out, but an error.
func TestDrawnForNoPly(t *testing.T) {
	drawn := Spec{Slits: Slits{Drawn: []Drawn{{From: bind.Point{V: r3.Vec{X: 0.05}}, To: bind.Point{V: r3.Vec{X: 0.2}}, Plies: []int{2}}}}}
	if _, err := Lay(t.Context(), Input{Spec: drawn, Surface: plate(), Plies: stackOf(45, 0)}); err == nil || !strings.Contains(err.Error(), "ply 2") {
		t.Errorf("error %v", err)
	}
}
