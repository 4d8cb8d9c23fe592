package seed

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/slits"
)

const deg = math.Pi / 180

// partOn is the whole of a surface, seeded in its middle, the warp laid in.
func partOn(t testing.TB, m *mesh.Mesh, warp r3.Vec) *slits.Part {
	t.Helper()
	parts, err := slits.Parts(m)
	if err != nil || len(parts) != 1 {
		t.Fatalf("%d parts, %v", len(parts), err)
	}
	p := &parts[0]
	p.Seed = Middle(p)
	Aim(p, warp)
	return p
}

// asked is what a seed is sought for where cloth locks at 45° and is cut.
func asked(warp r3.Vec, angles ...float64) Ask {
	ask := Ask{Warp: warp, Locking: si.Degrees(45), Cuts: true, Tolerance: si.Degrees(3)}
	for _, a := range angles {
		ask.Angles = append(ask.Angles, si.Degrees(a))
	}
	return ask
}

var ahead = r3.Vec{X: 1}

// plate is 300 by 200 mm, seen from +z.
func plate() *mesh.Mesh {
	return shapes.Patch(12, 8, func(s, t float64) r3.Vec { return r3.Vec{X: 0.3 * (s - 0.5), Y: 0.2 * (t - 0.5)} })
}

// dome is a bump of height h and breadth b on a plate of 600 by 500 mm, its pole
// off the middle.
func dome(n int, pole r3.Vec, h, b float64) *mesh.Mesh {
	return shapes.Starred(n, n, func(s, t float64) r3.Vec {
		x, y := 0.6*(s-0.5), 0.5*(t-0.5)
		return r3.Vec{X: x, Y: y, Z: h * math.Exp(-(math.Pow(x-pole.X, 2)+math.Pow(y-pole.Y, 2))/(b*b))}
	})
}

// The curvature of a bump is parted among four quarters only from its pole: from
// anywhere else one quarter has more than its share, so that the pole is the best
// seed, whatever the angles of the plies.
func TestSeedFindsThePole(t *testing.T) {
	for _, pole := range []r3.Vec{{X: 0.1, Y: 0.06}, {X: -0.12, Y: 0.09}} {
		for _, angles := range [][]float64{{0}, {0, 45, 30}} {
			p := partOn(t, dome(40, pole, 0.08, 0.09), ahead)
			seed, s := Find(p, asked(ahead, angles...))
			at := p.Top.Mesh.At(seed)
			if miss := math.Hypot(at.X-pole.X, at.Y-pole.Y); !s.Moved || miss > 0.02 {
				t.Errorf("plies at %v: seed %v, %.0f mm from the pole", angles, at, 1000*miss)
			}
			if s.SeedShear >= s.MiddleShear-leastGain && s.SeedLocked >= s.MiddleLocked-leastShare {
				t.Errorf("nothing was gained: %+v", s)
			}
		}
	}
}

// On a bump that lies on a middle line of the plate the seed does so to a hair.
func TestSeedKeepsToAnEvenLine(t *testing.T) {
	p := partOn(t, dome(40, r3.Vec{X: 0.11}, 0.08, 0.09), ahead)
	seed, _ := Find(p, asked(ahead, 0))
	if at := p.Top.Mesh.At(seed); math.Abs(at.X-0.11) > 0.02 || math.Abs(at.Y) > 1e-4 {
		t.Errorf("seed %v", at)
	}
}

// The seed is found in the same place however the mesh is numbered, turned, shifted
// or sized, on an even shape too, where several places are alike.
func TestSeedWhateverThePose(t *testing.T) {
	ridge := shapes.Starred(36, 30, func(s, u float64) r3.Vec { // two domes at one end
		x, y := 0.6*(s-0.5), 0.5*(u-0.5)
		bump := func(x0, y0 float64) float64 { return math.Exp(-((x-x0)*(x-x0) + (y-y0)*(y-y0)) / 0.0064) }
		return r3.Vec{X: x, Y: y, Z: 0.06 * (bump(0.15, 0.1) + bump(0.15, -0.1))}
	})
	turn := r3.NewRotation(1.1, r3.Unit(r3.Vec{X: 0.3, Y: -0.5, Z: 1}))
	seedOf := func(m *mesh.Mesh, warp r3.Vec) r3.Vec {
		p := partOn(t, m, warp)
		seed, _ := Find(p, asked(warp, 0, 45))
		return p.Top.Mesh.At(seed)
	}
	warp := r3.Unit(r3.Vec{X: 1, Y: 0.1})
	want := seedOf(ridge, warp)
	if math.Hypot(want.X, want.Y) < 0.05 {
		t.Fatalf("the seed stays in the middle: %v", want)
	}
	mixed := shapes.Shuffled(ridge, 7)
	if got := seedOf(mixed, warp); r3.Norm(r3.Sub(got, want)) > 1e-6 {
		t.Errorf("numbered anew: %v, want %v", got, want)
	}
	moved := mixed.Clone()
	for v, x := range moved.Vertices {
		moved.Vertices[v] = r3.Add(r3.Scale(3, turn.Rotate(x)), r3.Vec{X: 2, Y: 1})
	}
	if got := seedOf(moved, turn.Rotate(warp)); r3.Norm(r3.Sub(got, r3.Add(r3.Scale(3, turn.Rotate(want)), r3.Vec{X: 2, Y: 1}))) > 1e-5 {
		t.Errorf("moved: %v, want %v", got, want)
	}
}

func BenchmarkSeedSearch(b *testing.B) {
	p := partOn(b, dome(224, r3.Vec{X: 0.1, Y: 0.06}, 0.08, 0.09), ahead)
	for b.Loop() {
		Find(p, asked(ahead, 0, 45))
	}
}
