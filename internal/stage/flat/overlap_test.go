package flat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
)

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
	if s := b.Seams(0.015)[0]; math.Abs(float64(s.Short)-slant) > 1e-9 {
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
	b := Sheet{Ground: groundOf(t, m), Flat: flat}
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
