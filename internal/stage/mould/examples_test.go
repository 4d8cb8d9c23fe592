package mould

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/skin"
	"laywright/internal/stage/mould/solid"
)

func TestDemistBox(t *testing.T) {
	t.Parallel()
	in := readFile(t, "dunlin-demist-box.yaml")
	in.Mould.Triangle = 7e-3
	r := work(t, in)
	sane(t, r)
	if n := r.Triangles; n < 3000 || n > 18000 {
		t.Errorf("%d triangles", n)
	}
	near(t, "hollow", float64(*r.MinHollow), 0.010, 0.05)
	near(t, "draft", r.MinDraft.Degrees(), 3, 1e-3)
	if r.MinAngle.Degrees() < 20 || r.Chord > 0.4e-3 {
		t.Errorf("least angle %.1f deg, chord %.2f mm", r.MinAngle.Degrees(), 1e3*float64(r.Chord))
	}
	noStop(t, r)
}

func TestAirScoop(t *testing.T) {
	t.Parallel()
	in := readFile(t, "dunlin-air-scoop.yaml")
	in.Mould.Triangle = 6e-3
	r := work(t, in)
	sane(t, r)
	near(t, "hollow", float64(*r.MinHollow), 0.020, 0.05)
	if len(r.Rims) != 2 || r.MinAngle.Degrees() < 20 {
		t.Errorf("%d rims, least angle %.1f deg", len(r.Rims), r.MinAngle.Degrees())
	}
	noStop(t, r)
}

func noStop(t testing.TB, r Result) {
	t.Helper()
	for _, f := range r.Findings {
		if f.Severity == "stop" {
			t.Errorf("%s: %s", f.Code, f.What)
		}
	}
}

// fairing is the body under z = H(1 − |s|ⁿ − |t|ᵐ): power laws along, with the
// crown at 35 % of the length, and across.
type fairing struct{}

func (fairing) At(p r3.Vec) (float64, r3.Vec) {
	const length, half, high, n, m = 0.5, 0.08, 0.12, 2.5, 2.2
	a := 0.65 * length
	if p.X < 0 {
		a = 0.35 * length
	}
	s, t := math.Abs(p.X)/a, math.Abs(p.Y)/half
	z := high * (1 - math.Pow(s, n) - math.Pow(t, m))
	dx := -high * n * math.Pow(s, n-1) / a * math.Copysign(1, p.X)
	dy := -high * m * math.Pow(t, m-1) / half * math.Copysign(1, p.Y)
	g := math.Sqrt(1 + dx*dx + dy*dy)
	return (p.Z - z) / g, r3.Scale(1/g, r3.Vec{X: -dx, Y: -dy, Z: 1})
}

// fairingSTL makes the example's mesh file, in millimetres.
func fairingSTL(t testing.TB) []byte {
	box := r3.Box{Min: r3.Vec{X: -0.2, Y: -0.1, Z: -0.015}, Max: r3.Vec{X: 0.35, Y: 0.1, Z: 0.13}}
	s, err := skin.March(fairing{}, box, 0.0045, skin.Options{Size: 0.0056, Chord: 1e-4, Finest: 0.002})
	if err != nil {
		t.Fatal(err)
	}
	s.Cut(skin.Cut{Field: solid.Behind{N: r3.Vec{Z: -1}}})
	s.Refine(7)
	m, err := s.Made()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	head := make([]byte, 80)
	copy(head, "Dunlin ski fairing, half, mm. Own work, CC0 1.0.")
	out.Write(head)
	put := func(v any) { binary.Write(&out, binary.LittleEndian, v) }
	put(uint32(len(m.Mesh.Triangles)))
	for f := range m.Mesh.Triangles {
		a, b, c := m.Mesh.Corners(f)
		for _, v := range []r3.Vec{m.Mesh.FaceNormal(f), r3.Scale(1e3, a), r3.Scale(1e3, b), r3.Scale(1e3, c)} {
			put([3]float32{float32(v.X), float32(v.Y), float32(v.Z)})
		}
		put(uint16(0))
	}
	return out.Bytes()
}

const fairingFile = "../../../examples/dunlin-ski-fairing/fairing.stl"

