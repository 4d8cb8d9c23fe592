package relay

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
)

// folded is a plate of 0.3 m by 0.2 m bent by an angle along x = 0.17, with the
// rows of its mesh wavy.
func folded(n int, angle float64) *sheets {
	return (&sheets{}).grid(3*n, 2*n, func(s, t float64) r3.Vec {
		wave := 0.004 * math.Sin(100.0/3*math.Pi*0.3*s) * math.Sin(math.Pi*t)
		return bent(r2.Vec{X: 0.3 * s, Y: 0.2*t + wave}, angle)
	})
}

func bent(p r2.Vec, angle float64) r3.Vec {
	if p.X <= 0.17 {
		return r3.Vec{X: p.X, Y: p.Y}
	}
	return r3.Vec{X: 0.17 + (p.X-0.17)*math.Cos(angle), Y: p.Y, Z: -(p.X - 0.17) * math.Sin(angle)}
}

// Distances over a fold are those of the plate unrolled, but for a part of a side
// of the triangles, the less the finer they are.
func TestDistances(t *testing.T) {
	end := r2.Vec{X: 0.15, Y: 0.1}
	worst := func(n int) (beside, round float64) {
		top := folded(n, math.Pi/2).top(t)
		line := []r3.Vec{}
		for k := range n + 1 {
			line = append(line, bent(r2.Vec{X: end.X, Y: 0.1 + 0.1*float64(k)/float64(n)}, 0))
		}
		d := distances(top, mesh.NewLocator(top.Mesh), line, 0.08)
		for v := range d {
			at := r2.Vec{X: 0.3 * float64(v%(3*n+1)) / float64(3*n), Y: top.Mesh.Vertices[v].Y}
			want := math.Hypot(at.X-end.X, min(0, at.Y-end.Y))
			switch off := math.Abs(d[v] - want); {
			case want > 0.075:
			case at.Y >= end.Y:
				beside = max(beside, off)
			default:
				round = max(round, off)
			}
		}
		return beside, round
	}
	beside1, round1 := worst(20) // sides of 5 mm
	beside2, round2 := worst(40)
	if beside1 > 1e-3 || round1 > 3e-3 || beside2 > 0.7*beside1 || round2 > 0.7*round1 {
		t.Errorf("off by %.2g and %.2g m beside the line, %.2g and %.2g m round its end", beside1, beside2, round1, round2)
	}
}

// slitPlate is a plate with a slit of 0.1 m from its middle to the rim, which
// does not open: one knife line, and no lap. missing is the width of cloth that is cut off
// beside it.
func slitPlate(t *testing.T, missing float64) (*mesh.Topology, Piece) {
	top := (&sheets{}).grid(40, 40, func(s, t float64) r3.Vec { return r3.Vec{X: 0.2 * s, Y: 0.2 * t} }).top(t)
	p := Piece{Ground: opened(t, top, []r3.Vec{{X: 0.1, Y: 0.1}, {X: 0.2, Y: 0.1}})}
	p.Flat = laidBy(p.Ground, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.X, Y: at.Y} })
	p.Outline = union(t, [4]float64{-0.01, -0.01, 0.21, 0.21})
	if missing > 0 {
		p.Holes = [][][2]float64{{{0.1, 0.1}, {0.209, 0.1}, {0.209, 0.1 + missing}, {0.1, 0.1 + missing}}}
	} else {
		p.Knife = [][][2]float64{{{0.1, 0.1}, {0.21, 0.1}}}
	}
	return top, p
}

