package strength

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/joint"
)

func expansion(x float64) *si.Expansion {
	α := si.Expansion(x)
	return &α
}

// barrel is a bulged sheet.
func barrel(u, v float64) r3.Vec {
	x, y := 0.4*(u-0.5), 0.4*(v-0.5)
	return r3.Vec{X: x, Y: y, Z: 0.1 - 2*x*x - y*y}
}

// A part of one material, however curved, feels nothing on a ground that grows alike,
// as is taken where the job is silent; on one that does not grow, or grows as it is
// itself heated, it does.
func TestPartGrowsWithItsGround(t *testing.T) {
	in := plate(10, Clamped, 0.3)
	in.Mesh = panel(10, barrel)
	in.Cases = []Case{{Name: "heat", DT: 60, Under: 60}}
	index := func(ground *si.Expansion, under float64) float64 {
		in.Ground.Expansion, in.Cases[0].Under = ground, si.TemperatureDifference(under)
		return *run(t, in).Index
	}
	squeezed := index(expansion(0), 60)
	for what, got := range map[string]float64{"not told": index(nil, 0), "alike": index(expansion(2e-5), 60), "half as much, twice as warm": index(expansion(1e-5), 120)} {
		if got > 1e-9*squeezed {
			t.Errorf("%s: index %g of %g", what, got, squeezed)
		}
	}
	within(t, "half as much", index(expansion(1e-5), 60), squeezed/2, 1e-9)
	in.Ground.Expansion = nil
	if r := run(t, in); !has(r, "growth-assumed") || has(r, "ground-grows") {
		t.Errorf("%v", r.Findings)
	}
	in.Ground.Expansion = expansion(1e-5)
	if r := run(t, in); has(r, "growth-assumed") || !has(r, "ground-grows") {
		t.Errorf("%v", r.Findings)
	}
}

// A clamped plate is squeezed by E·(α·ΔT − α_g·ΔT_g)/(1−ν) both ways.
func TestClampedPlateOnAGroundThatGrows(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Ground.Expansion = expansion(5e-6)
	in.Cases = []Case{{Name: "heat", DT: 50, Under: 80}}
	within(t, "squeeze", *run(t, in).Index, 70e9*(2e-5*50-5e-6*80)/0.7/500e6, 1e-9)
}

// A clamped plate that is warmer on one side is bent by E·α·δ/(2·(1−ν)) at its faces
// and stays flat; a free one feels nothing.
func TestWarmerOnOneSide(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Cases = []Case{{Name: "through", Across: 40}}
	r := run(t, in)
	within(t, "face", *r.Index, 70e9*2e-5*40/2/0.7/500e6, 1e-9)
	if *r.Thermal > 1e-12 {
		t.Errorf("moves %g", *r.Thermal)
	}
	in.Fasteners = []Fastener{{r3.Vec{}, 5e-3}, {r3.Vec{X: 0.4}, 5e-3}, {r3.Vec{X: 0.4, Y: 0.4}, 5e-3}}
	if free := *run(t, in).Index; free > 1e-6**r.Index { // three points hold no moment
		t.Errorf("free: index %g of %g", free, *r.Index)
	}
}

// A push on a patch as large as the plate is an even pressure.
func TestPatchAsLargeAsThePlate(t *testing.T) {
	in := plate(12, Clamped, 0.3)
	in.Cases = []Case{{Name: "pressure", Pressure: 500}}
	want := run(t, in).Deflection
	in.Cases = []Case{{Name: "knee", Handling: 500 * 0.16}}
	in.Patch = 1.2
	within(t, "knee", float64(run(t, in).Deflection), float64(want), 1e-9)
	in.Patch = 0.03
	hand := run(t, in).Deflection
	in.Patch = 0.2
	if knee := run(t, in).Deflection; !(knee < hand && knee > want) {
		t.Errorf("hand %g, knee %g, pressure %g", hand, knee, want)
	}
}

