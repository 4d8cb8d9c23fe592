package meshfile

import (
	"bytes"
	"errors"
	"math"
	"runtime"
	"strings"
	"testing"

	"laywright/internal/base/mesh"
)

// maxBytesEach is how many bytes of memory a reader may take for each byte of
// the file, with a share for its buffers; vertices are kept in a table of their
// own while they are compared, and XML is dear.
const (
	maxBytesEach = 400
	freeMemory   = 4 << 20
)

// tryFile reads what may be anything: it must end in an Error that names the
// file or in a mesh that is within the limits and can be cleaned and written,
// and must not take memory beyond a multiple of what unpacked.
func tryFile(t *testing.T, name string, data []byte, unpacked int64) {
	l := Limits{Triangles: 20000, Bytes: unpacked}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	m, _, err := Read(bytes.NewReader(data), name, 1e-3, l)
	runtime.ReadMemStats(&after)
	if got := after.TotalAlloc - before.TotalAlloc; got > freeMemory+maxBytesEach*uint64(unpacked) {
		t.Fatalf("%d bytes of memory for %d of file", got, len(data))
	}
	if err != nil {
		var e *Error
		if !errors.As(err, &e) || !strings.HasPrefix(err.Error(), name) {
			t.Fatalf("error %v does not name the file", err)
		}
		return
	}
	checkMesh(t, m)
	out, _, err := mesh.Clean(m, mesh.CleanOptions{})
	if err != nil {
		return
	}
	checkMesh(t, out)
	if _, err := mesh.NewTopology(out); err != nil {
		t.Fatalf("cleaned, but %v", err)
	}
	var b bytes.Buffer
	if err := WriteVTK(&b, out, name, nil); err != nil {
		t.Fatal(err)
	}
}

func checkMesh(t *testing.T, m *mesh.Mesh) {
	for _, v := range m.Vertices {
		if !(math.Abs(v.X) <= 1000 && math.Abs(v.Y) <= 1000 && math.Abs(v.Z) <= 1000) {
			t.Fatalf("vertex %v beyond the limit", v)
		}
	}
	for _, tri := range m.Triangles {
		for _, v := range tri {
			if v < 0 || int(v) >= len(m.Vertices) {
				t.Fatalf("triangle %v of %d vertices", tri, len(m.Vertices))
			}
		}
	}
}

// seed adds the files of the corpus of one kind.
func seed(f *testing.F, ext string) {
	for _, c := range corpus() {
		if c.ext == ext && len(c.data) < 1<<16 {
			f.Add(c.data)
		}
	}
}

func FuzzSTL(f *testing.F) {
	seed(f, ".stl")
	f.Fuzz(func(t *testing.T, data []byte) { tryFile(t, "fuzz.stl", data, int64(len(data))) })
}

func FuzzOBJ(f *testing.F) {
	seed(f, ".obj")
	f.Fuzz(func(t *testing.T, data []byte) { tryFile(t, "fuzz.obj", data, int64(len(data))) })
}

// Fuzz3MF tries archives, and the model inside one, which a fuzzer would seldom
// reach through the packing.
func Fuzz3MF(f *testing.F) {
	seed(f, ".3mf")
	box := "<resources>" + object3MF(1, cube()) + `</resources><build><item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 5"/></build>`
	f.Add([]byte("<model unit=\"inch\">" + box + "</model>"))
	f.Add([]byte(`<model><resources><object id="1"><components><component objectid="1"/></components></object></resources><build><item objectid="1"/></build></model>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		tryFile(t, "fuzz.3mf", data, 1<<20)
		tryFile(t, "fuzz.3mf", archive("3D/3dmodel.model", string(data)), 1<<20)
	})
}
