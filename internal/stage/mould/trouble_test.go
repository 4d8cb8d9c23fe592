package mould

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// A block without draft holds its foot's area times its height, whatever else
// stands on the mould.
const blockVolume = 0.2 * 0.14 * 0.05

// A duct's end so near the flange that filler covers its rim stays closed: the
// flange before it is not cut away, and the body is no less than the block.
func TestSweepEndInFiller(t *testing.T) {
	t.Parallel()
	yaml := `
mould:
  triangle: "12 mm"
  solids:
    - block: {size: {unit: mm, xyz: [200, 140, 50]}, at: {unit: mm, xyz: [0, 0, 0]}}
    - sweep: {path: {unit: mm, points: [[60, 0, 25], [120, 0, 25]]}, from: {circle: "36 mm"}}
  fillet: "FILLET"
  flange: "60 mm"`
	buried := work(t, read(t, strings.ReplaceAll(yaml, "FILLET", "8 mm")))
	sane(t, buried)
	if len(buried.Rims) != 1 || !has(buried, "duct-end-closed") {
		t.Errorf("%d rims, want the flange's alone and a caution", len(buried.Rims))
	}
	// The stub's 20 mm outside the block, and filler.
	if least := blockVolume + math.Pi*0.018*0.018*0.02; volume(buried) < least {
		t.Errorf("volume %g, want more than %g", volume(buried), least)
	}
	// With 7 mm of gap a ball of 3 mm goes under, and the end is open.
	free := work(t, read(t, strings.ReplaceAll(yaml, "FILLET", "3 mm")))
	sane(t, free)
	if len(free.Rims) != 2 || has(free, "duct-end-closed") {
		t.Errorf("%d rims, want the flange's and the open end's", len(free.Rims))
	}
}

// A stub whose gap to the flange a ball just fails to enter, and walls whose
// sharp edges run down into filler while leaning out: each used to leave the
// mesh off the surface.
func TestNarrowGapAndOverhang(t *testing.T) {
	t.Parallel()
	for _, solids := range []string{
		`[{block: {size: {unit: mm, xyz: [200, 140, 100]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm"}},
     {cylinder: {diameter: "40 mm", height: "40 mm", at: {unit: mm, xyz: [90, 0, 35]}, axis: [1, 0, 0]}}]`,
		`[{block: {size: {unit: mm, xyz: [200, 140, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "-10 deg"}}]`,
	} {
		r := work(t, read(t, "mould:\n  triangle: \"10 mm\"\n  fillet: \"8 mm\"\n  flange: \"60 mm\"\n  solids: "+solids))
		sane(t, r)
		near(t, "hollow", float64(*r.MinHollow), 0.008, 0.05)
		if !has(r, "undercut") || r.MinAngle.Degrees() < 3 {
			t.Errorf("undercut %v, least angle %.2f deg", has(r, "undercut"), r.MinAngle.Degrees())
		}
	}
}

// Rounded solids keep to the stated chord of 0.256 mm at 8 mm, by 16/9; where a
// sharp edge dies out in filler, what is left is told and stays under 1.3 mm.
func TestChordKept(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		edge string
		most float64 // m
	}{{"6 mm", 0.256e-3 * 16 / 9}, {"0 mm", 1.3e-3}} {
		r := work(t, read(t, `
mould:
  triangle: "8 mm"
  fillet: "8 mm"
  flange: "25 mm"
  solids:
    - block: {size: {unit: mm, xyz: [120, 90, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "`+c.edge+`", draft: "4 deg"}
    - cylinder: {diameter: "50 mm", height: "80 mm", at: {unit: mm, xyz: [20, 10, 0]}, edge: "5 mm"}`))
		sane(t, r)
		if float64(r.Chord) > c.most*1.001 {
			t.Errorf("edges of %s: an edge of the mesh stands off by %.2f mm", c.edge, 1e3*float64(r.Chord))
		}
	}
}