// TestUnchangedFairing keeps the example's mesh file to its generator. With
// UPDATE_EXAMPLES=1 it writes the file.
func TestUnchangedFairing(t *testing.T) {
	t.Parallel()
	want := fairingSTL(t)
	if os.Getenv("UPDATE_EXAMPLES") != "" {
		if err := os.WriteFile(fairingFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(fairingFile)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("other processors round otherwise, so that the bytes differ")
	}
	if !bytes.Equal(got, want) {
		t.Error("the file is not what its generator makes; UPDATE_EXAMPLES=1 writes it anew")
	}
}

// soup reads a binary STL file as loose triangles in metres.
func soup(t testing.TB, data []byte) *mesh.Mesh {
	t.Helper()
	n := int(binary.LittleEndian.Uint32(data[80:]))
	if len(data) != 84+50*n {
		t.Fatalf("%d bytes for %d triangles", len(data), n)
	}
	m := &mesh.Mesh{}
	for i := range n {
		var c [12]float32
		if _, err := binary.Decode(data[84+50*i:], binary.LittleEndian, &c); err != nil {
			t.Fatal(err)
		}
		v := int32(len(m.Vertices))
		for k := 3; k < 12; k += 3 {
			m.Vertices = append(m.Vertices, r3.Scale(1e-3, r3.Vec{X: float64(c[k]), Y: float64(c[k+1]), Z: float64(c[k+2])}))
		}
		m.Triangles = append(m.Triangles, [3]int32{v, v + 1, v + 2})
	}
	return m
}

func TestSkiFairing(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile(fairingFile)
	if err != nil {
		t.Fatal(err)
	}
	in := readFile(t, "dunlin-ski-fairing.yaml")
	in.Imported = soup(t, data)
	r := work(t, in)
	sane(t, r)
	if n := r.Triangles; n < 8000 || n > 10000 {
		t.Errorf("%d triangles", n)
	}
	// Its foot is where |s|ⁿ + |t|ᵐ = 1 and its top at 120 mm.
	b := r.Surface.Bounds()
	for _, c := range [][2]float64{{b.Min.X, -0.175}, {b.Max.X, 0.325}, {b.Max.Y, 0.08}, {b.Max.Z, 0.12}, {b.Min.Z + 1, 1}} {
		near(t, "bounds", c[0], c[1], 2e-3)
	}
	if *r.Closed || r.Volume != nil || len(r.Rims) != 1 {
		t.Errorf("closed %v, %d rims", *r.Closed, len(r.Rims))
	}
	// The steepest wall is at the foot of the side: slope H·m/half.
	if want := math.Atan(0.08/(0.12*2.2)) * 180 / math.Pi; math.Abs(r.MinDraft.Degrees()-want) > 1.5 {
		t.Errorf("least draft %.2f deg, want about %.2f", r.MinDraft.Degrees(), want)
	}
	noStop(t, r)
}

// Vertices of an imported mesh stay where they were; a cut-out adds a rim.
func TestImportedKeepsVertices(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile(fairingFile)
	if err != nil {
		t.Fatal(err)
	}
	in := readFile(t, "dunlin-ski-fairing.yaml")
	in.Imported = soup(t, data)
	whole := work(t, in)
	there := map[r3.Vec]bool{}
	for _, v := range in.Imported.Vertices {
		there[v] = true
	}
	for _, v := range whole.Surface.Vertices {
		if !there[v] {
			t.Fatalf("%v was not in the file", v)
		}
	}
	in.Part = read(t, `part: {cutouts: [{circle: {diameter: "40 mm", at: {unit: mm, xyz: [0, 0, 120]}, axis: [0, 0, 1]}}]}`).Part
	holed := work(t, in)
	sane(t, holed)
	if len(holed.Rims) != 2 || holed.Rims[0].Kind != Outer || holed.Rims[1].Kind != CutRim {
		t.Fatalf("rims %v", len(holed.Rims))
	}
	// Seen along the axis the hole is a disc; the crown there leans little.
	if off := area(whole) - area(holed); off < math.Pi*0.02*0.02 || off > 1.1*math.Pi*0.02*0.02 {
		t.Errorf("%g m² taken off", off)
	}
	for _, v := range holed.Rims[1].Vertices {
		p := holed.Surface.Vertices[v]
		if d := math.Hypot(p.X, p.Y) - 0.02; math.Abs(d) > 1e-8 {
			t.Errorf("a rim vertex stands %g m off the hole", d)
			break
		}
	}
}

func TestImportedRefused(t *testing.T) {
	t.Parallel()
	in := read(t, "mould: {file: a.stl, unit: mm, fillet: \"5 mm\"}")
	in.Imported = &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Triangles: [][3]int32{{0, 1, 2}}}
	if _, err := Work(in); err == nil {
		t.Error("a fillet on an imported mesh was taken")
	}
	in = read(t, "mould: {file: a.stl, unit: mm}")
	in.Imported = &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: 5}, {X: 6}, {X: 5, Y: 1}}, Triangles: [][3]int32{{0, 1, 2}, {3, 4, 5}}}
	if _, err := Work(in); err == nil {
		t.Error("two separate pieces were taken")
	}
}
