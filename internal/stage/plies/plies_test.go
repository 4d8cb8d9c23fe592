package plies

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g within %.2g", what, got, want, within)
	}
}

// plate is 300 by 200 mm, seen from +z.
func plate() *mesh.Mesh {
	return shapes.Starred(12, 8, func(s, t float64) r3.Vec { return r3.Vec{X: 0.3 * (s - 0.5), Y: 0.2 * (t - 0.5)} })
}

// box is a truncated pyramid: a square top of half-width 100 mm, walls at an
// angle to the horizontal.
func box(β float64) *mesh.Mesh {
	return shapes.Starred(40, 40, func(s, t float64) r3.Vec {
		x, y := 0.25*(2*s-1), 0.25*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: -math.Tan(β) * max(0, math.Abs(x)-0.1, math.Abs(y)-0.1)}
	})
}

const deg = math.Pi / 180

func cloth(locking float64) material.Fabric {
	return material.Fabric{Locking: material.Exactly(si.Degrees(locking)), ShearWarn: material.Exactly(si.Degrees(locking - 10)),
		Width: material.Exactly(si.Length(1.2)), Selvedge: material.Exactly(si.Length(0.01)), MinRadius: material.Exactly(si.Length(0.004))}
}

func stackOf(locking float64, angles ...float64) (out []PlyIn) {
	for i, a := range angles {
		out = append(out, PlyIn{Number: i + 1, Name: "twill", Angle: si.Degrees(a), Fabric: cloth(locking)})
	}
	return out
}

