package cli

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/doc/dxfread"
	"laywright/internal/job/jobtest"
	"laywright/internal/store/folder"
)

// The vault that the patterns are tried on, in metres: a cylinder's surface,
// which unrolls to a rectangle. vaultArc is measured round the true circle.
const (
	vaultRadius = 0.06
	vaultAngle  = 2.2 // radians
	vaultLong   = 0.16
	vaultArc    = vaultRadius * vaultAngle
	allowance   = 0.012
)

const vaultJob = `
laywright: 1
job: {name: Vault, part: V-1}
mould: {file: vault.stl, unit: mm}
part: {trim: whole}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}, {fabric: glass-light-105, angle: "30 deg"}]
plies: {warp: [1, 0, 0], trim_allowance: "12 mm"}
roll: {search: "1 s"}
`

func vault() *mesh.Mesh {
	const nx, na = 24, 40 // 40 chords fall short of the arc by 0.013 %
	m := &mesh.Mesh{}
	for i := range nx + 1 {
		for k := range na + 1 {
			s, c := math.Sincos((float64(k)/na - 0.5) * vaultAngle)
			m.Vertices = append(m.Vertices, r3.Vec{X: vaultLong * float64(i) / nx, Y: vaultRadius * s, Z: vaultRadius * c})
		}
	}
	for i := range int32(nx) {
		for k := range int32(na) {
			a, b := i*(na+1)+k, (i+1)*(na+1)+k
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	return m
}

// vaultFiles plans the vault and returns its files by path.
func vaultFiles(t *testing.T) map[string][]byte {
	t.Helper()
	plan := jobtest.Plan(t, vaultJob, vault())
	files, err := outputs(plan, nil, papers[0])
	if err != nil {
		t.Fatal(err)
	}
	return written(t, files)
}

// written returns what files hold, by path.
func written(t *testing.T, files []folder.File) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, x := range files {
		var b bytes.Buffer
		if err := x.Write(&b); err != nil {
			t.Fatal(err)
		}
		out[x.Path] = b.Bytes()
	}
	return out
}

// cutArea is the closed form of a ply's cut outline: the unrolled rectangle
// grown by the allowance with round corners, whichever way the cloth is turned.
func cutArea() float64 {
	return vaultLong*vaultArc + 2*allowance*(vaultLong+vaultArc) + math.Pi*allowance*allowance
}

// A plan's patterns, as the files that go to the cutter and to the printer, are
// true: the outline's area within 0.2 % of the unrolled cylinder's, the check
// square within 0.2 mm of 100.
func TestPatternsOfAPlanAreTrue(t *testing.T) {
	files := vaultFiles(t)
	for _, piece := range []string{"P01", "P02"} {
		cut := cutOf(t, files["patterns/"+piece+".dxf"])
		if len(cut) != 1 {
			t.Fatalf("%s: %d knife lines", piece, len(cut))
		}
		near(t, piece+" in the DXF", cut[0].Area()*1e-6, cutArea(), 0.002)
	}
	rolled := 0.0
	for path, b := range files {
		if strings.HasPrefix(path, "patterns/roll-") && strings.HasSuffix(path, ".dxf") {
			for _, e := range cutOf(t, b) {
				rolled += e.Area() * 1e-6
			}
		}
	}
	near(t, "both pieces on the rolls", rolled, 2*cutArea(), 0.002)

	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("the DXF is true; the PDF needs pdftoppm of the Debian package poppler-utils")
	}
	pages := printed(t, files["patterns/P01.pdf"])
	if len(pages) != 2 {
		t.Fatalf("the map and one page expected, %d found", len(pages))
	}
	const pen = 0.35 // mm; the knife line's middle is on the outline
	edge := 2e3*(vaultLong+vaultArc) + 2e3*math.Pi*allowance
	near(t, "the printed piece", (pages[1].largest()-edge*pen/2)*1e-6, cutArea(), 0.002)
	side := math.Sqrt(pages[0].largest()) - pen // mm, to the middle of its pen, which is no wider
	if math.Abs(side-100) > 0.2 {
		t.Errorf("the check square's side is %.2f mm", side)
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	t.Logf("%s: %.6f m², closed form %.6f, %+.3f %%", what, got, want, 100*(got/want-1))
	if !(math.Abs(got/want-1) <= within) {
		t.Errorf("%s: %.6f m², want %.6f", what, got, want)
	}
}

func cutOf(t *testing.T, b []byte) []dxfread.Entity {
	t.Helper()
	d, err := dxfread.Read(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return d.On("cut")
}

// sheet is a page as a printer lays it down.
type sheet struct {
	w, h int
	dots []byte // 0 is black
}

const dotsPerInch = 200

func printed(t *testing.T, document []byte) (out []sheet) {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "p.pdf")
	if err := os.WriteFile(file, document, 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command("pdftoppm", "-r", strconv.Itoa(dotsPerInch), "-gray", file, filepath.Join(dir, "p")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	names, err := filepath.Glob(filepath.Join(dir, "p-*.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var s sheet
		if _, err := fmt.Sscanf(string(b[:20]), "P5\n%d %d\n", &s.w, &s.h); err != nil {
			t.Fatal(err)
		}
		s.dots = b[len(b)-s.w*s.h:]
		out = append(out, s)
	}
	return out
}

// largest is the area of the largest closed figure on the page with its line, in
// square millimetres: the page is flooded from its corner, and what stays dry is
// taken together by figures.
func (s sheet) largest() float64 {
	const dark = 155
	seen := make([]bool, len(s.dots))
	flood := func(from int, in func(int) bool) (n int) {
		seen[from] = true
		for stack := []int{from}; len(stack) > 0; n++ {
			c := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x := c % s.w
			for _, d := range [4]int{-1, 1, -s.w, s.w} {
				k := c + d
				if k < 0 || k >= len(s.dots) || d == -1 && x == 0 || d == 1 && x == s.w-1 || seen[k] || !in(k) {
					continue
				}
				seen[k] = true
				stack = append(stack, k)
			}
		}
		return n
	}
	flood(0, func(k int) bool { return s.dots[k] > dark })
	best := 0
	for k := range s.dots {
		if !seen[k] {
			best = max(best, flood(k, func(int) bool { return true }))
		}
	}
	const dot = 25.4 / dotsPerInch
	return float64(best) * dot * dot
}

// The same plan gives the same files, byte for byte.
func TestSameFilesTwice(t *testing.T) {
	a, b := vaultFiles(t), vaultFiles(t)
	for path := range a {
		if !bytes.Equal(a[path], b[path]) {
			t.Errorf("%s differs", path)
		}
	}
	for _, path := range []string{"documents/plan.pdf", "documents/traveller.pdf", "patterns/P02.svg", "meshes/ply-01.vtk"} {
		if len(a[path]) == 0 {
			t.Errorf("%s is missing", path)
		}
	}
}
