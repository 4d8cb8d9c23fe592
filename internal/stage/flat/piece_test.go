package flat

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

const deg = math.Pi / 180

// A strip of width w beside an edge of cloth sheared by γ, on the mould, is w/cos γ
// wide in the flat, measured across that edge: the flat map has the determinant
// 1/cos γ and leaves the length of the yarn along the edge as it is.
func TestAllowanceOnShearedCloth(t *testing.T) {
	const a, b, w = 0.3, 0.2, 0.02
	for _, γ := range []float64{0, 20 * deg, 45 * deg, -30 * deg} {
		p := Cut("P", sheared(t, a, b, γ, 6, 5), Cloth{Allowance: w})
		sound(t, p)
		box := Polygon(p.Outline).Bounds()
		for what, got := range map[string]float64{"left": -box.Min.X, "right": box.Max.X - a, "below": -box.Min.Y, "above": box.Max.Y - b} {
			near(t, fmt.Sprintf("%.0f°, %s", γ/deg, what), got, w/math.Cos(γ), 1e-5)
		}
		// on the mould each side of the outline lies w from that of the net
		for _, side := range [][2]r2.Vec{{{X: a / 2, Y: box.Min.Y}, {X: 1}}, {{X: box.Max.X, Y: b / 2}, {Y: 1}}} {
			edge := side[0]
			edge.X, edge.Y = min(edge.X, a), max(edge.Y, 0)
			way := r3.Unit(onSheared(γ, side[1]))
			off := r3.Sub(onSheared(γ, side[0]), onSheared(γ, edge))
			near(t, "on the mould", r3.Norm(r3.Cross(off, way)), w, 1e-5)
		}
		near(t, "net area", Polygon(p.Net).Area(), a*b, 1e-12)
		near(t, "area", float64(p.Area), a*b, 1e-12)
	}
}

// Two pieces that meet at a parting: one has the lap, as wide on the mould as asked,
// the other none; the marks of the same label come to the same place on the mould.
func TestPartingOfShearedCloth(t *testing.T) {
	const a, b, lap, γ = 0.15, 0.24, 0.015, 25 * deg
	for _, rightOver := range []bool{false, true} {
		left, right := sheared(t, a, b, γ, 6, 12), sheared(t, a, b, γ, 5, 12)
		var along, other []int32
		for j := range int32(13) {
			along, other = append(along, 7*j+6), append(other, 6*j)
		}
		// seen along the seam, upwards, the left piece lies on its left
		left.Slits = []cut.Slit{{Left: along, Route: 2, RightOver: rightOver}}
		right.Slits = []cut.Slit{{Right: other, Route: 2, RightOver: rightOver}}
		c := Cloth{Lap: lap, Allowance: 0.02}
		p, q := Cut("P01A", left, c), Cut("P01B", right, c)
		sound(t, p)
		sound(t, q)
		wantLeft, wantRight := lap/math.Cos(γ), 0.0
		if rightOver {
			wantLeft, wantRight = wantRight, wantLeft
		}
		near(t, "lap on the left piece", past(p, r2.Vec{X: a, Y: 0.3 * b}, r2.Vec{X: 1}), wantLeft, 5e-5)
		near(t, "lap on the right piece", past(q, r2.Vec{Y: 0.3 * b}, r2.Vec{X: -1}), wantRight, 5e-5)
		near(t, "lap areas", float64(p.LapArea+q.LapArea), b*lap/math.Cos(γ), 2e-6)
		var count int
		for _, m := range p.Marks {
			if m.Kind != Match {
				continue
			}
			i := slices.IndexFunc(q.Marks, func(o Mark) bool { return o.Kind == Match && o.Label == m.Label })
			if i < 0 || !strings.HasPrefix(m.Label, "C") {
				t.Errorf("mark %s stands alone", m.Label)
				continue
			}
			count++
			// where each mark crosses its own side of the seam
			onLeft := onSheared(γ, crossingX(m.Line, a))
			onRight := r3.Add(onSheared(γ, crossingX(q.Marks[i].Line, 0)), r3.Vec{X: a})
			near(t, "marks apart", r3.Norm(r3.Sub(onLeft, onRight)), 0, 5e-5)
			// the lower half of the two reaches from under the edge of the upper to beyond it
			long := r2.Norm(r2.Sub(vec(m.Line[1]), vec(m.Line[0]))) * math.Cos(γ)
			near(t, "length of a mark", long, lap+markLong, 1e-4)
		}
		if count != 6 { // 240 mm, from 20 on at every 40
			t.Errorf("%d marks meet", count)
		}
		if len(p.Knife)+len(q.Knife) != 0 || len(p.Stops)+len(q.Stops) != 0 {
			t.Error("a knife line or a stop at a parting")
		}
		if n := len(p.Notches) + len(q.Notches); n != 2 { // both ends of the side with the lap
			t.Errorf("%d notches", n)
		}
		seams := append(left.Seams(lap, 0), right.Seams(lap, 0)...)
		if len(seams) != 1 || !seams[0].Parting || seams[0].Short != 0 || seams[0].Number != 2 || (seams[0].Over == "right") != rightOver {
			t.Errorf("seams %+v", seams)
		}
	}
}