func laid(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Lay(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func codes(r Result) string {
	var out []string
	for _, f := range r.Findings {
		out = append(out, string(f.Severity)+" "+f.Code)
	}
	return strings.Join(out, ", ")
}

// A flat plate is its own pattern: the angle turns the warp towards the weft seen
// from the free side, the seed is in the middle, and the cut line stands the
// allowance outside (area A + P·d + π·d² with round corners).
func TestPlate(t *testing.T) {
	m := plate()
	r := laid(t, Input{Surface: m, Plies: stackOf(45, 0, 30, 30)})
	if got := codes(r); got != "note drape-model" {
		t.Errorf("findings: %s", got)
	}
	if math.Abs(float64(r.ClothArea)-0.18) > 1e-9 || r.SeedFrom != "middle" || math.Hypot(r.Seed[0], r.Seed[1]) > 1e-9 {
		t.Errorf("cloth %.6f m², seed %v (%s)", r.ClothArea, r.Seed, r.SeedFrom)
	}
	sin, cos := math.Sincos(30 * deg)
	for v, p := range m.Vertices {
		q := r.Plies[1].Laid.Flat[v]
		want := r2.Vec{X: cos*p.X + sin*p.Y, Y: -sin*p.X + cos*p.Y}
		if r2.Norm(r2.Sub(q, want)) > 1e-9 || r3.Norm(r3.Sub(r.Plies[1].Laid.Warp[v], r3.Vec{X: cos, Y: sin})) > 1e-6 {
			t.Fatalf("at %v: flat %v, want %v; warp %v", p, q, want, r.Plies[1].Laid.Warp[v])
		}
	}
	piece := r.Plies[1].Pieces[0]
	if piece.Name != "P02" || len(piece.Net) != 4 || piece.Lap != usualLap {
		t.Errorf("piece %s of %d corners, lap %v", piece.Name, len(piece.Net), piece.Lap)
	}
	if want := 0.06 + 1*0.02 + math.Pi*0.02*0.02; math.Abs(flat.Polygon(piece.Outline).Area()/want-1) > 1e-3 {
		t.Errorf("cut line round %.6f m², want %.6f", flat.Polygon(piece.Outline).Area(), want)
	}
}

// A cylinder unrolls: no shear at any angle, and the cloth has the surface's area.
func TestCylinder(t *testing.T) {
	m := shapes.Starred(40, 30, func(s, u float64) r3.Vec {
		φ := math.Pi * (0.5 - s)
		return r3.Vec{X: 0.06 * math.Sin(-φ), Y: 0.2 * u, Z: 0.06 * math.Cos(φ)}
	})
	r := laid(t, Input{Surface: m, Plies: stackOf(45, 0, 45, 20)})
	for _, p := range r.Plies {
		if p.ShearMax > si.Degrees(0.3) {
			t.Errorf("ply at %.0f°: shear %.3f°", p.Angle.Degrees(), p.ShearMax.Degrees())
		}
	}
	if math.Abs(float64(r.ClothArea)/(3*m.Area())-1) > 1e-4 {
		t.Errorf("cloth %.6f m² on %.6f", r.ClothArea, 3*m.Area())
	}
}

// Cloth that stands the shear of a pyramid's corners (36.9° behind walls at 60°:
// 90° − 2·asin(cot β/√(1+2cot²β))) is not faulted; tighter cloth locks at each of
// the four corners, once for all plies that lie alike.
func TestLockingAtCorners(t *testing.T) {
	count := func(r Result) (n int) {
		for _, f := range r.Findings {
			if f.Code == "cloth-locks" && f.Severity == fault.Caution {
				n++
			}
		}
		return n
	}
	whole := given(0, 0, 0)
	whole.Slits.None = true
	loose := laid(t, Input{Spec: whole, Surface: box(60 * deg), Plies: stackOf(60, 0)})
	if n := count(loose); n != 0 || loose.Plies[0].Locked != 0 {
		t.Errorf("loose cloth locks in %d places over %.5f m²", n, loose.Plies[0].Locked)
	}
	for v, x := range box(60 * deg).Vertices { // on the line behind a corner, two triangles off
		if got := loose.Plies[0].Laid.Shear[v] / deg; x.X == x.Y && x.X > 0.13 && math.Abs(got-36.87) > 0.5 {
			t.Errorf("shear %.2f° at %v, want 36.87°", got, x)
		}
	}
	tight := laid(t, Input{Spec: whole, Surface: box(60 * deg), Plies: stackOf(30, 0, 0)})
	if n := count(tight); n != 4 {
		t.Errorf("tight cloth locks in %d places, want 4: %s", n, codes(tight))
	}
	if strings.Contains(codes(tight), "stop") || tight.Plies[0].Laid != tight.Plies[1].Laid {
		t.Errorf("findings %s", codes(tight))
	}
}

// A cut-out is marked, not cut, and does not count as cloth.
func TestCutout(t *testing.T) {
	m := plate()
	var left [][3]int32
	for f, tri := range m.Triangles {
		if c := m.Centroid(f); math.Abs(c.X-0.0625) > 0.025 || math.Abs(c.Y) > 0.025 {
			left = append(left, tri)
		}
	}
	m.Triangles = left
	r := laid(t, Input{Surface: m, Plies: stackOf(45, 0)})
	p := r.Plies[0].Pieces[0]
	if len(p.Cutouts) != 1 || math.Abs(float64(p.Area)-m.Area()) > 1e-9 || math.Abs(flat.Polygon(p.Net).Area()-0.06) > 1e-9 {
		t.Errorf("%d cut-outs, area %.6f, outline %.6f", len(p.Cutouts), p.Area, flat.Polygon(p.Net).Area())
	}
}

// Parts that do not hang together get a piece each; cloth too narrow is parted,
// and a stop where it may not be; a seed off the part and a warp that stands up on
// it are pointed out.
func TestRemarks(t *testing.T) {
	m := plate()
	two := m.Clone()
	for _, p := range m.Vertices {
		two.Vertices = append(two.Vertices, r3.Add(p, r3.Vec{X: 0.5}))
	}
	for _, tri := range m.Triangles {
		k := int32(len(m.Vertices))
		two.Triangles = append(two.Triangles, [3]int32{tri[0] + k, tri[1] + k, tri[2] + k})
	}
	r := laid(t, Input{Surface: two, Plies: stackOf(45, 0)})
	if p := r.Plies[0].Pieces; len(p) != 2 || p[0].Name != "P01A" || p[1].Name != "P01B" || !strings.Contains(codes(r), "surface-in-parts") {
		t.Errorf("pieces %+v, findings %s", p, codes(r))
	}
	narrow := stackOf(45, 0)
	narrow[0].Fabric.Width = material.Exactly(si.Length(0.2))
	if r = laid(t, Input{Spec: Spec{Slits: Slits{None: true}}, Surface: m, Plies: narrow}); !strings.Contains(codes(r), "stop piece-wider-than-roll") {
		t.Errorf("findings: %s", codes(r))
	}
	r = laid(t, Input{Surface: m, Plies: narrow})
	if p := r.Plies[0].Pieces; len(p) != 2 || r.Relaid.Plies[0].Coverage < 0.9995 || strings.Contains(codes(r), "stop") {
		t.Errorf("%d pieces of narrow cloth cover %.4f, findings: %s", len(p), r.Relaid.Plies[0].Coverage, codes(r))
	}
	spec := Spec{Warp: bind.Direction{V: r3.Vec{Z: 1}}, Seed: bind.Auto[bind.Point]{Given: true, Value: bind.Point{V: r3.Vec{X: 0.1, Y: 0.05, Z: 0.3}}}}
	r = laid(t, Input{Spec: spec, Surface: m, Plies: stackOf(45, 0)})
	if got := codes(r); !strings.Contains(got, "caution seed-off-surface") || !strings.Contains(got, "caution warp-off-surface") {
		t.Errorf("findings: %s", got)
	}
	if r.SeedFrom != "given" || math.Abs(r.Seed[0]-0.1)+math.Abs(r.Seed[1]-0.05)+math.Abs(r.Seed[2]) > 1e-9 {
		t.Errorf("seed %v from %s", r.Seed, r.SeedFrom)
	}
}

// The same plies give the same bytes, with no number that JSON can't hold.
func TestSameBytes(t *testing.T) {
	in := Input{Surface: box(45 * deg), Plies: stackOf(45, 0, 45, 45, 0)}
	a, err := json.Marshal(laid(t, in))
	if err != nil {
		t.Fatal(err)
	}
	b, _ := json.Marshal(laid(t, in))
	if !bytes.Equal(a, b) {
		t.Error("laid twice, the plies differ")
	}
	for _, key := range []string{`"shear_max_deg":`, `"cloth_area_m2":`, `"outline_m":[[`, `"seams":[]`, `"lap_m":0.015`} {
		if !bytes.Contains(a, []byte(key)) {
			t.Errorf("no %s", key)
		}
	}
}

func TestSpecReads(t *testing.T) {
	read := func(src string) (Spec, []bind.Problem) {
		root, problems := bind.Parse([]byte(src))
		b := bind.New()
		var s Spec
		b.Into(&s, "plies", root)
		return s, append(problems, b.Problems...)
	}
	s, problems := read("{seed: {unit: mm, xyz: [0, 0, 100]}, warp: [1, 1, 0], lap: 20 mm, stagger: 1 in, mode: butted, slits: none, trim_allowance: 0 mm}")
	if len(problems) > 0 || !s.Seed.Given || s.Seed.Value.V.Z != 0.1 || *s.Lap != 0.02 || *s.TrimAllowance != 0 || !s.Slits.None || s.check() != nil {
		t.Errorf("%+v, %v", s, problems)
	}
	if s, problems = read("{slits: [{from: {unit: mm, xyz: [0, 0, 0]}, to: {unit: mm, xyz: [50, 0, 0]}}]}"); len(problems) > 0 || len(s.Slits.Drawn) != 1 || or(s.Lap, usualLap) != 0.015 {
		t.Errorf("%+v, %v", s, problems)
	}
	if _, problems = read("{slits: some}"); len(problems) != 1 {
		t.Errorf("problems %v", problems)
	}
	for _, src := range []string{"{lap: 2 m}", "{stagger: -1 mm}", "{mode: sewn}"} {
		if s, _ = read(src); s.check() == nil {
			t.Errorf("%s passes", src)
		}
	}
}
