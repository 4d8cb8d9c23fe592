package mould

import (
	"errors"
	"flag"
	"fmt"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"pgregory.net/rapid"
)

var long = flag.Bool("long", false, "try hundreds of random moulds rather than a few")

// picks draws numbers and words for a job file.
type picks struct{ t *rapid.T }

func (p picks) mm(name string, low, high float64) float64 {
	return float64(rapid.IntRange(int(10*low), int(10*high)).Draw(p.t, name)) / 10
}

func (p picks) one(name string, of ...string) string { return rapid.SampledFrom(of).Draw(p.t, name) }

// edge is sharp one time in three.
func (p picks) edge(most float64) float64 {
	if rapid.IntRange(0, 2).Draw(p.t, "sharp") == 0 {
		return 0
	}
	return p.mm("edge", 1.5, most)
}

func (p picks) at(reach, z float64) string {
	return fmt.Sprintf("{unit: mm, xyz: [%.1f, %.1f, %.1f]}", p.mm("x", -reach, reach), p.mm("y", -reach, reach), z)
}

// body is a large solid on the base plane.
func (p picks) body() string {
	turn := p.mm("turn", 0, 90)
	x, y, z := p.mm("length", 90, 150), p.mm("width", 70, 110), p.mm("height", 45, 70)
	switch p.one("body", "block", "wedge", "cylinder", "cone", "dome", "blister") {
	case "block":
		return fmt.Sprintf("block: {size: {unit: mm, xyz: [%.1f, %.1f, %.1f]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: \"%.1f mm\", draft: \"%.1f deg\", turn: \"%.1f deg\"}", x, y, z, p.edge(14), p.mm("draft", 0, 12), turn)
	case "wedge":
		return fmt.Sprintf("wedge: {size: {unit: mm, xyz: [%.1f, %.1f, %.1f]}, low: \"%.1f mm\", at: {unit: mm, xyz: [0, 0, 0]}, edge: \"%.1f mm\", draft: \"%.1f deg\", turn: \"%.1f deg\"}", x, y, z, 0.6*z, p.edge(10), p.mm("draft", 0, 8), turn)
	case "cylinder":
		return fmt.Sprintf("cylinder: {diameter: \"%.1f mm\", height: \"%.1f mm\", at: {unit: mm, xyz: [0, 0, 0]}, edge: \"%.1f mm\", draft: \"%.1f deg\"}", y, z, p.edge(14), p.mm("draft", 0, 8))
	case "cone":
		return fmt.Sprintf("cone: {diameter: \"%.1f mm\", top: \"%.1f mm\", height: \"%.1f mm\", at: {unit: mm, xyz: [0, 0, 0]}, edge: \"%.1f mm\"}", x, 0.5*x, z, p.edge(10))
	case "dome":
		return fmt.Sprintf("dome: {size: {unit: mm, xyz: [%.1f, %.1f, %.1f]}, at: {unit: mm, xyz: [0, 0, 0]}}", x, y, z)
	}
	return fmt.Sprintf("blister: {length: \"%.1f mm\", width: \"%.1f mm\", height: \"%.1f mm\", crown: %.2f, at: {unit: mm, xyz: [0, 0, 0]}, turn: \"%.1f deg\"}", 1.3*x, y, 0.7*z, p.mm("crown", 30, 70)/100, turn)
}

// more is a smaller solid that meets it.
func (p picks) more() string {
	s := ""
	switch p.one("more", "block", "cylinder", "dome", "duct", "stub", "lip", "rib") {
	case "block":
		s = fmt.Sprintf("block: {size: {unit: mm, xyz: [%.1f, %.1f, %.1f]}, at: %s, edge: \"%.1f mm\", draft: \"%.1f deg\", turn: \"%.1f deg\"}", p.mm("length", 40, 90), p.mm("width", 40, 80), p.mm("height", 25, 90), p.at(45, 0), p.edge(7), p.mm("draft", 0, 8), p.mm("turn", 0, 90))
	case "cylinder":
		s = fmt.Sprintf("cylinder: {diameter: \"%.1f mm\", height: \"%.1f mm\", at: %s, edge: \"%.1f mm\", draft: \"%.1f deg\"}", p.mm("wide", 30, 60), p.mm("height", 30, 100), p.at(45, 0), p.edge(5), p.mm("draft", 0, 5))
	case "dome":
		s = fmt.Sprintf("dome: {diameter: \"%.1f mm\", height: \"%.1f mm\", at: %s}", p.mm("wide", 60, 110), p.mm("height", 15, 30), p.at(50, 0))
	case "duct":
		s = fmt.Sprintf("sweep: {path: {unit: mm, points: [[%.1f, 0, 36], [100, %.1f, %.1f]]}, from: {circle: \"36 mm\"}, to: {rectangle: {width: \"%.1f mm\", height: \"24 mm\", corner: \"6 mm\"}}}", p.mm("from", -10, 10), p.mm("aside", -20, 20), p.mm("high", 36, 50), p.mm("wide", 30, 60))
	case "stub":
		s = fmt.Sprintf("stub: {diameter: \"%.1f mm\", length: \"110 mm\", at: {unit: mm, xyz: [0, 0, 30]}, axis: [%.2f, 1, %.2f], bead: {height: \"%.1f mm\"}}", p.mm("wide", 24, 36), p.mm("x", -1, 1), p.mm("up", 1, 10)/10, p.mm("bead", 1.5, 3))
	case "lip":
		s = fmt.Sprintf("lip: {outline: {%s}, thickness: \"%.1f mm\", height: \"%.1f mm\", edge: \"%.1f mm\", at: {unit: mm, xyz: [0, 0, 40]}, sunk: \"30 mm\"}", p.one("outline", `circle: "50 mm"`, `ellipse: {width: "60 mm", height: "40 mm"}`, `rectangle: {width: "50 mm", height: "40 mm", corner: "9 mm"}`), p.mm("thick", 7, 12), p.mm("tall", 15, 40), p.mm("edge", 1.5, 3))
	case "rib":
		s = fmt.Sprintf("rib: {path: {unit: mm, points: [[%.1f, %.1f, 46], [%.1f, %.1f, 46]]}, width: \"%.1f mm\", height: \"5 mm\"}", -p.mm("x", 5, 20), p.mm("y", -15, 15), p.mm("x", 5, 20), p.mm("y", -15, 15), p.mm("wide", 12, 18))
	}
	if rapid.IntRange(0, 3).Draw(p.t, "own fillet") == 0 {
		s += fmt.Sprintf("\n      fillet: \"%.1f mm\"", p.mm("own", 0, 6))
	}
	return s
}