// past returns how far a piece goes on from a point of its net in a direction.
func past(p Piece, from, way r2.Vec) float64 {
	ring := Polygon(p.Outline)
	for d := 0.0; d < 0.1; d += 5e-6 {
		if !ring.Contains(r2.Add(from, r2.Scale(d+2e-5, way))) {
			return d
		}
	}
	return math.Inf(1)
}

func vec(p [2]float64) r2.Vec { return r2.Vec{X: p[0], Y: p[1]} }

// crossingX returns where a straight mark, carried on if need be, crosses x.
func crossingX(line [][2]float64, x float64) r2.Vec {
	p, q := vec(line[0]), vec(line[1])
	return r2.Add(p, r2.Scale((x-p.X)/(q.X-p.X), r2.Sub(q, p)))
}

// A cone slit along a line opens by 360°(1 − sin α). The lap is a strip of the asked
// width beside the side that lies over, and the marks on both sides are as far from
// the apex: the flat map is exact.
func TestConeWithLap(t *testing.T) {
	const slant, sin, lap = 0.15, 0.75, 0.015
	for _, rightOver := range []bool{false, true} {
		b := fan(t, slant, 10, 90, round(sin), nil)
		b.Slits[0].RightOver = rightOver
		p := Cut("P", b, Cloth{Lap: lap, Allowance: 0.02})
		sound(t, p)
		sector := 2 * math.Pi * sin
		near(t, "net", Polygon(p.Net).Area(), sector/2*slant*slant, 2e-5)
		at, left := r2.Vec{X: 0.9 * slant}, r2.Vec{Y: -1} // the left side lies along x, its cloth above
		end := r2.Unit(b.Flat[b.Slits[0].Right[10]])
		atRight, right := r2.Scale(0.9*slant, end), r2.Vec{X: -end.Y, Y: end.X}
		wantLeft, wantRight := lap, 0.0
		if rightOver {
			wantLeft, wantRight = 0, lap
		}
		near(t, "lap on the left", past(p, at, left), wantLeft, 5e-5)
		near(t, "lap on the right", past(p, atRight, right), wantRight, 5e-5)
		near(t, "lap area", float64(p.LapArea), lap*slant, 1e-3*lap*slant) // it just fits into the notch of 90°
		if len(p.Stops) != 1 || math.Hypot(p.Stops[0].At[0], p.Stops[0].At[1]) > 1e-9 {
			t.Errorf("stops %v", p.Stops)
		}
		far := map[string][]float64{}
		for _, m := range p.Marks {
			if m.Kind == Match {
				// the marks stand square on the sides of the sector
				from, to := vec(m.Line[0]), vec(m.Line[1])
				u := r2.Unit(r2.Sub(to, from))
				foot := math.Abs(r2.Cross(u, from)) // distance of the mark's line from the apex
				far[m.Label] = append(far[m.Label], foot)
			}
		}
		if len(far) != 4 { // at 20, 60, 100 and 140 mm
			t.Errorf("marks %v", far)
		}
		for label, d := range far {
			k := float64(label[1] - '1')
			if len(d) != 2 || math.Abs(d[0]-0.02-0.04*k) > 1e-4 || math.Abs(d[1]-0.02-0.04*k) > 1e-4 {
				t.Errorf("%s lies %v from the apex", label, d)
			}
		}
		seam := b.Seams(lap, 0)[0]
		near(t, "length", float64(seam.Length), slant, 1e-9)
		// beside the side that lies over the notch is wider than the lap from 15 mm on
		near(t, "short of the lap", float64(seam.Short), lap, slant/10)
	}
}

