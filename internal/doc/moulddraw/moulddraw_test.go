package moulddraw

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/job"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/mould/release"
)

// planOf is a plan that holds a part on its mould and nothing else.
func planOf(t testing.TB, in release.Input) job.Plan {
	t.Helper()
	out, err := release.Work(in)
	if err != nil {
		t.Fatal(err)
	}
	m := &mould.Result{Surface: in.Part, Release: &out, Draft: out.Judged.Draft, Stuck: out.Judged.Stuck, Way: mould.Locked, Out: "It is stuck."}
	return job.Plan{Mould: m, Spec: job.Spec{Mould: &mould.Spec{}}}
}

func ball() release.Input {
	return release.Input{Part: shapes.Cap(0.1, 130*math.Pi/180, 24), Pull: r3.Vec{Z: 1}}
}

// A locked part has all three pictures, each on a sound page inside its borders.
func TestPictures(t *testing.T) {
	p := planOf(t, ball())
	var names []string
	for _, pic := range Pictures(p) {
		names = append(names, pic.Name)
		page := pic.Page()
		if err := page.Check(); err != nil {
			t.Errorf("%s: %v", pic.Name, err)
		}
		box := r2.NewBox(0, 0, 100, 70)
		for _, item := range pic.Draw(box) {
			b := item.Bounds()
			if b.Min.X < -1 || b.Min.Y < -1 || b.Max.X > 101 || b.Max.Y > 71 {
				t.Errorf("%s: %T reaches out to %v", pic.Name, item, b)
				break
			}
		}
	}
	if got := strings.Join(names, " "); got != "mould-draft mould-undercut mould-split" {
		t.Errorf("pictures: %s", got)
	}
}

// A part that comes off has its draft map alone, and one without a mould nothing.
func TestPicturesOfFreePart(t *testing.T) {
	p := planOf(t, release.Input{Part: shapes.Cap(0.1, 80*math.Pi/180, 20), Pull: r3.Vec{Z: 1}})
	p.Mould.Way = mould.InOnePull
	if got := Pictures(p); len(got) != 1 {
		t.Errorf("%d pictures", len(got))
	}
	if got := Pages(job.Plan{}); len(got) != 0 {
		t.Errorf("%d pages of nothing", len(got))
	}
}

// The pieces are drawn apart by a share of the diagonal each, away from each other.
func TestApart(t *testing.T) {
	p := planOf(t, ball())
	sp := *p.Mould.Release.Part
	far := p.Mould.Surface.Diagonal()
	got := apart(sp, far)
	gap := r3.Norm(r3.Sub(got[0].by, got[1].by))
	if math.Abs(gap-2*apartBy*far) > 1e-9*far {
		t.Errorf("gap %g, want %g", gap, 2*apartBy*far)
	}
}

// Across a sharp edge each face keeps its own value; over a smooth one the mean by
// area stands between.
func TestValued(t *testing.T) {
	m := &mesh.Mesh{ // two squares that meet at a right angle along y
		Vertices:  []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {Z: -1}, {Y: 1, Z: -1}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {4, 0, 3}, {4, 3, 5}},
	}
	out, values := valued(m, []float64{1, 3, 7, 7}, false)
	if len(out.Vertices) != 8 {
		t.Errorf("%d vertices, want the edge's two doubled", len(out.Vertices))
	}
	for f, tri := range out.Triangles {
		for k, v := range tri {
			at := m.Vertices[m.Triangles[f][k]]
			want := 7.0
			if f < 2 {
				want = map[r3.Vec]float64{{}: 2, {X: 1}: 1, {X: 1, Y: 1}: 2, {Y: 1}: 3}[at]
			}
			if values[v] != want || out.Vertices[v] != at {
				t.Errorf("triangle %d corner %d at %v has %g, want %g", f, k, at, values[v], want)
			}
		}
	}
	if kinds, _ := valued(m, []float64{1, 3, 7, 7}, true); len(kinds.Vertices) != 10 {
		t.Errorf("%d vertices, want the diagonal's two doubled as well", len(kinds.Vertices))
	}
}
