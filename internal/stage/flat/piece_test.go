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

// Beside an edge at an angle α to the warp the strip is wider by the length of the
// edge on the mould against the flat:
//
//	f = √(1 + sin 2α · sin γ) / cos γ
func TestAllowanceOnTheBias(t *testing.T) {
	const a, b, w, γ = 0.3, 0.2, 0.02, 30 * deg
	for _, α := range []float64{45 * deg, 20 * deg} {
		sin, cos := math.Sincos(α)
		p := Cut("P", gridOf(t, 6, 5, func(s, u float64) (r3.Vec, r2.Vec) {
			q := r2.Vec{X: a*s*cos - b*u*sin, Y: a*s*sin + b*u*cos}
			return onSheared(γ, q), q
		}), Cloth{Allowance: w})
		f := func(α float64) float64 { return math.Sqrt(1+math.Sin(2*α)*math.Sin(γ)) / math.Cos(γ) }
		mid := r2.Vec{X: a / 2 * cos, Y: a / 2 * sin}
		near(t, "beside the edge at α", past(p, mid, r2.Vec{X: sin, Y: -cos}), w*f(α), 5e-5)
		mid = r2.Vec{X: -b / 2 * sin, Y: b / 2 * cos}
		near(t, "beside the edge at α + 90°", past(p, mid, r2.Vec{X: -cos, Y: -sin}), w*f(α+math.Pi/2), 5e-5)
	}
}

// Two pieces that meet at a parting: one has the lap, as wide on the mould as asked,
// the other none; the marks of the same label come to the same place on the mould.
func TestPartingOfShearedCloth(t *testing.T) {
	const a, b, spare, lap, γ = 0.15, 0.24, 0.001, 0.015, 25 * deg
	for _, rightOver := range []bool{false, true} {
		left, right := sheared(t, a, b, γ, 6, 12), sheared(t, a, b, γ, 5, 12)
		var along, other []int32
		for j := range int32(13) {
			along, other = append(along, 7*j+6), append(other, 6*j)
		}
		// seen along the seam, upwards, the left piece lies on its left
		left.Slits = []cut.Slit{{Left: along, Route: 2, RightOver: rightOver}}
		right.Slits = []cut.Slit{{Right: other, Route: 2, RightOver: rightOver}}
		c := Cloth{Lap: lap - spare, Spare: spare, Allowance: 0.02}
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
		seams := append(left.Seams(lap), right.Seams(lap)...)
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
		seam := b.Seams(lap)[0]
		near(t, "length", float64(seam.Length), slant, 1e-9)
		// beside the side that lies over the notch is wider than the lap from 15 mm on
		near(t, "short of the lap", float64(seam.Short), lap, slant/10)
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