// composed draws a whole mould.
func composed(t *rapid.T) string {
	p := picks{t}
	var b strings.Builder
	fmt.Fprintf(&b, "mould:\n  triangle: \"%.1f mm\"\n", p.mm("triangle", 7, 10))
	if rapid.IntRange(0, 3).Draw(t, "fillet") > 0 {
		fmt.Fprintf(&b, "  fillet: \"%.1f mm\"\n", p.mm("radius", 2, 12))
	}
	if rapid.Bool().Draw(t, "flange") {
		fmt.Fprintf(&b, "  flange: \"%.1f mm\"\n", p.mm("wide", 20, 35))
	}
	if w := p.one("drawn", "", "", "outside of part", "inside of part"); w != "" {
		fmt.Fprintf(&b, "  kind: %s\n  drawn: %s\n  wall: \"%.1f mm\"\n", p.one("kind", "plug", "cavity"), w, p.mm("wall", 1, 3))
	}
	fmt.Fprintf(&b, "  solids:\n    - %s\n", p.body())
	for range rapid.IntRange(1, 2).Draw(t, "others") {
		fmt.Fprintf(&b, "    - %s\n", p.more())
	}
	return b.String()
}

// sound says what is wrong with a face that a random mould gave, "" if nothing:
// it must be one oriented sheet, closed but for flat rims, that does not run
// through itself.
func soundFace(m *mesh.Mesh) string {
	t, err := mesh.NewTopology(m)
	if err != nil {
		return err.Error()
	}
	if n := len(t.NonManifoldEdges()) + len(t.FlippedEdges()) + len(t.BowTies()); n > 0 {
		return fmt.Sprintf("%d places are not manifold", n)
	}
	if _, n := t.Components(); n != 1 {
		return fmt.Sprintf("%d pieces", n)
	}
	for _, loop := range t.RimLoops() {
		if v := t.LoopVertices(loop); len(v) < 3 {
			return "a rim of two sides"
		}
	}
	if f, g, found := mesh.NewLocator(m).SelfCrossing(); found {
		return fmt.Sprintf("triangles %v and %v cross near %s and %s", m.Triangles[f], m.Triangles[g], placeText(m.Centroid(f)), placeText(m.Centroid(g)))
	}
	return ""
}

// Random compositions of every kind of solid, joint and drawn side give one
// closed, oriented sheet each that does not run through itself, with every
// vertex on the surface. What solids leave no clean face may be refused in
// words; that is counted and must stay under one in fifty.
func TestRandomCompositions(t *testing.T) {
	t.Parallel()
	tries := "2"
	if *long {
		tries = "200"
	}
	for name, usual := range map[string]string{"rapid.checks": tries, "rapid.seed": "4", "rapid.shrinktime": "20s"} {
		if f := flag.Lookup(name); f.Value.String() == f.DefValue {
			if err := f.Value.Set(usual); err != nil {
				t.Fatal(err)
			}
		}
	}
	made, refused, thinnest, proudest := 0, 0, 90.0, 0.0
	rapid.Check(t, func(u *rapid.T) {
		yaml := composed(u)
		r, err := Work(read(t, yaml))
		if in := (*fault.Input)(nil); errors.As(err, &in) {
			refused++
			t.Logf("refused: %v for\n%s", err, yaml)
			return
		}
		if err != nil {
			u.Fatalf("%v for\n%s", err, yaml)
		}
		made++
		if wrong := soundFace(r.Face); wrong != "" {
			u.Fatalf("%s for\n%s", wrong, yaml)
		}
		thinnest, proudest = min(thinnest, r.MinAngle.Degrees()), max(proudest, 1e3*float64(r.Chord))
		for _, rim := range r.Rims {
			if rim.Kind != Outer {
				u.Fatalf("a rim of a cut-out in\n%s", yaml)
			}
		}
	})
	t.Logf("%d made, %d refused; least angle %.1f deg, largest chord %.2f mm", made, refused, thinnest, proudest)
	if 50*refused > made+refused {
		t.Errorf("%d of %d refused", refused, made+refused)
	}
}
