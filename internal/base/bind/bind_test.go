package bind

import (
	"fmt"
	"strings"
	"testing"

	"laywright/internal/base/si"
)

type sample struct {
	Name  string                          `yaml:"name"`
	Area  si.Area                         `yaml:"area"`
	Count int                             `yaml:"count"`
	Lines []line                          `yaml:"lines"`
	Seed  Auto[Point]                     `yaml:"seed"`
	Table map[string]int                  `yaml:"table"`
	Inner *line                           `yaml:"inner"`
	Cycle *Curve[si.Time, si.Temperature] `yaml:"cycle"`
}

type line struct {
	Angle si.Angle    `yaml:"angle"`
	Ratio si.Fraction `yaml:"ratio"`
}

func read(t *testing.T, text string) (sample, *Binder) {
	t.Helper()
	root, problems := Parse([]byte(text))
	b := New()
	b.Problems = problems
	var s sample
	if root != nil {
		b.Into(&s, "", root)
	}
	Sort(b.Problems)
	return s, b
}

func TestReadsWhole(t *testing.T) {
	s, b := read(t, `
name: duct
area: "0.35 m^2 ± 0.01 m^2"
count: 3
lines: [{angle: "45 deg", ratio: 0.85}, {angle: "0 deg", ratio: "70 %"}]
seed: {unit: mm, xyz: [0, 100, 60]}
table: {a: 1}
inner: {angle: "90 deg"}
cycle: {unit: [min, degC], points: [[0, 20], [60, 60]]}
`)
	if len(b.Problems) > 0 {
		t.Fatal(b.Problems)
	}
	if s.Area != 0.35 || s.Count != 3 || len(s.Lines) != 2 || s.Lines[1].Ratio != 0.7 || !s.Seed.Given ||
		s.Seed.Value.V.Y != 0.1 || s.Table["a"] != 1 || s.Inner == nil || s.Cycle.X[1] != 3600 || s.Cycle.Y[1] != 333.15 {
		t.Errorf("read %+v", s)
	}
	if b.Tolerances["area"] != 0.01 {
		t.Errorf("tolerance of area is %v", b.Tolerances["area"])
	}
	if got := b.Places["lines[1].ratio"]; got != (Place{5, 65}) {
		t.Errorf("place of lines[1].ratio is %v", got)
	}
}

// Every problem of a file is reported at once, each where it stands.
func TestReportsAllAtOnce(t *testing.T) {
	_, b := read(t, `nam: duct
area: 0.35
count: many
lines:
  - {angle: "45 mm"}
  - {angel: "45 deg", ratio: "x"}
seed: {unit: furlong, xyz: [0, 0, 0]}
inner: 3
table: {a: 1, a: 2}
cycle: {unit: [min], points: [[0, 20]]}
count: 4
`)
	want := []string{
		"1:1 nam is not a key here; did you mean name?",
		"2:11 area: the unit is missing",
		"3:8 count must be a whole number",
		"5:17 angle: this must be an angle (rad), not a length",
		"6:6 angel is not a key here; did you mean angle?",
		"6:31 ratio: a number must stand here",
		`7:7 seed: "furlong" is not a unit`,
		"8:8 inner needs keys below it: angle, ratio",
		"9:15 a stands here twice",
		"10:8 cycle is a curve: two units",
		"11:1 count stands here twice",
	}
	for i, p := range b.Problems {
		got := fmt.Sprintf("%d:%d %s", p.Line, p.Column, p.What)
		if i >= len(want) || !strings.HasPrefix(got, want[i]) {
			t.Errorf("problem %d is %q", i, got)
		}
	}
	if len(b.Problems) != len(want) {
		t.Errorf("%d problems, want %d", len(b.Problems), len(want))
	}
}

