package drape

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/store/meshfile"
)

// besides is where meshes may lie that are not the project's own.
const besides = "../../../../shared/reference/meshes/"

// readMould reads a mesh file in millimetres; nil where there is none.
func readMould(t *testing.T, path string) *mesh.Mesh {
	t.Helper()
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	m, _, err := meshfile.Read(file, filepath.Base(path), 1e-3, meshfile.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The identity of nets with geodesic generators, node by node on the moulds: the
// shear is the curvature enclosed from the seed, which a mesh holds in the angles
// that its vertices lack. The seed is the top, a little aside, so that no yarn
// runs along a row of vertices.
func TestCurvatureIdentityOnMoulds(t *testing.T) {
	for _, c := range []struct {
		path  string
		turn  float64
		share float64 // of the mean side, for the step
		nodes int     // that must be compared
	}{
		{"testdata/gen_drafted_box.stl", 0.03, 0.3, 20000},
		{"testdata/gen_hemisphere_flange.stl", 0.03, 1, 7000},
		{"testdata/gen_s_duct_half.stl", 0.2, 1, 3000},
		{"testdata/gen_fairing_half.stl", 0.2, 1, 2000},
		{"../../../examples/dunlin-ski-fairing/fairing.stl", 0.2, 1, 3000},
		{besides + "boat_hull_vrx.obj", 0.2, 0.25, 2000},
	} {
		t.Run(filepath.Base(c.path), func(t *testing.T) {
			t.Parallel()
			m := readMould(t, c.path)
			if m == nil {
				t.Skip("this mesh is not part of the project: " + c.path)
			}
			box := m.Bounds()
			seed := r3.Add(box.Center(), r3.Vec{X: 0.0013, Y: 0.0007})
			seed.Z = box.Max.Z
			if filepath.Base(c.path) == "boat_hull_vrx.obj" { // its deck is left out
				m = m.Extract(m.FacesWhere(func(f int) bool { return m.FaceNormal(f).Z < 0 })).Mesh
				seed.Z = box.Min.Z
			}
			n := onFacets(t, inputOn(t, m, seed, r3.Vec{X: 1, Y: c.turn}), c.share*m.MeanEdge())
			if cells := cellsHoldTheirCurvature(t, n); cells < c.nodes {
				t.Errorf("only %d cells could be tried", cells)
			}
			count, worst, at := identity(t, n)
			if count < c.nodes || worst > 0.5*deg {
				t.Errorf("%d nodes compared, %.3f° off at (%d, %d), %v", count, worst/deg, at.I, at.J, at.At)
			}
			t.Logf("%d nodes, %d compared, %.3f° off at most; %d collapsed, %d seams", len(n.Nodes), count, worst/deg, n.Collapsed, n.Seams)
		})
	}
}
