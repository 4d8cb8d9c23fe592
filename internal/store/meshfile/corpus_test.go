package meshfile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// broken is one file of the corpus: either Read refuses it with words that hold
// refuse, or it is read and the summary of Clean's report is report, or ends so
// where that begins with "…". Half-edges at an edge of four triangles count as
// rim, so such faults come with rims.
type broken struct {
	name   string // of the case; its file's name begins with it
	ext    string
	data   []byte
	refuse string
	report string
}

// summary writes what a report says that is not as it should be.
func summary(r mesh.Report) string {
	var b strings.Builder
	for _, c := range []struct {
		what  string
		count int
	}{
		{"welded", r.Welded}, {"unused", r.Unused}, {"degenerate", r.Degenerate}, {"duplicate", r.Duplicate},
		{"flipped", r.Flipped}, {"inverted", r.Inverted}, {"cavities", r.Cavities}, {"rims", len(r.Rims)},
		{"non-manifold", len(r.NonManifold)}, {"bow-ties", len(r.BowTies)}, {"twisted", len(r.Twisted)},
	} {
		if c.count > 0 {
			fmt.Fprintf(&b, "%s %d, ", c.what, c.count)
		}
	}
	fmt.Fprintf(&b, "parts %d, closed %v", r.Components, r.Closed)
	return b.String()
}

// without drops triangles from the cube; with adds some, and vertices.
func without(faces ...int) *mesh.Mesh {
	m := cube()
	return m.Extract(m.FacesWhere(func(f int) bool {
		for _, g := range faces {
			if f == g {
				return false
			}
		}
		return true
	})).Mesh
}

func with(vertices []r3.Vec, triangles ...[3]int32) *mesh.Mesh {
	m := cube()
	m.Vertices = append(m.Vertices, vertices...)
	m.Triangles = append(m.Triangles, triangles...)
	return m
}

func moebius() *mesh.Mesh {
	m := &mesh.Mesh{}
	const n = 20
	for i := range int32(n) {
		a := 2 * math.Pi * float64(i) / n
		for _, w := range []float64{-0.2, 0.2} {
			r := 1 + w*math.Cos(a/2)
			m.Vertices = append(m.Vertices, r3.Vec{X: r * math.Cos(a), Y: r * math.Sin(a), Z: w * math.Sin(a/2)})
		}
		a0, b0, a1, b1 := 2*i, 2*i+1, 2*i+2, 2*i+3
		if i == n-1 {
			a1, b1 = 1, 0
		}
		m.Triangles = append(m.Triangles, [3]int32{a0, a1, b0}, [3]int32{b0, a1, b1})
	}
	return m
}

func flipOne() *mesh.Mesh {
	m := cube()
	m.Triangles[3] = [3]int32{4, 7, 6}
	return m
}

