package wall

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"laywright/internal/base/si"
)

// testdata/cases.json holds numbers of textbooks (R. M. Jones; M. W. Hyer;
// A. K. Kaw, Mechanics of Composite Materials, 2nd ed.), worked out again by an
// independent calculation to more digits than are printed; each case names its
// book. Cases marked "constructed" have only that calculation as witness.
type testCase struct {
	Name     string
	Inputs   map[string]json.RawMessage
	Expected map[string]json.RawMessage
}

func loadCases(t *testing.T) map[string]testCase {
	t.Helper()
	b, err := os.ReadFile("testdata/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []testCase
	if err := json.Unmarshal(b, &list); err != nil {
		t.Fatal(err)
	}
	out := map[string]testCase{}
	for _, c := range list {
		out[c.Name] = c
	}
	return out
}

func read[T any](t *testing.T, m map[string]json.RawMessage, key string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(m[key], &v); err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return v
}

type caseMaterial struct {
	E1, E2, G12       si.Pressure
	Nu12              float64
	Xt, Xc, Yt, Yc, S si.Pressure
	A1                si.Expansion `json:"a1"`
	A2                si.Expansion `json:"a2"`
}

func (m caseMaterial) ply(angleDeg, t float64) Ply {
	return Ply{
		Name: "test", Angle: si.Degrees(angleDeg), Thickness: si.Length(t),
		Elastic:   &Elastic{m.E1, m.E2, m.G12, m.Nu12},
		Expansion: &Expansion{m.A1, m.A2},
		Strength:  &Strength{m.Xt, m.Xc, m.Yt, m.Yc, m.S},
	}
}

func (c testCase) plies(t *testing.T) []Ply {
	t.Helper()
	angles := read[[]float64](t, c.Inputs, "angles_deg")
	thick := read[[]float64](t, c.Inputs, "t_ply")
	one := map[string]json.RawMessage{"materials": c.Inputs["materials"]}
	var many []caseMaterial
	if c.Inputs["materials"] != nil {
		many = read[[]caseMaterial](t, one, "materials")
	}
	var out []Ply
	for i, a := range angles {
		m := caseMaterial{}
		if many != nil {
			m = many[i]
		} else {
			m = read[caseMaterial](t, c.Inputs, "material")
		}
		out = append(out, m.ply(a, thick[i]))
	}
	return out
}

// near holds got to want within rel of want, or 1e-9 of the largest term.
func near(t *testing.T, what string, got, want, largest float64) {
	t.Helper()
	const rel = 1e-6 // the cases carry ten digits
	if !(math.Abs(got-want) <= rel*math.Abs(want)+1e-9*largest) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

func nearMatrix(t *testing.T, what string, got, want Matrix) {
	t.Helper()
	var most float64
	for _, r := range want {
		for _, x := range r {
			most = math.Max(most, math.Abs(x))
		}
	}
	for i := range want {
		for j := range want {
			near(t, what, got[i][j], want[i][j], most)
		}
	}
}

func nearVec(t *testing.T, what string, got, want Vec) {
	t.Helper()
	most := math.Max(math.Abs(want[0]), math.Max(math.Abs(want[1]), math.Abs(want[2])))
	for i := range want {
		near(t, what, got[i], want[i], most)
	}
}