// screwed is a plate on screws near its corners: on each a quarter of the load.
func screwed(d, edge float64) Input {
	in := plate(20, "", 0.3)
	in.Layers[0].Strength.S = 40e6
	for _, x := range []float64{edge, 0.4 - edge} {
		for _, y := range []float64{edge, 0.4 - edge} {
			in.Fasteners = append(in.Fasteners, Fastener{r3.Vec{X: x, Y: y}, si.Length(d)})
		}
	}
	return in
}

// By hand: 4 kPa on 0.16 m² pull with 160 N at each screw, 6 times that under a
// factor of 6; the head of 8 mm shears through 2 mm of 40 MPa at π·8·2·40 N.
func TestScrews(t *testing.T) {
	in := screwed(4e-3, 0.02)
	in.Cases[0].Pressure, in.Factor = 4000, 6
	no := false
	in.Spec.LargeDeflection = &no
	r := run(t, in)
	within(t, "reaction", r.Cases[0].Reaction[2], -4000*0.16, 1e-9)
	var sum float64
	for _, f := range r.Fasteners {
		sum += float64(f.Pull)
		within(t, "edge", float64(f.Edge), 0.02, 1e-9)
		within(t, "pitch", float64(*f.Pitch), 0.36, 1e-9)
		if f.Mode != "pull-through" || f.Case != "pressure" {
			t.Errorf("%+v", f)
		}
		within(t, "margin", *f.Margin, math.Pi*8e-3*2e-3*40e6/(6*float64(f.Pull))-1, 1e-9)
	}
	within(t, "pulls", sum, 4000*0.16, 1e-9)
	within(t, "pull", float64(r.Fasteners[0].Pull), 160, 0.02) // the cuts of the squares lean one way
	one := joint.Sheet{E: 70e9 / 0.91, Thickness: 2e-3}
	within(t, "stiffness", float64(r.Fasteners[0].Stiffness), float64(joint.Fastener{Diameter: 4e-3, E: 205e9}.Shear(one, one)), 1e-9)
	if has(r, "bearing-low") || has(r, "edge-distance-short") || !has(r, "hold-assumed") {
		t.Errorf("%v", r.Findings)
	}
	in.Factor, in.Cases[0].Pressure = 9, 6000
	if r = run(t, in); !has(r, "bearing-low") {
		t.Errorf("%v", r.Findings)
	}
}

// Screws that are told all about leave nothing to assume; one of them near the edge,
// and near its neighbour, is told of.
func TestScrewsToldOf(t *testing.T) {
	in := screwed(8e-3, 0.02)
	in.Fasteners = append(in.Fasteners, Fastener{r3.Vec{X: 0.04, Y: 0.02}, 8e-3})
	in.Screwed = Screwed{Stiffness: 1e6, E: 71e9, Head: 12e-3, Bearing: 300e6}
	r := run(t, in)
	if has(r, "hold-assumed") || !has(r, "edge-distance-short") || !has(r, "fasteners-close") {
		t.Errorf("%v", r.Findings)
	}
	within(t, "stiffness", float64(r.Fasteners[0].Stiffness), 1e6, 1e-12)
}

// Softer screws take less of the stress of heat: two sheets of springs in series, the
// wall's own about E·h a side and theirs.
func TestScrewsGiveWithHeat(t *testing.T) {
	in := screwed(4e-3, 0.02)
	in.Ground.Expansion = expansion(0)
	in.Cases = []Case{{Name: "heat", DT: 50, Under: 50}}
	shear := func(k si.Stiffness) float64 {
		in.Screwed.Stiffness = k
		return float64(run(t, in).Fasteners[0].Shear)
	}
	soft := shear(1e4)
	// free growth of half the diagonal between screws, times the stiffness
	within(t, "soft", soft, 1e4*2e-5*50*0.18*math.Sqrt2, 0.01)
	if stiff, stiffer := shear(1e7), shear(1e9); !(soft < stiff && stiff < stiffer && stiffer < soft*1e4) {
		t.Errorf("%g %g %g", soft, stiff, stiffer)
	}
}

