package release

import (
	"math"
	"testing"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
)

// What 1 m grows by when warmed by 30 K, as handed down in the trade: extruded
// polystyrene about 1.9 mm, polyurethane board 1.5, plate glass 0.27, a carbon
// laminate about 0.1. With the expansions of the library's records.
func TestGrowthOfAMetre(t *testing.T) {
	for _, c := range []struct {
		name  string
		alpha si.Expansion
		want  float64 // mm
		near  float64
	}{{"extruded polystyrene", 65e-6, 1.9, 0.06}, {"polyurethane board", 50e-6, 1.5, 0.01}, {"plate glass", 9e-6, 0.27, 0.005}, {"carbon", 3e-6, 0.1, 0.015}} {
		near(t, c.name, 1e3*float64(Growth(1, c.alpha, 0, 30)), c.want, c.near)
	}
}

var carbon = Wall{Alpha: 3e-6, Fibre: -0.5e-6, Resin: 65e-6, Stiffness: 50e9 * 1e-3}

// A foam plug warmed by 40 K in a carbon tube tightens by L·Δα·ΔT and, where the
// resin set warm, is loose by as much when cold, less the cure shrinkage
// L·(v/3)·(α − α_f)/(α_r − α_f).
func TestFoamPlugInCarbon(t *testing.T) {
	g := grip(0.5, false, carbon, Heat{Gel: si.Celsius(20), Hottest: si.Celsius(60), Room: si.Celsius(20), Mould: 65e-6})
	share := 3.5 / 65.5
	near(t, "warm", float64(g.Warm), 0.5*62e-6*40, 1e-12)
	near(t, "cold, set cool", float64(g.ColdHigh), 0.5*0.01*share, 1e-12)
	near(t, "cold, set warm", float64(g.ColdLow), -0.5*62e-6*40+0.5*0.01/3*share, 1e-12)
}

// In a cavity signs turn round: an aluminium one closes on a carbon part as it
// cools, and the part's own shrinkage frees it.
func TestAluminiumCavity(t *testing.T) {
	g := grip(1, true, carbon, Heat{Gel: si.Celsius(20), Hottest: si.Celsius(80), Room: si.Celsius(20), Mould: 23.6e-6})
	near(t, "warm", float64(g.Warm), -20.6e-6*60, 1e-12)
	near(t, "cold", float64(g.ColdHigh), 20.6e-6*60-0.01/3*3.5/65.5, 1e-12)
}

// A part gripped by g is loose when it has slid to where the mould is narrower by
// g: on walls of 3 deg after 9.5 times as much on either side.
func TestLoose(t *testing.T) {
	near(t, "3 deg", float64(Loose(1e-3, si.Degrees(3))), 0.5e-3/math.Tan(rad(3)), 1e-12)
	if !math.IsInf(float64(Loose(1e-3, 0)), 1) || Loose(-1e-3, 0) != 0 {
		t.Error("no draft never frees; no grip needs none")
	}
}

// An upright tube slides over its whole wall: F = τ·π·D·H, and a ring stretched by
// g over D presses with 2·E·t·g/D².
func TestForceOfTube(t *testing.T) {
	const radius, high = 0.04, 0.2
	in := Input{Part: shapes.Tube(radius, high, 96, 20), Pull: up, Wall: &carbon,
		Heat: &Heat{Gel: si.Celsius(20), Hottest: si.Celsius(20), Room: si.Celsius(20), Mould: 7e-6}}
	r := work(t, in)
	wall := 2 * math.Pi * radius * high
	near(t, "least", float64(r.Force.Low), leastShear*wall, 0.002*leastShear*wall)
	near(t, "across", float64(r.Grip.Over), 2*radius, 0.002*2*radius)
	ring := mostFriction * 2 * carbon.Stiffness * float64(r.Grip.ColdHigh) / sq(2*radius) * wall
	near(t, "grip", float64(r.Force.Grip), ring, 0.01*ring)
	near(t, "most", float64(r.Force.High), mostShear*wall+ring, 0.01*(mostShear*wall+ring))
}

// An elliptic rim is as wide as its shorter axis.
func TestOpeningOfEllipse(t *testing.T) {
	m := shapes.Tube(1, 0.1, 180, 2)
	for i := range m.Vertices {
		m.Vertices[i].X *= 0.06
		m.Vertices[i].Y *= 0.02
	}
	top, err := mesh.NewTopology(m)
	if err != nil {
		t.Fatal(err)
	}
	open := openings(top)
	if len(open) != 2 {
		t.Fatalf("%d openings", len(open))
	}
	near(t, "width", float64(open[0].Width), 0.04, 1e-4)
}