// A block leaning out by 20 deg: the frustum's closed form, and an undercut of
// all its walls.
func TestLeaningOut(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "10 mm"
  solids: [{block: {size: {unit: mm, xyz: [200, 140, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "-20 deg"}}]`))
	sane(t, r)
	tan := math.Tan(20 * math.Pi / 180)
	a, b := 0.2+0.1*tan, 0.14+0.1*tan
	near(t, "volume", volume(r), 0.05/6*(0.2*0.14+a*b+(0.2+a)*(0.14+b)), 1e-6)
	near(t, "undercut", float64(*r.UndercutArea), 0.05/math.Cos(20*math.Pi/180)*(0.34+a+b), 1e-6)
}

// Stubs and roots where creases meet used to leave triangles of 0.006 deg.
func TestNoSlivers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ solids, rest string }{
		{`[{block: {size: {unit: mm, xyz: [200, 140, 100]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm"}},
     {cylinder: {diameter: "40 mm", height: "40 mm", at: {unit: mm, xyz: [90, 0, 25]}, axis: [1, 0, 0]}}]`, `fillet: "4 mm"`},
		{`[{block: {size: {unit: mm, xyz: [127.51, 75.19, 45.35]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "8.42 mm", draft: "2 deg", turn: "27.2 deg"}},
     {dome: {diameter: "106.64 mm", height: "20 mm", at: {unit: mm, xyz: [1.76, 65.68, 0]}}}]`, `fillet: "0 mm"`},
	} {
		r := work(t, read(t, "mould:\n  triangle: \"10 mm\"\n  "+c.rest+"\n  flange: \"60 mm\"\n  solids: "+c.solids))
		sane(t, r)
		if r.MinAngle.Degrees() < 3 {
			t.Errorf("%s\nleast angle %.3f deg", c.solids, r.MinAngle.Degrees())
		}
	}
}

// Rounded edges that run into flats are no hollows, however the block is turned.
func TestNoFalseHollow(t *testing.T) {
	t.Parallel()
	for _, turn := range []string{"17 deg", "30 deg"} {
		r := work(t, read(t, `
mould:
  triangle: "9 mm"
  solids: [{block: {size: {unit: mm, xyz: [200, 140, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "10 mm", draft: "5 deg", turn: "`+turn+`"}}]`))
		if r.MinHollow != nil {
			t.Errorf("turned by %s: a hollow of %g m", turn, *r.MinHollow)
		}
	}
}

// Triangles are as large as a large mould needs; a size given too small is
// answered with one that works.
func TestLargeMould(t *testing.T) {
	t.Parallel()
	const yaml = `
mould:
  solids: [{block: {size: {unit: m, xyz: [4, 2, 1]}, at: {unit: mm, xyz: [0, 0, 0]}}}]`
	in := read(t, yaml)
	b, err := newMoved(in.Mould, move{scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	o, err := b.options(in.Mould, 1)
	// 20 m² of triangles √3/4 of the square of their side, which comes out at 0.8 of the longest.
	if count := 20 / (math.Sqrt(3) / 4 * 0.64 * o.Size * o.Size); err != nil || !(count < 100_000) {
		t.Errorf("about %.0f triangles, %v", count, err)
	}
	in.Mould.Triangle = 200e-3
	near(t, "area", area(work(t, in)), 4*2+2*(4+2)*1, 1e-6)
	_, err = Work(read(t, yaml+"\n  triangle: \"3 mm\""))
	var refused *fault.Input
	if !errors.As(err, &refused) || refused.Field != "mould.triangle" || !strings.Contains(refused.Do, "mm or more") {
		t.Errorf("a mesh of 10 million triangles gave %v", err)
	}
}

// A mesh the size of a thumbnail or of a house has the wrong unit.
func TestMeshSizeDoubted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		size    float64 // m, of a right-angled triangle's short sides
		doubted bool
	}{{0.008, true}, {0.05, false}, {5, false}, {200, true}} {
		in := read(t, "mould: {file: a.stl, unit: mm}")
		in.Imported = &mesh.Mesh{Vertices: []r3.Vec{{}, {X: c.size}, {Y: c.size}}, Triangles: [][3]int32{{0, 1, 2}}}
		if r := work(t, in); has(r, "mesh-size") != c.doubted {
			t.Errorf("%g m: doubted %v", c.size, !c.doubted)
		}
	}
}

// A place off the part is told by how far it is off.
func TestCutoutOff(t *testing.T) {
	t.Parallel()
	_, err := Work(read(t, boxYAML+`part: {cutouts: [{circle: {diameter: "20 mm", at: {unit: mm, xyz: [0, 0, 500]}}}]}`))
	if err == nil || !strings.Contains(err.Error(), "450 mm off") {
		t.Errorf("450 mm above the top: %v", err)
	}
}