// Where a surface closes in less than a plane the sides of a slit overlap in the flat:
// a cone whose lines make 400° in all. The overlap of 40° goes to the side that lies
// under, and is reported as a gap of the other; the outline is a whole disc.
func TestOverlapBesideSlit(t *testing.T) {
	const slant, whole = 0.12, 400 * deg
	b := fan(t, slant, 8, 120, ruffled(whole), nil)
	p := Cut("P", b, Cloth{Lap: 0.015, Allowance: 0.02})
	sound(t, p)
	near(t, "net", Polygon(p.Net).Area()/(math.Pi*slant*slant), 1, 2e-3)
	if len(p.Gaps) != 1 {
		t.Fatalf("gaps %v", p.Gaps)
	}
	g := p.Gaps[0]
	near(t, "gap", float64(g.Area)/(40*deg/2*slant*slant), 1, 5e-3)
	near(t, "area", float64(p.Area)/(math.Pi*slant*slant), 1, 2e-3)
	if g.Side != "left" || len(p.Knife) != 1 {
		t.Errorf("side %s, %d knife lines", g.Side, len(p.Knife))
	}
	// the knife follows the side that lies under, at 400° or 40°
	for _, k := range p.Knife[0][1:] {
		near(t, "knife", math.Atan2(k[1], k[0]), 40*deg, 1e-3)
	}
	if s := b.Seams(0.015, 0)[0]; math.Abs(float64(s.Short)-slant) > 1e-9 {
		t.Errorf("short of the lap over %g m", s.Short)
	}
}

// ruffled is a closed curve of directions of the given length in all: φ runs round
// once while the height swings twice, z = h·sin 2φ, with h found by halving.
func ruffled(whole float64) func(share float64) r3.Vec {
	curve := func(h float64) func(share float64) r3.Vec {
		return func(share float64) r3.Vec {
			s, c := math.Sincos(2 * math.Pi * share)
			z := h * math.Sin(4*math.Pi*share)
			return r3.Unit(r3.Vec{X: c, Y: s, Z: z})
		}
	}
	long := func(h float64) (sum float64) {
		for i := range 120 {
			sum += math.Acos(min(1, r3.Dot(curve(h)(float64(i)/120), curve(h)(float64(i+1)/120))))
		}
		return sum
	}
	low, high := 0.0, 3.0
	for range 60 {
		if mid := (low + high) / 2; long(mid) < whole {
			low = mid
		} else {
			high = mid
		}
	}
	return curve(low)
}

// A piece that would overlap itself otherwise is left as its net, which says so: a
// strip wound one and a half times round.
func TestOverlapElsewhereIsNotSound(t *testing.T) {
	b := gridOf(t, 60, 3, func(s, u float64) (r3.Vec, r2.Vec) {
		sin, cos := math.Sincos(3 * math.Pi * s)
		r := 0.1 + 0.03*u
		return r3.Vec{X: -0.35 * s, Y: 0.03 * u}, r2.Vec{X: r * cos, Y: -r * sin}
	})
	p := Cut("P", b, Cloth{Allowance: 0.02})
	if Polygon(p.Net).Valid() == nil || !p.Overlaps {
		t.Error("a net that lies over itself counts as simple")
	}
}

// The star of five points drawn in one go winds twice round its middle, which is a
// pentagon of circumradius R/φ², φ = (1+√5)/2, and once round each of its points.
func TestFacesOfPentagram(t *testing.T) {
	var ring []border
	for i := range 5 {
		sin, cos := math.Sincos(float64(i) * 2 * 2 * math.Pi / 5)
		ring = append(ring, border{side: trim, a: r2.Vec{X: cos, Y: sin}})
	}
	for i := range ring {
		ring[i].b = ring[(i+1)%5].a
	}
	count := map[int]int{}
	φ := (1 + math.Sqrt(5)) / 2
	for _, f := range tangleOf(ring).faces {
		count[f.winding]++
		if f.winding == 2 {
			r := 1 / (φ * φ)
			near(t, "pentagon", f.border.Area(), 5.0/2*r*r*math.Sin(2*math.Pi/5), 1e-8)
		}
	}
	// the whole star has ten corners: five at R and five at R/φ²
	if got := tangleOf(ring).rings(func(w int) bool { return w > 0 }); len(got) != 1 || len(got[0]) != 10 {
		t.Errorf("the star: %v", got)
	}
	if count[2] != 1 || count[1] != 5 || count[0] != 1 {
		t.Errorf("faces by winding: %v", count)
	}
}

