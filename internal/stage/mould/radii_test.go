package mould

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"laywright/internal/base/mesh"
)

// A block of 150 x 100 mm with corners of 20 mm, upright walls and a fillet of r all
// round its foot. The middle of the fillet runs at r·(1 − cos 45°) off the wall and
// is as long as a rounded rectangle there; filling to R takes the section
// (R² − r²)(1 − π/4) along the walls and, about the corners' axes, by Pappus, the
// same section turned.
func TestFilletRoundABlock(t *testing.T) {
	t.Parallel()
	const r, R = 4e-3, 8e-3
	in := read(t, `
mould:
  triangle: "3 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "20 mm"}}]
  fillet: "4 mm"
  flange: "30 mm"`)
	in.Fabrics = []Fabric{{Name: "light", MinRadius: 3e-3, MinOuter: 2e-3}, {Name: "heavy", MinRadius: R, MinOuter: 2e-3}}
	got := work(t, in)
	if n := len(got.Radii.Hollows); n != 1 {
		t.Fatalf("%d tight hollows", n)
	}
	l := got.Radii.Hollows[0]
	straight := 2 * (0.110 + 0.060)
	middle := straight + 2*math.Pi*(20e-3+r*(1-math.Sqrt(0.5)))
	near(t, "length", float64(l.Length), middle, 0.05)
	near(t, "radius", float64(l.Radius), r, 0.05)
	near(t, "turn", float64(l.Turn), math.Pi/2, 0.05)
	near(t, "filler", float64(*l.Filler), (R*R-r*r)*(1-math.Pi/4)*middle, 0.07)
	if len(l.Cloths) != 1 || l.Cloths[0] != "heavy" || len(got.Radii.Edges) != 0 {
		t.Errorf("%v, edges %v", l.Cloths, got.Radii.Edges)
	}
	if !has(got, "hollow-tight") || has(got, "edge-tight") {
		t.Errorf("findings %v", got.Findings)
	}
}

// A sharp block: four edges round the top and four upright ones, 500 + 160 mm, are
// outer edges of radius 0, and so is no hollow above the base plane.
func TestSharpBlockHasSharpEdges(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  triangle: "8 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}}}]`)
	in.Fabrics = []Fabric{{Name: "cloth", MinRadius: 5e-3, MinOuter: 2e-3}}
	r := work(t, in)
	if len(r.Radii.Edges) != 1 || len(r.Radii.Hollows) != 0 || *r.Radii.MinOuter != 0 || r.MinHollow != nil {
		t.Fatalf("edges %v, hollows %v", r.Radii.Edges, r.Radii.Hollows)
	}
	near(t, "length", float64(r.Radii.Edges[0].Length), 0.660, 1e-9)
	for _, f := range r.Findings {
		if f.Code == "edge-tight" && (!strings.Contains(f.What, "is sharp") || *f.Limit != 2) {
			t.Errorf("%+v", f)
		}
	}
	if !has(r, "edge-tight") {
		t.Error("a sharp edge is not told")
	}
}

// In a cavity the hollows and the edges change places.
func TestCavityTurnsRadiiRound(t *testing.T) {
	t.Parallel()
	yaml := `
mould:
  kind: KIND
  triangle: "4 mm"
  solids: [{block: {size: {unit: mm, xyz: [150, 100, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "12 mm", draft: "5 deg"}}]
  fillet: "4 mm"
  flange: "25 mm"`
	at := func(kind string) Result {
		in := read(t, strings.ReplaceAll(yaml, "KIND", kind))
		in.Fabrics = []Fabric{{Name: "cloth", MinRadius: 6e-3, MinOuter: 6e-3}}
		return work(t, in)
	}
	plug, cavity := at("plug"), at("cavity")
	if len(plug.Radii.Hollows) != 1 || len(plug.Radii.Edges) != 0 || len(cavity.Radii.Hollows) != 0 || len(cavity.Radii.Edges) != 1 {
		t.Fatalf("plug %d and %d, cavity %d and %d", len(plug.Radii.Hollows), len(plug.Radii.Edges), len(cavity.Radii.Hollows), len(cavity.Radii.Edges))
	}
	near(t, "length", float64(cavity.Radii.Edges[0].Length), float64(plug.Radii.Hollows[0].Length), 0.02)
}

// The face of a smaller block like the first as a scan with 0.03 mm of noise: the fillet is found
// with its length and radius all the same.
func TestNoisyScanOfABlock(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  triangle: "1.5 mm"
  solids: [{block: {size: {unit: mm, xyz: [56, 48, 25]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "15 mm"}}]
  fillet: "5 mm"
  flange: "20 mm"`)
	true4 := work(t, in)
	scan := &mesh.Mesh{Triangles: true4.Surface.Triangles}
	rng := rand.New(rand.NewPCG(3, 3))
	for _, p := range true4.Surface.Vertices {
		p.X, p.Y, p.Z = p.X+30e-6*rng.NormFloat64(), p.Y+30e-6*rng.NormFloat64(), p.Z+30e-6*rng.NormFloat64()
		scan.Vertices = append(scan.Vertices, p)
	}
	file := read(t, `mould: {file: scan.stl, unit: mm}`)
	file.Imported = scan
	file.Fabrics = []Fabric{{Name: "cloth", MinRadius: 8e-3}}
	r := work(t, file)
	if len(r.Radii.Hollows) != 1 {
		t.Fatalf("%d hollows: %+v", len(r.Radii.Hollows), r.Radii.Hollows)
	}
	l := r.Radii.Hollows[0]
	near(t, "radius", float64(l.Radius), 5e-3, 0.15)
	near(t, "length", float64(l.Length), 2*(0.026+0.018)+2*math.Pi*(15e-3+5e-3*(1-math.Sqrt(0.5))), 0.1)
	t.Logf("radius %.2f mm, length %.0f mm of 192 mm", 1e3*float64(l.Radius), 1e3*float64(l.Length))
}
