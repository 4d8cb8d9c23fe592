package plies_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/plies"
	"laywright/internal/store/meshfile"
)

// reference is where meshes lie that are not part of the project.
const reference = "../../../../shared/reference/meshes/"

func stl(t testing.TB, path string) *mesh.Mesh {
	t.Helper()
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Skipf("%s is not here", path)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, _, err := meshfile.Read(f, path, 0.001, meshfile.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// twill are plies of a cloth that locks at 50°, on a roll of 1.27 m.
func twill(angles ...float64) (out []plies.PlyIn) {
	cloth := material.Fabric{Locking: material.Exactly(si.Degrees(50)), ShearWarn: material.Exactly(si.Degrees(40)), Width: material.Exactly(si.Length(1.27)),
		MinRadius: material.Exactly(si.Length(0.003)), DryThick: material.Exactly(si.Length(0.00025))}
	for i, a := range angles {
		out = append(out, plies.PlyIn{Number: i + 1, Name: "twill", Angle: si.Degrees(a), Fabric: cloth, Thickness: 0.00025, Fibre: 0.2})
	}
	return out
}

// hull is the boat's hull below its deck: what lies under the highest ledge of
// its sides.
func hull(t *testing.T) *mesh.Mesh {
	m := stl(t, reference+"boat_hull_vrx.obj")
	box := m.Bounds()
	deck := box.Min.Z + 0.8*(box.Max.Z-box.Min.Z)
	return clipped(t, m, func(x r3.Vec) float64 { return deck - x.Z })
}

// clipped keeps what of a mesh lies where a function is above 0.
func clipped(t *testing.T, m *mesh.Mesh, keep func(r3.Vec) float64) *mesh.Mesh {
	t.Helper()
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	d := make([]float64, len(m.Vertices))
	for v, x := range m.Vertices {
		d[v] = keep(x)
	}
	cut, err := top.Clip(d, mesh.ClipOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return cut.Mesh
}

func testMould(name string) func(*testing.T) *mesh.Mesh {
	return func(t *testing.T) *mesh.Mesh { return stl(t, "../drape/testdata/gen_"+name+".stl") }
}

// A mould of any of these comes out with no place of a ply over its locking angle
// but for a trifle, with no more cuts than it has corners to let out, its pieces
// cover it when they are put back, with laps as wide as asked, and seams keep their
// stagger or a finding says where they can't.
func TestMouldsComeOut(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a minute")
	}
	for _, c := range []struct {
		name string
		mesh func(*testing.T) *mesh.Mesh
		cuts int // of three plies together, at the most
	}{
		{"drafted box", testMould("drafted_box"), 12},
		{"S-duct half", testMould("s_duct_half"), 0},
		{"fairing half", testMould("fairing_half"), 1},
		{"flanged dome", testMould("hemisphere_flange"), 12},
		{"boat hull", hull, 9},
		{"tube", func(*testing.T) *mesh.Mesh { return shapes.Tube(0.04, 0.2, 40, 24) }, 3},
		{"open box", func(*testing.T) *mesh.Mesh { return shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.15, Z: 0.08}, 12) }, 12},
		{"blister", func(*testing.T) *mesh.Mesh { return shapes.Blister(0.06, 0.015, 0.15, 30) }, 0},
		{"duct with flanges", func(*testing.T) *mesh.Mesh { return shapes.Duct(0.3, 0.05, 0.06, 0.025, 40, 32) }, 0},
		{"oval bowl", ovalBowl, 2},
		{"wedge", wedge, 6},
		{"blister on a bent skin", bump, 0},
		{"saddle with a hole", saddleCover, 0},
		{"box with pockets", pockets, 12},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := c.mesh(t)
			r, err := plies.Lay(context.Background(), plies.Input{Surface: m, Plies: twill(0, 45, 0)})
			if err != nil {
				t.Fatal(err)
			}
			locked := 1e-5 * m.Area()
			checkOut(t, r, locked)
			count := 0
			for _, p := range r.Plies {
				routes := map[int]bool{}
				for _, s := range p.Seams {
					routes[s.Number] = true
				}
				count += len(routes)
			}
			if count > c.cuts {
				t.Errorf("%d cuts, and %d do", count, c.cuts)
			}
		})
	}
}

func checkOut(t *testing.T, r plies.Result, locked float64) {
	t.Helper()
	codes := map[string]fault.Finding{}
	for _, f := range r.Findings {
		codes[f.Code] = f
		if f.Severity == fault.Stop {
			t.Errorf("stop: %s", f.What)
		}
	}
	const lap, asked = 0.015, 0.025
	for i, p := range r.Plies {
		c := r.Relaid.Plies[i]
		least := math.Inf(1)
		if c.LapLeast != nil {
			least = float64(*c.LapLeast)
		}
		var pieces []string
		for _, piece := range p.Pieces {
			pieces = append(pieces, fmt.Sprintf("%s %.0f cm²", piece.Name, 1e4*float64(piece.Area)))
		}
		t.Logf("ply %d: shear %.1f°, locked %.2f cm², %d seams, covered %.4f %%, lap %.2f mm, short %.1f of %.0f mm, %s", p.Number, p.ShearMax.Degrees(),
			1e4*float64(p.Locked), len(p.Seams), 100*c.Coverage, 1000*least, 1000*float64(c.LapShort), 1000*float64(c.SeamLong), strings.Join(pieces, ", "))
		if float64(p.Locked) > locked {
			t.Errorf("ply %d: %.2f cm² over the locking angle", p.Number, 1e4*float64(p.Locked))
		}
		if c.Coverage < 0.9995 {
			t.Errorf("ply %d covers %.3f %%", p.Number, 100*c.Coverage)
		}
		if _, told := codes["lap-short"]; least < lap-1e-4 && !(told && c.LapShort < 0.1*c.SeamLong) {
			t.Errorf("ply %d: a lap of %.2f mm", p.Number, 1000*least)
		}
	}
	if _, told := codes["seams-close"]; r.Stagger != nil && *r.Stagger < asked && !told {
		t.Errorf("seams %.1f mm apart, and no finding", 1000**r.Stagger)
	}
}

// Twelve plies on moulds of about 100 000 triangles, with seams in most of them.
func BenchmarkTwelvePlies(b *testing.B) {
	box := stl(b, "../drape/testdata/gen_drafted_box.stl")
	fine, err := box.Refine(mesh.RefineLimits{Edge: 0.006})
	if err != nil {
		b.Fatal(err)
	}
	for name, m := range map[string]*mesh.Mesh{"drafted box": fine.Mesh, "open box": shapes.OpenBox(r3.Vec{X: 0.2, Y: 0.15, Z: 0.08}, 100), "blister": shapes.Blister(0.06, 0.015, 0.15, 129)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r, err := plies.Lay(context.Background(), plies.Input{Surface: m, Plies: twill(0, 45, 0, 45, 0, 45, 45, 0, 45, 0, 45, 0)})
				if err != nil {
					b.Fatal(err)
				}
				seams := 0
				for _, p := range r.Plies {
					seams += len(p.Seams)
				}
				b.ReportMetric(float64(seams), "seams")
				b.ReportMetric(float64(len(m.Triangles)), "triangles")
			}
		})
	}
}