func corpus() []broken {
	ok := binarySTL("", 12, cube())
	text := asciiSTLOf("c", cube())
	nan, inf := binarySTL("", 12, cube()), binarySTL("", 12, cube())
	copy(nan[84+12:], []byte{0, 0, 0xc0, 0x7f})
	copy(inf[84+50+24:], []byte{0, 0, 0x80, 0xff})
	obj := objOf(cube())
	box := "<resources>" + object3MF(1, cube()) + `</resources>`
	good := model3MF("meter", box+`<build><item objectid="1"/></build>`)
	bomb := archive("3D/3dmodel.model", "<model>"+strings.Repeat(" ", 1<<24)+"</model>")
	return append([]broken{
		{"empty", ".stl", nil, "empty", ""},
		{"empty", ".obj", nil, "empty", ""},
		{"empty", ".3mf", nil, "empty", ""},
		{"unknown-kind", ".step", ok, "can't be read", ""},
		{"header-cut", ".stl", ok[:70], "byte 70: the file ends inside the header", ""},
		{"truncated", ".stl", ok[:len(ok)-77], "the file ends after 10 whole triangles, but its header promises 12", ""},
		{"cut-at-record", ".stl", ok[:84+50*7], "after 7 whole triangles", ""},
		{"count-lies-high", ".stl", binarySTL("", math.MaxUint32, cube()), "promises 4294967295", ""},
		{"count-lies-low", ".stl", binarySTL("", 3, cube()), "promises 3 triangles, but 450 bytes follow", ""},
		{"count-zero", ".stl", binarySTL("", 0, cube()), "promises 0 triangles", ""},
		{"trailing-bytes", ".stl", append(bytes.Clone(ok), 1, 2, 3), "but 3 bytes follow", ""},
		{"no-triangles", ".stl", binarySTL("", 0, &mesh.Mesh{}), "no triangle", ""},
		{"nan", ".stl", nan, "byte 96: triangle 1: coordinate x is NaN", ""},
		{"minus-inf", ".stl", inf, "triangle 2: coordinate x is -Inf", ""},
		{"huge", ".stl", binarySTL("", 12, moved(cube(), 1e30, r3.Vec{})), "the limit is 1000 m", ""},
		{"solid-binary", ".stl", binarySTL("solid made as binary", 12, cube()), "", "parts 1, closed true"},
		{"upper-case", ".stl", []byte(strings.ToUpper(text)), "", "parts 1, closed true"},
		{"text-cut-in-vertex", ".stl", []byte(text[:len(text)-70]), "inside a triangle, after 11 whole triangles", ""},
		{"text-cut-in-number", ".stl", []byte(text[:strings.Index(text, "vertex 1 ")+8]), "inside a triangle", ""},
		{"text-without-end", ".stl", []byte(text[:strings.Index(text, "endsolid")]), "before the solid's end, after 12", ""},
		{"text-nan", ".stl", []byte(strings.Replace(text, "vertex 1 1 0", "vertex nan 1 0", 1)), "line 5: coordinate x is NaN", ""},
		{"text-too-large", ".stl", []byte(strings.Replace(text, "vertex 1 1 0", "vertex 1 1e999 0", 1)), "coordinate y is +Inf", ""},
		{"text-comma", ".stl", []byte(strings.Replace(text, "vertex 1 1 0", "vertex 1,5 1 0", 1)), "not commas", ""},
		{"text-four-corners", ".stl", []byte(strings.Replace(text, "endloop", "vertex 1 2 3 endloop", 1)), "more than three corners", ""},
		{"text-word", ".stl", []byte(strings.Replace(text, "outer", "inner", 1)), `"inner" stands where "outer"`, ""},
		{"text-prose", ".stl", []byte("solid as a rock, but no mesh\nat all"), "stands where a facet", ""},
		{"text-long-word", ".stl", []byte("solid x\nfacet normal " + strings.Repeat("9", 5000)), "more than 256 letters", ""},
		{"two-solids", ".stl", []byte(text + asciiSTLOf("d", moved(cube(), 1, r3.Vec{X: 3}))), "", "parts 2, closed true"},
		{"html", ".stl", []byte("<!doctype html><html><body>404 not found, and nothing else in this page to speak of</body></html>"), "triangle", ""},
		{"obj-index-0", ".obj", []byte(obj + "f 0 1 2\n"), "vertex 0", ""},
		{"obj-index-high", ".obj", []byte(obj + "f 1 2 9\n"), "line 21: a triangle names vertex 9, but 8 are given", ""},
		{"obj-index-low", ".obj", []byte(obj + "f 1 2 -9\n"), "vertex -9", ""},
		{"obj-index-wide", ".obj", []byte(obj + "f 1 2 99999999999\n"), "names no vertex", ""},
		{"obj-index-word", ".obj", []byte(obj + "f 1 2 x/1\n"), `"x/1" names no vertex`, ""},
		{"obj-face-2", ".obj", []byte(obj + "f 1 2\n"), "a face with 2 corners", ""},
		{"obj-vertex-2", ".obj", []byte("v 1 2\n"), "line 1: a vertex with 2 of 3", ""},
		{"obj-vertex-word", ".obj", []byte("v 1 2 three\n"), `"three" is no number`, ""},
		{"obj-nan", ".obj", []byte("v 1 2 NaN\n"), "coordinate z is NaN", ""},
		{"obj-many-corners", ".obj", []byte(obj + "f" + strings.Repeat(" 1", 1001)), "the limit is 1000", ""},
		{"obj-no-faces", ".obj", []byte("v 0 0 0\nv 1 0 0\nv 0 1 0\nl 1 2\n"), "no triangle", ""},
		{"obj-line-open", ".obj", []byte(obj + "f 1 2 \\"), "inside a line that goes on", ""},
		{"obj-long-line", ".obj", []byte(strings.Repeat("v", 2<<20)), "line of more than", ""},
		{"obj-binary", ".obj", bytes.Repeat([]byte{0, 255, 10}, 1000), "no triangle", ""},
		{"3mf-no-zip", ".3mf", []byte("not an archive at all"), "is no 3MF file", ""},
		{"3mf-zip-cut", ".3mf", good[:len(good)/2], "damaged", ""},
		{"3mf-bomb", ".3mf", bomb, "unpacks to far more", ""},
		{"3mf-no-model", ".3mf", archive("readme.txt", "hello"), "no model", ""},
		{"3mf-model-empty", ".3mf", archive("3D/3dmodel.model", "  "), "holds no model", ""},
		{"3mf-model-cut", ".3mf", archive("3D/3dmodel.model", "<model><resources>"), "can't be read", ""},
		{"3mf-unit", ".3mf", model3MF("furlong", box), `the unit "furlong"`, ""},
		{"3mf-transform-words", ".3mf", model3MF("meter", box+`<build><item objectid="1" transform="1 0 0"/></build>`), "twelve numbers", ""},
		{"3mf-transform-flat", ".3mf", model3MF("meter", box+`<build><item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/></build>`), "keep a volume", ""},
		{"3mf-transform-nan", ".3mf", model3MF("meter", box+`<build><item objectid="1" transform="NaN 0 0 0 1 0 0 0 1 0 0 0"/></build>`), "twelve numbers", ""},
		{"3mf-transform-far", ".3mf", model3MF("meter", box+`<build><item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 1e9"/></build>`), "coordinate z", ""},
		{"3mf-nothing-built", ".3mf", model3MF("meter", box), "no triangle", ""},
		{"3mf-object-missing", ".3mf", model3MF("meter", box+`<build><item objectid="7"/></build>`), `object "7" is placed, but not given`, ""},
		{"3mf-object-twice", ".3mf", model3MF("meter", box+box), "given twice", ""},
		{"3mf-index", ".3mf", model3MF("meter", strings.Replace(box, `v1="0"`, `v1="8"`, 1)), `names vertex "8" of 8`, ""},
		{"3mf-vertex", ".3mf", model3MF("meter", strings.Replace(box, `x="1"`, `x="one"`, 1)), `"one" is no number`, ""},
		{"3mf-stray-vertex", ".3mf", model3MF("meter", `<vertex x="1" y="1" z="1"/>`), "outside of an object", ""},
		{"3mf-in-itself", ".3mf", model3MF("meter", `<resources><object id="1"><components><component objectid="1"/><component objectid="1"/></components></object></resources><build><item objectid="1"/></build>`), "without end", ""},
	}, shapes()...)
}