// A path that goes to and fro over a straight line is drawn nearly straight, and both
// sides move alike: turned by the notch's angle the one lies on the other.
func TestSlitIsFaired(t *testing.T) {
	const slant, sin = 0.2, 0.8
	zigzag := func(ring int) float64 { // 2 mm either way
		if ring%2 == 0 || ring < 5 {
			return 0
		}
		return 0.002 / (slant * float64(ring) / 20)
	}
	b := fan(t, slant, 20, 60, round(sin), zigzag)
	d := newDrawing(b, Cloth{Lap: 0.015})
	e := d.edges[0]
	rough, fair := 0.0, 0.0
	angle := 0.0
	for i := range 60 {
		angle += math.Acos(r3.Dot(round(sin)(float64(i)/60), round(sin)(float64(i+1)/60)))
	}
	s, c := math.Sincos(angle)
	for i, p := range e.left {
		turned := r2.Vec{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y}
		near(t, "sides apart", r2.Norm(r2.Sub(turned, e.right[i])), 0, 5e-5)
		if p.X > 0.07 && p.X < 0.17 {
			fair = max(fair, math.Abs(p.Y-0.001))
		}
	}
	for _, v := range b.Slits[0].Left[7:18] {
		rough = max(rough, math.Abs(b.Flat[v].Y-0.001))
	}
	if rough < 0.9e-3 || fair > rough/4 {
		t.Errorf("wobble of %.2f mm is drawn with %.2f mm", 1000*rough, 1000*fair)
	}
}

