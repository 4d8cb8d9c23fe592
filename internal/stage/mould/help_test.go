package mould

import (
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/bind"
	"laywright/internal/base/mesh"
)

// job is the two sections of a job file that the stage reads.
type job struct {
	Mould *Spec    `yaml:"mould"`
	Part  PartSpec `yaml:"part"`
}

// read binds YAML into an Input.
func read(t testing.TB, text string) Input {
	t.Helper()
	root, problems := bind.Parse([]byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var j job
	b := bind.New()
	b.Into(&j, "", root)
	if len(b.Problems) > 0 {
		t.Fatal(b.Problems)
	}
	return Input{Mould: j.Mould, Part: j.Part}
}

func readFile(t testing.TB, name string) Input {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, string(text))
}

func work(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Work(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// covered makes the face of a mould from solids and nothing more.
func covered(t testing.TB, in Input) (*shape, covering) {
	t.Helper()
	moved, err := moveFor(in)
	if err != nil {
		t.Fatal(err)
	}
	b, err := newMoved(in.Mould, moved)
	if err != nil {
		t.Fatal(err)
	}
	c, err := b.cover(in)
	if err != nil {
		t.Fatal(err)
	}
	return b, c
}

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %.6g, want %.6g within %.3g %% (off by %.3g %%)", what, got, want, 100*relative, 100*(got/want-1))
	}
}

// sane checks what every surface must be: one piece, manifold, oriented, with
// rims that match its boundary.
func sane(t testing.TB, r Result) {
	t.Helper()
	top, err := mesh.NewTopology(r.Surface)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(top.NonManifoldEdges()) + len(top.FlippedEdges()) + len(top.BowTies()); n > 0 {
		t.Errorf("%d edges or vertices are not manifold", n)
	}
	if _, n := top.Components(); n != 1 {
		t.Errorf("%d pieces", n)
	}
	if got, want := len(r.Rims), len(top.RimLoops()); got != want {
		t.Errorf("%d rims, the mesh has %d", got, want)
	}
	for f := range r.Surface.Triangles {
		if !(r.Surface.FaceArea(f) > 0) {
			t.Errorf("triangle %d has no area", f)
		}
	}
}

// rimLength returns the length of a rim.
func rimLength(r Result, rim Rim) float64 {
	var sum float64
	for i, v := range rim.Vertices {
		sum += r3.Norm(r3.Sub(r.Surface.Vertices[rim.Vertices[(i+1)%len(rim.Vertices)]], r.Surface.Vertices[v]))
	}
	return sum
}