// shapes are files in good order whose surface is not.
func shapes() []broken {
	apart := join(cube(), moved(cube(), 1, r3.Vec{X: 1, Y: 1, Z: 1}))
	stl := func(m *mesh.Mesh) []byte { return binarySTL("", uint32(len(m.Triangles)), m) }
	return []broken{
		{"hole", ".stl", stl(without(5)), "", "rims 1, parts 1, closed false"},
		{"inside-out", ".stl", stl(cube().Flipped()), "", "inverted 1, parts 1, closed true"},
		{"one-face-flipped", ".stl", stl(flipOne()), "", "flipped 1, parts 1, closed true"},
		{"duplicate-face", ".stl", stl(with(nil, [3]int32{0, 2, 1})), "", "duplicate 1, parts 1, closed true"},
		{"double-sided", ".stl", stl(join(cube(), cube().Flipped())), "", "duplicate 12, parts 1, closed true"},
		{"zero-area", ".stl", stl(with(nil, [3]int32{0, 1, 1})), "", "degenerate 1, parts 1, closed true"},
		{"fin", ".stl", stl(with([]r3.Vec{{X: 0.5, Y: -1}}, [3]int32{0, 1, 8})), "", "rims 2, non-manifold 1, parts 1, closed false"},
		{"twisted-strip", ".stl", stl(moebius()), "", "…twisted 1, parts 1, closed false"},
		{"touching-corner", ".stl", stl(apart), "", "bow-ties 1, parts 2, closed true"},
		{"touching-edge", ".stl", stl(join(cube(), moved(cube(), 1, r3.Vec{X: 1, Y: 1}))), "", "rims 2, non-manifold 1, parts 1, closed false"},
		{"gap-under-a-micron", ".stl", stl(join(without(2, 3), moved(cubeTop(), 1, r3.Vec{Z: 1e-6}))), "", "welded 4, parts 1, closed true"},
		{"gap-of-a-millimetre", ".stl", stl(join(without(2, 3), moved(cubeTop(), 1, r3.Vec{Z: 1e-3}))), "", "rims 2, parts 2, closed false"},
		{"obj-repeated-corner", ".obj", []byte(objOf(cube()) + "f 1 1 2\n"), "", "degenerate 1, parts 1, closed true"},
		{"obj-loose-vertex", ".obj", []byte(objOf(cube()) + "v 9 9 9\n"), "", "unused 1, parts 1, closed true"},
	}
}