// Alignment ticks lie where the planes through the seed leave the plate, in the flat
// and on the mould.
func TestAlignmentMarks(t *testing.T) {
	b := gridOf(t, 7, 5, func(s, u float64) (r3.Vec, r2.Vec) {
		x, y := 0.3*s, 0.2*u
		return r3.Vec{X: 1 + x, Y: 2 + y, Z: 0.5}, r2.Vec{X: y - 0.1, Y: 0.15 - x} // the warp runs along −y... +y of the mould
	})
	planes := SeedPlanes(r3.Vec{X: 1.12, Y: 2.07, Z: 0.5}, r3.Vec{Z: 1})
	if len(planes) != 2 || planes[0].Label != "x 1120" || planes[1].Label != "y 2070" {
		t.Fatalf("planes %v", planes)
	}
	p := Cut("P", b, Cloth{Allowance: 0.02, Pencilled: planes})
	want := map[string]r2.Vec{"x 1120 low": {X: -0.1, Y: 0.03}, "x 1120 high": {X: 0.1, Y: 0.03}, "y 2070 low": {X: -0.03, Y: 0.15}, "y 2070 high": {X: -0.03, Y: -0.15}}
	for _, m := range p.Marks {
		if m.Kind != Alignment {
			continue
		}
		for k, at := range want {
			if strings.HasPrefix(k, m.Label) && geom.SegmentDistance(at, vec(m.Line[0]), vec(m.Line[1])) < 1e-9 {
				delete(want, k)
				mould := r3.Vec{X: 1 + 0.15 - at.Y, Y: 2 + at.X + 0.1, Z: 0.5}
				near(t, "on the mould", r3.Norm(r3.Sub(Vec(*m.Mould), mould)), 0, 1e-9)
				near(t, "length", r2.Norm(r2.Sub(vec(m.Line[0]), vec(m.Line[1]))), 0.02+alignIn, 1e-9)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("no tick at %v", want)
	}
	if steep := SeedPlanes(r3.Vec{}, r3.Vec{X: 1}); steep[0].Label != "y 0" || steep[1].Label != "z 0" {
		t.Errorf("on a wall: %v", steep)
	}
}

// Only a symmetric piece of a cloth with like faces, square on the axes, may lie
// either way up.
func TestMayTurnOver(t *testing.T) {
	rect := sheared(t, 0.3, 0.2, 0, 3, 2)
	skew := gridOf(t, 3, 2, func(s, u float64) (r3.Vec, r2.Vec) {
		p := r2.Vec{X: 0.3*s + 0.1*u, Y: 0.2 * u}
		return r3.Vec{X: p.X, Y: p.Y}, p
	})
	for _, c := range []struct {
		b     Sheet
		angle si.Angle
		faces bool
		want  bool
	}{{rect, 0, true, true}, {rect, si.Degrees(90), true, true}, {rect, si.Degrees(45), true, false}, {rect, 0, false, false}, {skew, 0, true, false}} {
		p := Cut("P02", c.b, Cloth{Allowance: 0.01, Label: Label{Ply: 2, Fabric: "cloth", Angle: c.angle, FacesAlike: c.faces, Nth: 1, Of: 2}})
		if p.MayTurnOver != c.want {
			t.Errorf("at %.0f°, like faces %t: may turn over %t", c.angle.Degrees(), c.faces, p.MayTurnOver)
		}
		if words := strings.Join(p.Words, "; "); !strings.Contains(words, "Ply 2 · piece P02; cloth, warp at") || !strings.Contains(words, "piece 1 of 2; this side up: away from the mould") {
			t.Errorf("words %q", words)
		}
	}
}

// A patch is the sheet as it is, with the seam drawn where it lies.
func TestPatch(t *testing.T) {
	b := sheared(t, 0.2, 0.03, 10*deg, 20, 4)
	seam := [][3]float64{}
	for _, x := range []float64{0.01, 0.1, 0.19} {
		p := onSheared(10*deg, r2.Vec{X: x, Y: 0.015})
		seam = append(seam, [3]float64{p.X, p.Y, p.Z})
	}
	p := Patch("P01-1", b, Cloth{Lap: 0.015, Allowance: 0.02}, seam)
	sound(t, p)
	near(t, "outline", Polygon(p.Outline).Area(), 0.2*0.03, 1e-7)
	if len(p.Marks) != 1 || p.Marks[0].Kind != SeamLine || !p.Patch {
		t.Fatalf("marks %v", p.Marks)
	}
	for _, q := range p.Marks[0].Line {
		near(t, "seam", q[1], 0.015, 1e-9)
	}
}

// The same at a cut-out: a ring slit from its hole outwards, with 30° too much at the
// hole's rim and none at the tip. The overlap is
//
//	A = ∫ r·ε·(rₜ − r)/(rₜ − r₀) dr from r₀ to rₜ
func TestOverlapBesideSlitAtHole(t *testing.T) {
	const r0, rt, around, rings, tip, ε = 0.03, 0.09, 90, 20, 12, 30 * deg
	at := func(j, i int) int32 {
		if i == around && j >= tip {
			i = 0
		}
		return int32(j*(around+1) + i)
	}
	m := &mesh.Mesh{}
	var flat []r2.Vec
	for j := range rings + 1 {
		for i := range around + 1 {
			r, φ := r0+(rt-r0)*float64(j)/tip, 2*math.Pi*float64(i)/around
			s, c := math.Sincos(φ)
			m.Vertices = append(m.Vertices, r3.Vec{X: r * c, Y: r * s})
			s, c = math.Sincos(φ * (1 + ε/(2*math.Pi)*max(0, float64(tip-j)/tip)))
			flat = append(flat, r2.Vec{X: r * c, Y: r * s})
		}
	}
	for j := range rings {
		for i := range around {
			m.Triangles = append(m.Triangles, [3]int32{at(j, i), at(j+1, i+1), at(j, i+1)}, [3]int32{at(j, i), at(j+1, i), at(j+1, i+1)})
		}
	}
	b := Sheet{groundOf(t, m), flat}
	s := cut.Slit{}
	for j := tip; j >= 0; j-- { // from the tip inwards the left is at φ = 2π
		s.Left, s.Right = append(s.Left, at(j, around)), append(s.Right, at(j, 0))
	}
	b.Slits = []cut.Slit{s}
	p := Cut("P", b, Cloth{Lap: 0.01, Allowance: 0.01})
	sound(t, p)
	if len(p.Gaps) != 1 || p.Overlaps || len(p.Holes) != 1 {
		t.Fatalf("gaps %v, overlaps %t, %d holes", p.Gaps, p.Overlaps, len(p.Holes))
	}
	want := ε / (rt - r0) * (rt*(rt*rt-r0*r0)/2 - (rt*rt*rt-r0*r0*r0)/3)
	near(t, "gap", float64(p.Gaps[0].Area)/want, 1, 0.01)
	near(t, "hole", Polygon(p.Cutouts[0]).Area()/(math.Pi*r0*r0), 1, 0.01)
}
