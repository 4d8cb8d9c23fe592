package bind

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

const edited = `# head
laywright: 1
shop: {temperature: "20 degC", humidity: "55 %"}  # typed
laminate:
  resin: slow   # the one on the shelf
  stack:
    - {fabric: a, angle: "0 deg"}   # inner
    - {fabric: b, angle: "45 deg"}
    # the last one
    - fabric: c
      angle: "0 deg"

wetout:
bag: {}
note: 'it''s [odd'
`

// Every change is the one asked for, in the place where a person would have made it.
func TestEdits(t *testing.T) {
	for _, c := range []struct{ path, text, from, to string }{
		{"laminate.resin", "fast", "resin: slow   #", "resin: fast   #"},
		{"shop.humidity", `"60 %"`, `"55 %"}`, `"60 %"}`},
		{"shop.elevation", `"400 m"`, `"55 %"}`, `"55 %", elevation: "400 m"}`},
		{"laminate.fibre_fraction", "0.45", "      angle: \"0 deg\"\n\n", "      angle: \"0 deg\"\n  fibre_fraction: 0.45\n\n"},
		{"laminate.stack[1]", "{fabric: d}", `{fabric: b, angle: "45 deg"}`, "{fabric: d}"},
		{"laminate.stack[3]", "{fabric: e}", "      angle: \"0 deg\"\n\n", "      angle: \"0 deg\"\n    - {fabric: e}\n\n"},
		{"laminate.stack[0].angle", `"90 deg"`, `{fabric: a, angle: "0 deg"}`, `{fabric: a, angle: "90 deg"}`},
		{"laminate.stack[2].resin_ratio", "0.9", "      angle: \"0 deg\"\n\n", "      angle: \"0 deg\"\n      resin_ratio: 0.9\n\n"},
		{"bag.vacuum", `"22 inHg"`, "bag: {}", `bag: {vacuum: "22 inHg"}`},
		{"wetout.cup_limit", `"80 g"`, "wetout:\n", "wetout: {cup_limit: \"80 g\"}\n"},
		{"cure.oven.size[0]", "1", "note: 'it''s [odd'\n", "note: 'it''s [odd'\ncure: {oven: {size: [1]}}\n"},
		{"laminate.stack", "auto", "- {fabric: a, angle: \"0 deg\"}   # inner\n    - {fabric: b, angle: \"45 deg\"}\n    # the last one\n    - fabric: c\n      angle: \"0 deg\"", "auto"},
		{"note", "plain", "'it''s [odd'", "plain"},
	} {
		want := strings.Replace(edited, c.from, c.to, 1)
		got, err := Put([]byte(edited), c.path, c.text)
		if err != nil || string(got) != want {
			t.Errorf("%s to %s: %v\n%s", c.path, c.text, err, got)
		}
	}
}

func TestTakes(t *testing.T) {
	for _, c := range []struct{ path, from, to string }{
		{"laminate.resin", "  resin: slow   # the one on the shelf\n", ""},
		{"shop.humidity", `, humidity: "55 %"`, ""},
		{"shop.temperature", `temperature: "20 degC", `, ""},
		{"laminate.stack[0]", "    - {fabric: a, angle: \"0 deg\"}   # inner\n", ""},
		{"laminate.stack[2]", "    - fabric: c\n      angle: \"0 deg\"\n", ""},
		{"wetout", "wetout:\n", ""},
		{"note", "note: 'it''s [odd'\n", ""},
	} {
		want := strings.Replace(edited, c.from, c.to, 1)
		got, err := Take([]byte(edited), c.path)
		if err != nil || string(got) != want {
			t.Errorf("%s: %v\n%s", c.path, err, got)
		}
	}
}

// A section goes with the last value in it.
func TestTakesEmptySection(t *testing.T) {
	got, err := Take([]byte("a: 1\nb: {c: {d: 2}}\ne:\n  - f: 3\n"), "b.c.d")
	if err != nil || string(got) != "a: 1\ne:\n  - f: 3\n" {
		t.Errorf("%v %q", err, got)
	}
	got, err = Take([]byte("a: 1\ne:\n  - f: 3\n"), "e[0].f")
	if err != nil || string(got) != "a: 1\n" {
		t.Errorf("%v %q", err, got)
	}
}

func TestEditRefuses(t *testing.T) {
	for _, c := range []struct{ source, path, text string }{
		{edited, "laminate.stack[7]", "{fabric: e}"},
		{edited, "laminate.resin.name", "x"},
		{edited, "laminate.resin", "[open"},
		{edited, "laminate.resin", "two\nlines"},
		{edited, "", "x"},
		{"a: |\n  text\n", "a", "x"},
		{"a: &x 1\nb: *x\n", "a", "2"},
		{"a: {b: 1\n", "a.b", "2"},
	} {
		if got, err := Put([]byte(c.source), c.path, c.text); err == nil {
			t.Errorf("%s to %q was done: %q", c.path, c.text, got)
		}
	}
	for _, path := range []string{"laminate.stack[3]", "cure", "shop.temperature.x"} {
		if got, err := Take([]byte(edited), path); err == nil {
			t.Errorf("%s was taken out: %q", path, got)
		}
	}
	if _, err := Take([]byte("a: 1\n"), "a"); err == nil {
		t.Error("the only value was taken out")
	}
}

// Each value of the example jobs can be replaced by itself without a byte changed.
func TestExamplesRoundTrip(t *testing.T) {
	files, _ := filepath.Glob("../../../examples/dunlin-*/*.job.yaml")
	if len(files) < 4 {
		t.Fatalf("%d examples", len(files))
	}
	for _, file := range files {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		root, _ := Parse(source)
		e := editor{source, ""}
		count := 0
		for _, path := range scalarPaths("", root) {
			n := root
			for _, s := range steps(path) {
				_, n = child(n, s)
			}
			start, end, err := e.extent(n)
			if err != nil {
				t.Errorf("%s: %s: %v", file, path, err)
				continue
			}
			got, err := Put(source, path, string(source[start:end]))
			if err != nil || string(got) != string(source) {
				t.Errorf("%s: %s: %v", file, path, err)
			}
			if _, err := Take(source, path); err != nil {
				t.Errorf("%s: take %s: %v", file, path, err)
			}
			count++
		}
		if count < 20 {
			t.Errorf("%s: %d values", file, count)
		}
	}
}

func FuzzEdit(f *testing.F) {
	f.Add(edited, "laminate.stack[1].angle", "x")
	f.Add("a: {b: [1, 2]} # c", "a.b[2]", "{c: d}")
	f.Fuzz(func(t *testing.T, source, path, text string) {
		Put([]byte(source), path, text)
		Take([]byte(source), path)
	})
}

// scalarPaths lists where every plain value of a tree stands.
func scalarPaths(at string, n *yaml.Node) (out []string) {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			out = append(out, scalarPaths(join(at, n.Content[i].Value), n.Content[i+1])...)
		}
	case yaml.SequenceNode:
		for i, item := range n.Content {
			out = append(out, scalarPaths(fmt.Sprintf("%s[%d]", at, i), item)...)
		}
	case yaml.ScalarNode:
		out = append(out, at)
	}
	return out
}