func TestBoundsOfTags(t *testing.T) {
	type limited struct {
		Area   si.Area        `yaml:"area" above:"0"`
		Height *si.Length     `yaml:"height" least:"-500" most:"6000"`
		Cold   si.Temperature `yaml:"cold" least:"213.15"`
		Hands  int            `yaml:"hands" least:"1" most:"8"`
		Push   float64        `yaml:"push" least:"0" most:"5" below:"pull"`
	}
	for text, want := range map[string]string{
		`{area: "0 m^2"}`:      "area is 0 m^2; it must be more than 0",
		`{area: "-1 m^2"}`:     "area is -1 m^2; it must be more than 0",
		`{height: "40000 ft"}`: "height is 40000 ft; it must be at most 6000 m (19685 ft)",
		`{height: "-600 m"}`:   "height is -600 m; it must be at least -500 m (-1640 ft)",
		`{hands: 0}`:           "hands is 0; it must be at least 1",
		`{hands: 9}`:           "hands is 9; it must be at most 8",
		`{push: -2}`:           `push is -2; it must be at least 0; write pull: "2"`,
		`{push: 9}`:            "push is 9; it must be at most 5",
		`{cold: "-60.1 degC"}`: "cold is -60.1 degC; it must be at least -60 degC (-76 degF)",
		`{cold: "-60 degC"}`:   "", // 213.14999999999998 K
		`{hands: 8, area: "1 m^2", height: "0 m"}`: "",
	} {
		root, _ := Parse([]byte(text))
		b := New()
		var l limited
		b.Into(&l, "", root)
		got := ""
		if len(b.Problems) > 0 {
			got = b.Problems[0].What
		}
		if got != want {
			t.Errorf("%s says %q, want %q", text, got, want)
		}
	}
}

func TestSyntaxErrorHasItsLine(t *testing.T) {
	_, problems := Parse([]byte("a: 1\nb: [1, 2\nc: 3\n"))
	if len(problems) != 1 || problems[0].Line < 2 || !strings.Contains(problems[0].What, "not YAML") {
		t.Errorf("got %+v", problems)
	}
	if _, problems = Parse(nil); len(problems) != 1 {
		t.Errorf("an empty file gives %v", problems)
	}
}

func TestSecondDocumentIsRefused(t *testing.T) {
	_, problems := Parse([]byte("# one\n---\na: 1\n---\nb: 2\n"))
	if len(problems) != 1 || problems[0].Line != 4 {
		t.Errorf("got %+v", problems)
	}
	if _, problems = Parse([]byte("# one\n---\na: 1\n")); len(problems) > 0 {
		t.Errorf("got %+v", problems)
	}
	if _, problems = Parse([]byte("a: 1\nb: caf\xe9\n")); len(problems) != 1 || problems[0].Place != (Place{2, 7}) {
		t.Errorf("got %+v", problems)
	}
}

func TestAliasBombIsRefused(t *testing.T) {
	text := "a0: &a0 [1,1,1,1,1,1,1,1,1,1]\n"
	for i := range 9 {
		text += fmt.Sprintf("a%d: &a%d [%s]\n", i+1, i+1, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d,", i), 10), ","))
	}
	root, problems := Parse([]byte(text))
	b := New()
	b.Problems = problems
	if root != nil {
		var s map[string]any10
		b.Into(&s, "", root)
	}
	if len(b.Problems) == 0 {
		t.Error("a billion values were taken")
	}
}

type any10 = []l1
type l1 = []l2
type l2 = []l3
type l3 = []l4
type l4 = []l5
type l5 = []l6
type l6 = []l7
type l7 = []l8
type l8 = []l9
type l9 = []float64

func TestNearest(t *testing.T) {
	names := []string{"laminate", "mould", "duty", "cure"}
	for word, want := range map[string]string{"laminat": "laminate", "mold": "mould", "lamniate": "laminate", "zebra": ""} {
		if got, _ := Nearest(word, names); got != want {
			t.Errorf("nearest to %q is %q, want %q", word, got, want)
		}
	}
}