// A plate bonded down all round on a ground that stays, heated: it pushes with
// E·h·α·ΔT/(1−ν), N/m, into the bond at its rim. A soft bond shears by the free growth
// of half the plate, over its thickness.
func TestBondOfAHeatedPlate(t *testing.T) {
	in := plate(40, "", 0.3)
	in.Flange = &Flange{Width: 0.04, Adhesive: joint.Adhesive{E: 3e9, G: 1e9, Thickness: 0.3e-3, Shear: 20e6, Tension: 30e6}}
	in.Ground.Expansion = expansion(0)
	in.Cases = []Case{{Name: "heat", DT: 30, Under: 30}}
	b := run(t, in).Bond
	n := 70e9 * 2e-3 * 2e-5 * 30 / 0.7
	at := [3]float64{b.At[0], b.At[1], 0}
	if rim := math.Min(math.Min(at[0], 0.4-at[0]), math.Min(at[1], 0.4-at[1])); rim > 1e-9 {
		t.Errorf("worst at %v", b.At)
	}
	within(t, "load", float64(b.Load), n, 0.05)
	in.Flange.Adhesive.G, in.Flange.Adhesive.E = 0.3e6, 1e6
	in.Flange.Adhesive.Thickness = 2e-3
	soft := run(t, in)
	if float64(soft.Bond.Load) > n/10 || *soft.Index > 0.1*2e-5*30*70e9/0.7/500e6 {
		t.Errorf("a soft bond still holds %g of %g, index %g", soft.Bond.Load, n, *soft.Index)
	}
	within(t, "soft shear", float64(soft.Bond.Mean), 0.3e6*2e-5*30*0.2*math.Sqrt2/2e-3, 0.1)
}

// A bonded plate under pressure is about a clamped one as wide as its opening, and its
// bond bears the load.
func TestBondUnderPressure(t *testing.T) {
	in := plate(40, "", 0.3)
	in.Flange = &Flange{Width: 0.04}
	in.Cases[0].Pressure = 3000
	r := run(t, in)
	d := 70e9 * 8e-9 / (12 * 0.91)
	no := false
	in.Spec.LargeDeflection = &no
	within(t, "deflection", float64(run(t, in).Deflection), 0.00126*3000*math.Pow(0.32, 4)/d, 0.1) // [timoshenko1959] table 35; the bond gives a little
	within(t, "reaction", r.Cases[0].Reaction[2], -3000*0.16, 1e-9)
	if r.Bond == nil || r.Bond.Peel <= 0 || !has(r, "hold-assumed") || r.Bond.Scarf < 1 {
		t.Errorf("%+v", r.Bond)
	}
	// the moment at the middle of a clamped side is 0.0513·p·a²: by it alone the bed peels by 2β²·M
	a := in.adhesive()
	m := 0.0513 * 3000 * 0.32 * 0.32
	within(t, "peel", float64(r.Bond.Peel), float64(a.Peel(d, 3000*0.32*0.42, m)), 0.35)
	in.Cases[0].Pressure = 60e3
	if r := run(t, in); !has(r, "lap-shear-low") {
		t.Errorf("%+v", r.Bond)
	}
}

// ω·a²·√(m/D) of a pinned square plate is 19.739: 98.4 Hz here.
func TestEngineOrders(t *testing.T) {
	in := plate(12, Pinned, 0.3)
	in.Engine = &joint.Engine{Low: 10, High: 45, Cylinders: 4}
	if r := run(t, in); !has(r, "frequency-near-order") || *r.OffOrder != 0 {
		t.Errorf("%v", r.OffOrder)
	}
	in.Engine = &joint.Engine{Low: 10, High: 30}
	r := run(t, in)
	within(t, "apart", *r.OffOrder, float64(*r.Frequency)/30-1, 1e-12)
	if has(r, "frequency-near-order") {
		t.Errorf("%v", r.Findings)
	}
}

func TestFlangesRefused(t *testing.T) {
	for name, spoil := range map[string]func(in *Input){
		"whole plate": func(in *Input) { in.Flange.Width = 0 },
		"no land":     func(in *Input) { in.Mesh = panel(8, barrel) },
	} {
		in := plate(8, "", 0.3)
		in.Flange = &Flange{Width: 0.06}
		spoil(&in)
		_, err := Check(context.Background(), in)
		if i := new(fault.Input); !errors.As(err, &i) || i.Field != "part.held.flange" || i.Do == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}