// cubeTop is the face z = 1 of the cube alone.
func cubeTop() *mesh.Mesh { return cube().Extract([]int32{2, 3}).Mesh }

// Every broken file is refused with an error that names it, or read and
// reported; never with a panic.
func TestCorpusOfBrokenMeshes(t *testing.T) {
	all := corpus()
	if len(all) < 30 {
		t.Errorf("%d cases, want at least 30", len(all))
	}
	for _, c := range all {
		t.Run(c.name+c.ext, func(t *testing.T) {
			file := c.name + c.ext
			m, _, err := Read(bytes.NewReader(c.data), file, 1, Limits{})
			if c.refuse != "" {
				var e *Error
				if !errors.As(err, &e) || e.File != file || e.What == "" || !strings.Contains(err.Error(), c.refuse) {
					t.Errorf("error %v, want one of %s with %q", err, file, c.refuse)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			_, r, err := mesh.Clean(m, mesh.CleanOptions{})
			got := summary(r)
			end, part := strings.CutPrefix(c.report, "…")
			if err != nil || got != end && !(part && strings.HasSuffix(got, end)) {
				t.Errorf("report %q, error %v; want %q", got, err, c.report)
			}
		})
	}
}

// Limits that are set are kept, whatever the kind.
func TestLimits(t *testing.T) {
	files := map[string][]byte{"a.stl": binarySTL("", 12, cube()), "b.stl": []byte(asciiSTLOf("b", cube())), "c.obj": []byte(objOf(cube())),
		"d.3mf": model3MF("meter", "<resources>"+object3MF(1, cube())+`</resources><build><item objectid="1"/></build>`)}
	for name, data := range files {
		for _, c := range []struct {
			l    Limits
			want string
		}{
			{Limits{Triangles: 11}, "more than 11 triangles"}, {Limits{Triangles: 12}, ""},
			{Limits{Bytes: int64(len(data)) - 1}, "longer than"},
			{Limits{Coordinate: 0.9}, "the limit is 0.9 m"}, {Limits{Coordinate: 1}, ""},
		} {
			_, _, err := Read(bytes.NewReader(data), name, 1, c.l)
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s, %+v: error %v, want %q", name, c.l, err, c.want)
			}
		}
		if _, _, err := Read(badCable{bytes.NewReader(data)}, name, 1, Limits{}); err == nil || !strings.Contains(err.Error(), "cable pulled") {
			t.Errorf("%s: error %v, want the stream's own", name, err)
		}
		for _, unit := range []float64{0, -1, math.NaN(), math.Inf(1)} {
			if _, _, err := Read(bytes.NewReader(data), name, unit, Limits{}); err == nil {
				t.Errorf("%s: unit %g taken", name, unit)
			}
		}
	}
}

// A header that promises four billion triangles costs no memory for them.
func TestLyingCountTakesNoMemory(t *testing.T) {
	data := binarySTL("", math.MaxUint32, cube())
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, _, err := Read(bytes.NewReader(data), "lie.stl", 1, Limits{}); err == nil {
		t.Error("no error")
	}
	runtime.ReadMemStats(&after)
	if got := after.TotalAlloc - before.TotalAlloc; got > 1<<20 {
		t.Errorf("%d bytes taken for a file of %d", got, len(data))
	}
}