// A patch over a slit joins its sides by as much as it reaches over either; its
// region is half a stadium's. Where cloth lacks, the patch covers that too.
func TestPatch(t *testing.T) {
	for _, missing := range []float64{0, 0.004} {
		top, p := slitPlate(t, missing)
		in := Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: 0.015, Allowance: 0.01}
		before := relaid(t, in).Plies[0]
		near(t, "least lap", float64(*before.LapLeast), -missing, 1e-6)
		near(t, "short", float64(before.LapShort), 0.1, 1e-9)
		near(t, "coverage", before.Coverage, 1-missing*0.1/0.04, 1e-6)
		if len(before.Short) != 1 || len(before.Uncovered) > 1 {
			t.Fatalf("short %+v, bare %+v", before.Short, before.Uncovered)
		}
		regions, err := Patches(top, mesh.NewLocator(top.Mesh), before.Short, in.Lap)
		if err != nil || len(regions) != 1 {
			t.Fatalf("%d regions: %v", len(regions), err)
		}
		r := regions[0]
		wide := in.Lap + missing + spare
		near(t, "region", r.Top.Mesh.Area(), 2*wide*0.1+math.Pi*wide*wide/2, 0.04*wide*0.1)
		if at := r.Top.Mesh.At(r.Seed); r3.Norm(r3.Sub(at, r3.Vec{X: 0.15, Y: 0.1})) > 1e-9 || math.Abs(r.Along.X) < 1-1e-9 {
			t.Errorf("seed at %v along %v", at, r.Along)
		}
		patch := Piece{Ground: cut.Uncut(r.Top), Patch: true}
		patch.Flat = laidBy(patch.Ground, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.Y - 0.1, Y: 0.15 - at.X} })
		for _, v := range r.Top.LoopVertices(r.Top.RimLoops()[0]) {
			patch.Outline = append(patch.Outline, [2]float64{patch.Flat[v].X, patch.Flat[v].Y})
		}
		in.Plies[0].Pieces = append(in.Plies[0].Pieces, patch)
		out := relaid(t, in)
		after := out.Plies[0]
		near(t, "coverage with the patch", after.Coverage, 1, 1e-6)
		if got := float64(*after.LapLeast); got < in.Lap-knife || got > wide+0.001 || after.LapShort != 0 {
			t.Errorf("joined by %g m, short over %g m", got, after.LapShort)
		}
		near(t, "double", float64(after.Doubled), r.Top.Mesh.Area()-missing*0.1, 1e-6)
		near(t, "mass", float64(after.Mass-before.Mass), areal*r.Top.Mesh.Area(), 2e-8)
		if out.LayersMax != 2 {
			t.Errorf("%d layers", out.LayersMax)
		}
		near(t, "step", float64(out.StepMax), thick, 1e-12)
	}
}

// Short stations of one seam with little between are one stretch, along the seam.
func TestNearStretchesAreOne(t *testing.T) {
	m := measured{route: 3}
	for i := range 20 {
		at := func(k float64) r3.Vec { return r3.Vec{X: 0.005 * (float64(i) + k)} }
		w := width{at: at(0.5), from: at(0), to: at(1), arc: 0.005 * (float64(i) + 0.5), long: 0.005, double: 0.015}
		if i < 2 || i == 6 || i > 16 {
			w.double, w.left = 0.004, 0.004
		}
		m.width = append(m.width, w)
	}
	got := m.short(1, 0.015)
	if len(got) != 2 || len(got[0].Line) != 8 || got[0].From != 0 || math.Abs(got[0].To-0.035) > 1e-12 || math.Abs(got[1].From-0.085) > 1e-12 || got[1].Least != 0.004 {
		t.Errorf("%+v", got)
	}
}

// A patch that lies over one side more than over the other joins them by the
// lesser of the two.
func TestPatchOffTheMiddle(t *testing.T) {
	top, p := slitPlate(t, 0)
	near := func(f int) bool {
		at := top.Mesh.Centroid(f)
		return at.X > 0.085 && at.Y > 0.095 && at.Y < 0.13
	}
	sub, err := mesh.NewTopology(top.Mesh.Extract(top.Mesh.FacesWhere(near)).Mesh)
	if err != nil {
		t.Fatal(err)
	}
	patch := Piece{Ground: cut.Uncut(sub), Patch: true, Outline: union(t, [4]float64{0, 0, 0.3, 0.3})}
	patch.Flat = laidBy(patch.Ground, func(at, _ r3.Vec) r2.Vec { return r2.Vec{X: at.X, Y: at.Y} })
	c := relaid(t, Input{Surface: top, Plies: []Ply{plyOf(1, p, patch)}, Lap: 0.015, Allowance: 0.01}).Plies[0]
	if got := float64(*c.LapMedian); math.Abs(got-0.005) > 1e-4 {
		t.Errorf("joined by %g m, want 5 mm", got)
	}
}
