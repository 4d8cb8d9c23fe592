package meshfile

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is written is read back: STL to single precision, OBJ to nine digits.
func TestWriteThenRead(t *testing.T) {
	m := moved(cube(), 0.123456789, r3.Vec{X: -0.3, Z: 1.0 / 3})
	for name, write := range map[string]func(*bytes.Buffer) error{
		"a.stl": func(b *bytes.Buffer) error { return WriteSTL(b, m, 1e-3) },
		"a.obj": func(b *bytes.Buffer) error { return WriteOBJ(b, m, 1e-3) },
	} {
		var a, b bytes.Buffer
		if err := write(&a); err != nil {
			t.Fatal(err)
		}
		if err := write(&b); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: not the same bytes twice (%v)", name, err)
		}
		got, _ := readOK(t, a.Bytes(), name, 1e-3)
		for f := range m.Triangles {
			near(t, name, r3.Norm(r3.Sub(got.Centroid(f), m.Centroid(f))), 0, 1e-7)
			near(t, name, r3.Norm(r3.Sub(got.FaceNormal(f), m.FaceNormal(f))), 0, 1e-5)
		}
	}
}

// readVTK takes a legacy VTK file word by word, as simple readers do.
func readVTK(t *testing.T, text string) (points []r3.Vec, polygons [][]int, fields map[string][]float64) {
	t.Helper()
	words := strings.Fields(text)
	float := func() float64 {
		x, err := strconv.ParseFloat(words[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		words = words[1:]
		return x
	}
	take := func() string { w := words[0]; words = words[1:]; return w }
	fields = map[string][]float64{}
	places := 0
	for len(words) > 0 {
		switch take() {
		case "POINTS":
			n := int(float())
			take()
			for range n {
				points = append(points, r3.Vec{X: float(), Y: float(), Z: float()})
			}
		case "POLYGONS":
			n, size := int(float()), int(float())
			for range n {
				polygons = append(polygons, nil)
				for range int(float()) {
					polygons[len(polygons)-1] = append(polygons[len(polygons)-1], int(float()))
					size--
				}
				size--
			}
			if size != 0 {
				t.Errorf("size of POLYGONS is off by %d", size)
			}
		case "POINT_DATA", "CELL_DATA":
			places = int(float())
		case "SCALARS":
			name := take()
			if kind := take(); kind != "double" && kind != "int" || take() != "1" || take() != "LOOKUP_TABLE" || take() != "default" {
				t.Fatal("scalars without their heading")
			}
			for range places {
				fields[name] = append(fields[name], float())
			}
		case "VECTORS":
			name := take()
			take()
			for range 3 * places {
				fields[name] = append(fields[name], float())
			}
		}
	}
	return points, polygons, fields
}

func TestVTKRoundTrip(t *testing.T) {
	m := moved(cube(), 1.0/3, r3.Vec{Z: 1e-5})
	shear := []float64{0, 1, -2.5, 1e-12, 40, math.Pi, 6, 7}
	warp := make([]r3.Vec, 8)
	for i := range warp {
		warp[i] = r3.Unit(r3.Vec{X: 1, Y: float64(i)})
	}
	var b bytes.Buffer
	if err := WriteVTK(&b, m, "ply 01\nof two", []Field{{Name: "shear_deg", Scalar: shear}, {Name: "warp", Vector: warp}}); err != nil {
		t.Fatal(err)
	}
	head := "# vtk DataFile Version 3.0\nply 01of two\nASCII\nDATASET POLYDATA\nPOINTS 8 double\n0 0 1e-05\n0.333333333 0 1e-05\n"
	if !strings.HasPrefix(b.String(), head) {
		t.Errorf("begins with %q", b.String()[:120])
	}
	points, polygons, fields := readVTK(t, b.String())
	if len(points) != 8 || len(polygons) != 12 || polygons[11][2] != 7 {
		t.Fatalf("%d points, polygons %v", len(points), polygons)
	}
	for i := range points {
		near(t, "point", r3.Norm(r3.Sub(points[i], m.Vertices[i])), 0, 1e-9)
		near(t, "shear", fields["shear_deg"][i], shear[i], 1e-8*math.Abs(shear[i]))
		near(t, "warp", fields["warp"][3*i+1], warp[i].Y, 1e-9)
	}
}

// Values at vertices come before those of triangles, in whatever order they are given.
func TestVTKOfTriangles(t *testing.T) {
	m := cube()
	index, ply := make([]float64, 12), make([]int32, 12)
	for f := range index {
		index[f], ply[f] = 0.5*float64(f), int32(f-1)
	}
	var b bytes.Buffer
	if err := WriteVTK(&b, m, "x", []Field{{Name: "ply", Cells: true, Whole: ply}, {Name: "move_m", Vector: make([]r3.Vec, 8)}, {Name: "index", Cells: true, Scalar: index}}); err != nil {
		t.Fatal(err)
	}
	if at, cells := strings.Index(b.String(), "POINT_DATA 8\nVECTORS move_m"), strings.Index(b.String(), "CELL_DATA 12\nSCALARS ply int 1"); at < 0 || cells < at {
		t.Errorf("points at %d, cells at %d", at, cells)
	}
	_, _, fields := readVTK(t, b.String())
	if len(fields["move_m"]) != 24 || len(fields["index"]) != 12 || fields["index"][11] != 5.5 || fields["ply"][0] != -1 || fields["ply"][11] != 10 {
		t.Errorf("read back as %v", fields)
	}
}

func TestVTKRefusesFields(t *testing.T) {
	for name, f := range map[string]Field{
		"two words": {Name: "shear deg", Scalar: make([]float64, 8)}, "no name": {Scalar: make([]float64, 8)},
		"too few": {Name: "a", Scalar: make([]float64, 7)}, "neither": {Name: "a"},
		"both":        {Name: "a", Scalar: make([]float64, 8), Vector: make([]r3.Vec, 8)},
		"of vertices": {Name: "a", Cells: true, Whole: make([]int32, 8)},
		"NaN":         {Name: "a", Scalar: []float64{0, 0, 0, math.NaN(), 0, 0, 0, 0}},
		"Inf":         {Name: "a", Vector: []r3.Vec{{}, {}, {}, {}, {}, {}, {}, {Y: math.Inf(1)}}},
	} {
		var b bytes.Buffer
		if err := WriteVTK(&b, cube(), "x", []Field{f}); err == nil || b.Len() != 0 {
			t.Errorf("%s: error %v, %d bytes written", name, err, b.Len())
		}
	}
}

// A full disk is an error in every writer, wherever it happens.
func TestWritersReportFullDisk(t *testing.T) {
	m := cube()
	for name, write := range map[string]func(*fullDisk) error{
		"stl": func(d *fullDisk) error { return WriteSTL(d, m, 1) },
		"obj": func(d *fullDisk) error { return WriteOBJ(d, m, 1) },
		"vtk": func(d *fullDisk) error { return WriteVTK(d, m, "x", nil) },
	} {
		for _, room := range []int{0, 50, 100} {
			if write(&fullDisk{room}) == nil {
				t.Errorf("%s: no error with room for %d bytes", name, room)
			}
		}
	}
}
