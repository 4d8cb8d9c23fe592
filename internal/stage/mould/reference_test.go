package mould

import (
	"bufio"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/mould/scan"
)

// referenceMeshes is where the reference meshes lie, which are not copied here:
// moulds drawn by a program, in millimetres, and the hull of a small boat.
const referenceMeshes = "LAYWRIGHT_MESHES"

// Every reference mesh is taken, and taken again with all that can be asked of it;
// sizes are those of the list that comes with them, mm.
func TestReferenceMeshes(t *testing.T) {
	t.Parallel()
	folder := os.Getenv(referenceMeshes)
	if folder == "" {
		t.Skip("the reference meshes are not part of the project: set " + referenceMeshes + " to their folder")
	}
	for _, c := range []struct {
		name   string
		size   r3.Vec // mm
		closed bool
	}{
		{"gen_drafted_box.stl", r3.Vec{X: 440, Y: 340, Z: 80}, false},
		{"gen_hemisphere_flange.stl", r3.Vec{X: 343, Y: 343, Z: 100}, false},
		{"gen_s_duct_half.stl", r3.Vec{X: 600, Y: 300, Z: 90}, false},
		{"gen_fairing_half.stl", r3.Vec{X: 500, Y: 160, Z: 120}, false},
		{"boat_hull_vrx.obj", r3.Vec{X: 1174, Y: 276, Z: 226}, true},
	} {
		m := reference(t, filepath.Join(folder, c.name))
		for _, yaml := range []string{"", `import: {smooth: "0.2 mm", fill: "50 mm", mirror: y, turn: [{axis: [0, 0, 1], by: "30 deg"}]}`,
			`import: {triangles: "6 mm", within: "1 mm"}`} {
			r, err := imported(t, m, "mould: {file: "+c.name+", unit: mm, pull: [0, 0, 1], "+yaml+"}")
			if err != nil {
				t.Errorf("%s %s: %v", c.name, yaml, err)
				continue
			}
			sane(t, r)
			if *r.Closed != c.closed || has(r, "mesh-crosses") || has(r, "mesh-size") {
				t.Errorf("%s %s: closed %v, findings %v", c.name, yaml, *r.Closed, r.Findings)
			}
			if b := r.Face.Bounds(); yaml == "" && r3.Norm(r3.Sub(r3.Scale(1e3, r3.Sub(b.Max, b.Min)), c.size)) > 2 {
				t.Errorf("%s: %v m", c.name, r3.Sub(b.Max, b.Min))
			}
			t.Logf("%s %s: %d triangles, %d repairs", c.name, yaml, r.Triangles, len(r.Repairs))
		}
	}
}

// reference reads one of the files, in mm.
func reference(t *testing.T, name string) *mesh.Mesh {
	data, err := os.ReadFile(name)
	if err != nil {
		t.Skip(err)
	}
	if strings.HasSuffix(name, ".stl") {
		return soup(t, data)
	}
	m := &mesh.Mesh{}
	lines := bufio.NewScanner(strings.NewReader(string(data)))
	for lines.Scan() {
		w := strings.Fields(lines.Text())
		switch {
		case len(w) == 4 && w[0] == "v":
			m.Vertices = append(m.Vertices, r3.Scale(1e-3, r3.Vec{X: number(t, w[1]), Y: number(t, w[2]), Z: number(t, w[3])}))
		case len(w) == 4 && w[0] == "f":
			var tri [3]int32
			for k := range tri {
				tri[k] = int32(number(t, strings.Split(w[k+1], "/")[0])) - 1
			}
			m.Triangles = append(m.Triangles, tri)
		}
	}
	return m
}

func number(t *testing.T, s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// BenchmarkMillion checks a scan of a million triangles with the usual flaws, in
// file order and shuffled: mended and looked through for crossings. It is to take
// less than 5 s and 2 GB.
func BenchmarkMillion(b *testing.B) {
	flaws := shapes.UsualFlaws
	ordered := shapes.Patch(815, 613, func(u, v float64) r3.Vec { return r3.Vec{X: 0.4 * u, Y: 0.3 * v, Z: 0.1 * u * v * (1 - u)} })
	for name, m := range map[string]*mesh.Mesh{"ordered": ordered, "flawed and shuffled": shapes.Scan(1, 1_000_000, flaws)} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				if _, err := scan.Take(m, scan.Options{File: "a.stl"}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(m.Triangles)), "triangles")
		})
	}
}
