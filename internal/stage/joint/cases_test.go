package joint

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"laywright/internal/base/si"
)

// testdata/cases.json holds formulas of the literature worked out independently;
// each case names its source. The two of Volkersen were also checked there against
// a numerical solution of the differential equation.
type testCase struct {
	Name             string
	Inputs, Expected map[string]json.RawMessage
}

func readCase(t *testing.T, name string) testCase {
	t.Helper()
	b, err := os.ReadFile("testdata/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []testCase
	if err := json.Unmarshal(b, &list); err != nil {
		t.Fatal(err)
	}
	for _, c := range list {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no case %s", name)
	return testCase{}
}

func read[T any](t *testing.T, from json.RawMessage) (v T) {
	t.Helper()
	if err := json.Unmarshal(from, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func (c testCase) in(t *testing.T, key string) float64 {
	t.Helper()
	return read[float64](t, c.Inputs[key])
}

func (c testCase) want(t *testing.T, key string) float64 {
	t.Helper()
	return read[float64](t, c.Expected[key])
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// The cases carry ten digits.
const digits = 1e-8

func TestVolkersen(t *testing.T) {
	for _, name := range []string{"joint_volkersen_equal_al", "joint_volkersen_unequal"} {
		c := readCase(t, name)
		l := Lap{Stretch1: c.in(t, "E1") * c.in(t, "t1"), Stretch2: c.in(t, "E2") * c.in(t, "t2"), Length: si.Length(c.in(t, "L")),
			Adhesive: Adhesive{G: si.Pressure(c.in(t, "G")), Thickness: si.Length(c.in(t, "ta"))}}
		a, b, d := l.Shear(si.LineLoad(c.in(t, "P")))
		near(t, name+" omega", l.Omega(), c.want(t, "omega"), digits)
		near(t, name+" near", float64(a), c.want(t, "tau_left"), digits)
		near(t, name+" middle", float64(b), c.want(t, "tau_mid"), digits)
		near(t, name+" far", float64(d), c.want(t, "tau_right"), digits)
		near(t, name+" peak over mean", float64(a)/c.want(t, "tau_avg"), c.want(t, "kmax"), digits)
	}
}

// The shear of a lap adds up to its load, on a rigid ground too, where the far end
// bears least.
func TestLapBearsItsLoad(t *testing.T) {
	for _, ground := range []float64{5e7, 2e8, math.Inf(1)} {
		l := Lap{Stretch1: 4e7, Stretch2: ground, Length: 0.025, Adhesive: Adhesive{G: 1e9, Thickness: 0.3e-3}}
		a, b, d := l.Shear(1e5)
		// τ = A·cosh ωX + B·sinh ωX: its integral over the lap is A·2L·sinh(½ω)/ω.
		ω := l.Omega()
		near(t, "load", float64(b)*2*0.025*math.Sinh(ω/2)/ω, 1e5, 1e-12)
		if !(a > d && d > 0) {
			t.Errorf("ends bear %g and %g", a, d)
		}
	}
}

func TestGolandReissner(t *testing.T) {
	c := readCase(t, "joint_goland_reissner_k")
	a := Plate{E: si.Pressure(c.in(t, "E")), Nu: c.in(t, "nu"), Thickness: si.Length(c.in(t, "t"))}
	k := a.Eccentricity(si.Length(c.in(t, "overlap")), si.LineLoad(c.in(t, "P")))
	near(t, "k", k, c.want(t, "k"), digits)
	near(t, "M0", k*c.in(t, "P")*c.in(t, "t")/2, c.want(t, "M0"), digits)
}

func TestHartSmith(t *testing.T) {
	c := readCase(t, "joint_hart_smith_double_lap")
	d := Double{Inner: c.in(t, "Ei") * c.in(t, "ti"), Outer: c.in(t, "Eo") * c.in(t, "to"),
		Adhesive: Adhesive{G: si.Pressure(c.in(t, "G")), Thickness: si.Length(c.in(t, "eta")), Shear: si.Pressure(c.in(t, "tau_p"))},
		Elastic:  c.in(t, "gamma_e"), Plastic: c.in(t, "gamma_p")}
	near(t, "P", float64(d.Bears()), c.want(t, "P"), digits)
	near(t, "lambda", d.lambda(), c.want(t, "lam"), digits)
	near(t, "overlap", float64(d.Overlap(si.LineLoad(c.in(t, "P")))), c.want(t, "overlap_for_400kN_per_m"), digits)
	d.Outer *= 0.5 // the thinner outer ones govern then
	if weaker := float64(d.Bears()); weaker >= c.want(t, "P_outer") {
		t.Errorf("with thinner straps it bears %g", weaker)
	}
}

func TestScarf(t *testing.T) {
	c := readCase(t, "joint_scarf_shear")
	stress := si.Pressure(c.in(t, "sigma"))
	want := read[[]float64](t, c.Expected["tau"])
	for i, n := range read[[]float64](t, c.Inputs["ratios"]) {
		near(t, "shear", float64(ScarfShear(stress, n)), want[i], digits)
		near(t, "slope", ScarfSlope(stress, si.Pressure(want[i])), n, digits)
		near(t, "length of 2 mm", n*2e-3, read[[]float64](t, c.Expected["length_for_t_2mm"])[i], digits)
	}
	if n := ScarfSlope(1e6, 1e6); n != 1 {
		t.Errorf("a slope of %g is asked where every one does", n)
	}
}

func TestSpringIn(t *testing.T) {
	c := readCase(t, "springin_radford_rennick")
	want := read[[]float64](t, c.Expected["dtheta_deg"])
	for i, r := range read[[]map[string]float64](t, c.Inputs["rows"]) {
		got := SpringIn(si.Degrees(r["theta"]), Growth{r["aI"], r["aR"]}, si.TemperatureDifference(r["dT"]), Growth{r["fI"], r["fR"]})
		near(t, "spring-in", got.Degrees(), want[i], digits)
	}
}

// A right angle whose wall shrinks through its thickness as it cures, and not.
func TestSpringInOfCure(t *testing.T) {
	c := readCase(t, "springin_radford")
	plane, through := read[[]float64](t, c.Inputs["fI"]), read[[]float64](t, c.Inputs["fT"])
	for i, want := range read[[]float64](t, c.Expected["dtheta_deg"]) {
		got := SpringIn(si.Degrees(c.in(t, "theta_deg")), Growth{c.in(t, "aI"), c.in(t, "aT")},
			si.TemperatureDifference(c.in(t, "dT_K")), Growth{plane[i], through[i]})
		near(t, "spring-in", got.Degrees(), want, 1e-3)
	}
}
