package meshfile

import (
	"bytes"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// A cube of 40 mm, in every kind of file, has its area and volume in metres.
func TestSameCubeFromEveryKind(t *testing.T) {
	big := moved(cube(), 40, r3.Vec{X: 7})
	text := asciiSTLOf("a cube", big)
	polygons := "v 7 0 0\nv 47 0 0\nv 47 40 0\nv 7 40 0\nv 7 0 40\nv 47 0 40\nv 47 40 40\nv 7 40 40\n" +
		"f 4 3 2 1\nf -4 -3 -2 -1\nf 1/1 2/2 6/3 5/4\nf 2//1 3//1 7//1 6//1\nf 3/1/1 4/1/1 8/1/1 \\\n7/1/1\nf 4 1 5 8\n"
	for _, c := range []struct {
		name, kind string
		data       []byte
	}{
		{"c.stl", "stl-binary", binarySTL("made here", 12, big)},
		{"C.STL", "stl-binary", binarySTL("solid but binary", 12, big)},
		{"c.stl", "stl-binary", binarySTL("solid x\nbut binary, with a line's end", 12, big)},
		{"c.stl", "stl-ascii", []byte(text)},
		{"c.stl", "stl-ascii", []byte("\xef\xbb\xbf \n" + strings.ToUpper(text))},
		{"c.stl", "stl-ascii", []byte(strings.ReplaceAll(text, "\n", "\r\n"))},
		{"c.stl", "stl-ascii", []byte(strings.ReplaceAll(text, "\n", "\r"))},
		{"c.obj", "obj", []byte(objOf(big))},
		{"c.obj", "obj", []byte("# made here\no box\nvn 0 0 1\nvt 0 0\ns off\nusemtl x\n" + polygons)},
		{"c.3mf", "3mf", model3MF("millimeter", "<resources>"+object3MF(1, big)+`</resources><build><item objectid="1"/></build>`)},
		{"zip-by-content.stl", "3mf", model3MF("millimeter", "<resources>"+object3MF(1, big)+`</resources><build><item objectid="1"/></build>`)},
	} {
		m, info := readOK(t, c.data, c.name, 1e-3)
		if info.Kind != c.kind || info.Triangles != 12 || len(m.Vertices) != 8 || info.Unit != 1e-3 {
			t.Errorf("%s: %+v, %d vertices", c.name, info, len(m.Vertices))
		}
		near(t, "area", m.Area(), 6*0.04*0.04, 1e-9)
		near(t, "volume", m.Volume(), 0.04*0.04*0.04, 1e-11)
	}
}

// Several solids in one text are all read, each with its name.
func TestSeveralSolids(t *testing.T) {
	text := asciiSTLOf("first", cube()) + "\n" + asciiSTLOf("the second", moved(cube(), 2, r3.Vec{X: 5}))
	m, info := readOK(t, []byte(text), "two.stl", 1)
	if len(info.Solids) != 2 || info.Solids[0] != "first" || info.Solids[1] != "the second" {
		t.Errorf("solids %q", info.Solids)
	}
	near(t, "volume", m.Volume(), 1+8, 1e-12)
}

// A polygon that is not convex is cut inside itself: an L and a comb keep their
// area (shoelace) and no triangle turns over.
func TestConcavePolygons(t *testing.T) {
	comb := "v 0 0 0\nv 7 0 0\nv 7 3 0\nv 6 3 0\nv 6 1 0\nv 5 1 0\nv 5 3 0\nv 4 3 0\nv 4 1 0\nv 3 1 0\nv 3 3 0\nv 0 3 0\n"
	for text, want := range map[string]float64{
		"v 0 0 0\nv 2 0 0\nv 2 1 0\nv 1 1 0\nv 1 2 0\nv 0 2 0\nf 1 2 3 4 5 6\n": 3,
		"v 0 0 0\nv 2 0 0\nv 2 1 0\nv 1 1 0\nv 1 2 0\nv 0 2 0\nf 4 5 6 1 2 3\n": 3,
		"v 0 0 0\nv 1 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\nf 1 2 3 4 5\n":            4,
		comb + "f 1 2 3 4 5 6 7 8 9 10 11 12\n":                                 7*3 - 2 - 2,
	} {
		m, _ := readOK(t, []byte(text), "p.obj", 1)
		near(t, "area", m.Area(), want, 1e-12)
		for f := range m.Triangles {
			if !(m.AreaVector(f).Z > 0) {
				t.Errorf("triangle %d flat or turned over in %q", f, text)
			}
		}
	}
}

// An archive written by an independent library, in inches, with a component
// that is turned and shifted, comes back at its size and place.
func Test3MFFromIndependentWriter(t *testing.T) {
	box := &go3mf.Mesh{}
	for _, v := range cube().Vertices {
		box.Vertices.Vertex = append(box.Vertices.Vertex, go3mf.Point3D{float32(v.X), float32(v.Y), float32(v.Z)})
	}
	for _, f := range cube().Triangles {
		box.Triangles.Triangle = append(box.Triangles.Triangle, go3mf.Triangle{V1: uint32(f[0]), V2: uint32(f[1]), V3: uint32(f[2])})
	}
	turn := go3mf.Matrix{0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1, 0, 10, 0, 0, 1} // x to y, then 10 along x
	model := &go3mf.Model{Units: go3mf.UnitInch}
	model.Resources.Objects = []*go3mf.Object{
		{ID: 1, Name: "box", Mesh: box},
		{ID: 2, Components: &go3mf.Components{Component: []*go3mf.Component{{ObjectID: 1}, {ObjectID: 1, Transform: turn}}}},
	}
	model.Build.Items = []*go3mf.Item{{ObjectID: 2}}
	var b bytes.Buffer
	if err := go3mf.NewEncoder(&b).Encode(model); err != nil {
		t.Fatal(err)
	}
	m, info := readOK(t, b.Bytes(), "inches.3mf", 1e-3)
	if info.Unit != 0.0254 || info.Triangles != 24 {
		t.Errorf("%+v", info)
	}
	near(t, "volume", m.Volume(), 2*0.0254*0.0254*0.0254, 1e-12)
	box2 := m.Bounds()
	near(t, "from x", box2.Min.X, 0, 1e-9) // the turned box spans 9 to 10 inches along x
	near(t, "to x", box2.Max.X, 10*0.0254, 1e-7)
	near(t, "place of the turned corner x = 1", m.Vertices[8+1].Y, 0.0254, 1e-7)
}

// Transforms act in the order of the format: the component's first, then the
// item's; a mirror keeps the outside outside; supports are left out.
func Test3MFTransforms(t *testing.T) {
	res := "<resources>" + object3MF(1, cube()) +
		`<object id="2"><components><component objectid="1" transform="2 0 0 0 2 0 0 0 2 1 0 0"/></components></object>` +
		strings.Replace(object3MF(3, cube()), `type="model"`, `type="support"`, 1) + `</resources>`
	m, info := readOK(t, model3MF("meter", res+`<build><item objectid="2" transform="0 1 0 1 0 0 0 0 1 0 0 5"/><item objectid="3"/></build>`), "t.3mf", 1)
	if info.Triangles != 12 || len(info.Solids) != 1 {
		t.Errorf("%+v", info)
	}
	near(t, "volume", m.Volume(), 8, 1e-12) // mirrored (x and y swapped), still outwards
	b := m.Bounds()
	if b.Min != (r3.Vec{X: 0, Y: 1, Z: 5}) || b.Max != (r3.Vec{X: 2, Y: 3, Z: 7}) {
		t.Errorf("bounds %v", b)
	}
}

// An object may stand in another model of the archive, with its own unit.
func Test3MFProductionPath(t *testing.T) {
	other := `<model unit="centimeter"><resources>` + object3MF(9, cube()) + `</resources></model>`
	root := `<model unit="millimeter" xmlns:p="urn:p"><resources><object id="1"><components><component objectid="9" p:path="/3D/Objects/part.model" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components></object></resources><build><item objectid="1"/></build></model>`
	rels := `<Relationships><Relationship Type="` + modelRelation + `" Target="/3D/root.model" Id="r"/></Relationships>`
	m, _ := readOK(t, archive("_rels/.rels", rels, "3D/root.model", root, "3D/Objects/part.model", other), "p.3mf", 1)
	near(t, "volume", m.Volume(), 1e-6, 1e-15)
	near(t, "shift", m.Bounds().Min.X, 0.005, 1e-15)
}

// Cleaning what was read from loose triangles gives the surface back.
func TestReadThenClean(t *testing.T) {
	m, _ := readOK(t, binarySTL("", 12, moved(cube(), 300, r3.Vec{X: 0.1, Y: 0.2})), "c.stl", 1e-3)
	out, r, err := mesh.Clean(m, mesh.CleanOptions{})
	if err != nil || !r.Closed || len(out.Vertices) != 8 || r.Components != 1 {
		t.Errorf("%+v, error %v", r, err)
	}
}
