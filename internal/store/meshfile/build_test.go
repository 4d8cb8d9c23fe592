package meshfile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// cube is a unit cube of twelve triangles, turned outwards.
func cube() *mesh.Mesh {
	return &mesh.Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {Z: 1}, {X: 1, Z: 1}, {X: 1, Y: 1, Z: 1}, {Y: 1, Z: 1}},
		Triangles: [][3]int32{{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4},
			{1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}},
	}
}

// moved is the cube scaled and shifted.
func moved(m *mesh.Mesh, scale float64, by r3.Vec) *mesh.Mesh {
	m = m.Clone()
	for i, v := range m.Vertices {
		m.Vertices[i] = r3.Add(r3.Scale(scale, v), by)
	}
	return m
}

// join puts several meshes into one.
func join(parts ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, p := range parts {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, p.Vertices...)
		for _, t := range p.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{n + t[0], n + t[1], n + t[2]})
		}
	}
	return out
}

// binarySTL writes a header, a count and the triangles of m in file units.
func binarySTL(header string, count uint32, m *mesh.Mesh) []byte {
	b := make([]byte, 80, 84+50*len(m.Triangles))
	copy(b, header)
	b = binary.LittleEndian.AppendUint32(b, count)
	for f := range m.Triangles {
		p, q, r := m.Corners(f)
		for _, v := range [4]r3.Vec{{}, p, q, r} {
			for _, c := range [3]float64{v.X, v.Y, v.Z} {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c)))
			}
		}
		b = append(b, 0, 0)
	}
	return b
}

// asciiSTLOf writes one solid.
func asciiSTLOf(name string, m *mesh.Mesh) string {
	var b strings.Builder
	fmt.Fprintf(&b, "solid %s\n", name)
	for f := range m.Triangles {
		p, q, r := m.Corners(f)
		b.WriteString(" facet normal 0 0 0\n  outer loop\n")
		for _, v := range [3]r3.Vec{p, q, r} {
			fmt.Fprintf(&b, "   vertex %g %g %g\n", v.X, v.Y, v.Z)
		}
		b.WriteString("  endloop\n endfacet\n")
	}
	fmt.Fprintf(&b, "endsolid %s\n", name)
	return b.String()
}

func objOf(m *mesh.Mesh) string {
	var b bytes.Buffer
	if err := WriteOBJ(&b, m, 1); err != nil {
		panic(err)
	}
	return b.String()
}

// archive packs files, given as name, text, name, text.
func archive(files ...string) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, err := z.Create(files[i])
		if err == nil {
			_, err = w.Write([]byte(files[i+1]))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// model3MF is an archive with one model of the given text inside <model>.
func model3MF(unit, inside string) []byte {
	return archive("3D/3dmodel.model", `<?xml version="1.0" encoding="UTF-8"?><model unit="`+unit+
		`" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">`+inside+`</model>`)
}

// object3MF is the text of an object with the mesh m.
func object3MF(id int, m *mesh.Mesh) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<object id="%d" type="model" name="part %d"><mesh><vertices>`, id, id)
	for _, v := range m.Vertices {
		fmt.Fprintf(&b, `<vertex x="%g" y="%g" z="%g"/>`, v.X, v.Y, v.Z)
	}
	b.WriteString(`</vertices><triangles>`)
	for _, t := range m.Triangles {
		fmt.Fprintf(&b, `<triangle v1="%d" v2="%d" v3="%d"/>`, t[0], t[1], t[2])
	}
	b.WriteString(`</triangles></mesh></object>`)
	return b.String()
}

// readOK reads what must be readable.
func readOK(t *testing.T, data []byte, name string, unit float64) (*mesh.Mesh, Info) {
	t.Helper()
	m, info, err := Read(bytes.NewReader(data), name, unit, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return m, info
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Fatalf("%s: %.12g, want %.12g ± %.2g", what, got, want, tolerance)
	}
}

// fullDisk fails after some bytes.
type fullDisk struct{ left int }

func (d *fullDisk) Write(p []byte) (int, error) {
	if d.left -= len(p); d.left < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

// badCable is a reader that fails in the middle.
type badCable struct{ r *bytes.Reader }

func (c badCable) Read(p []byte) (int, error) {
	if n, err := c.r.Read(p); n > 0 {
		return n, err
	}
	return 0, errors.New("cable pulled")
}
