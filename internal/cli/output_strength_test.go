package cli

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/job"
	"laywright/internal/stage/strength"
)

// An index without end is written as a large number, a triangle that nothing loads has
// no ply, and a shape has 1 as its largest motion.
func TestStrengthFile(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {Z: 1}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 4}}}
	axis := []r3.Vec{{X: 1}, {X: 1}, {Y: 1}}
	p := job.Plan{Strength: &strength.Result{Mesh: m, Wall: []float64{1e-3, 1e-3, 2e-3}, Direction: axis, Move: make([]r3.Vec, 5),
		Swing: []r3.Vec{{}, {}, {Z: -4}, {Z: 2}, {}}, Share: []float64{0.5, 0, math.Inf(1)}, Lead: []strength.Lead{{Ply: 2, Criterion: 3}, {}, {Ply: 1}}}}
	files := strengthFile(p)
	if len(files) != 1 || files[0].Path != "meshes/strength.vtk" {
		t.Fatalf("files %v", files)
	}
	var b bytes.Buffer
	if err := files[0].Write(&b); err != nil {
		t.Fatal(err)
	}
	title, _, _ := strings.Cut(b.String()[len("# vtk DataFile Version 3.0\n"):], "\n")
	if !strings.HasSuffix(title, "max-stress max-strain tsai-hill tsai-wu hashin") || len(title) >= 200 {
		t.Errorf("title %q", title)
	}
	for _, s := range []string{"failure_index double 1\nLOOKUP_TABLE default\n0.5\n0\n1000000\n", "SCALARS ply int 1\nLOOKUP_TABLE default\n2\n-1\n1\n",
		"SCALARS criterion int 1\nLOOKUP_TABLE default\n3\n-1\n0\n", "VECTORS swing_shape double\n0 0 0\n0 0 0\n0 0 -1\n0 0 0.5\n", "CELL_DATA 3\nVECTORS reference double\n1 0 0\n", "thickness_m double 1\nLOOKUP_TABLE default\n0.001\n0.001\n0.002\n"} {
		if !strings.Contains(b.String(), s) {
			t.Errorf("%q is not in\n%s", s, b.String())
		}
	}
	if strings.Contains(b.String(), "Inf") || strings.Contains(b.String(), "buckling_shape") {
		t.Error("it holds what is no number, or a shape that is not known")
	}
	if strengthFile(job.Plan{}) != nil {
		t.Error("a plan without strength has a file")
	}
}
