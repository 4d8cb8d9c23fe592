package plydraw

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const (
	root   = "../../.."
	theory = root + "/docs/theory/plies.md"
)

func readTheory(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(theory)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Every function that the page names exists.
func TestTheoryNamesWhatExists(t *testing.T) {
	declared := declaredNames(t)
	named := regexp.MustCompile("`([a-z]+\\.[A-Z]\\w*(?:\\.[A-Z]\\w*)?)`").FindAllStringSubmatch(readTheory(t), -1)
	if len(named) < 10 {
		t.Fatalf("the page names %d functions", len(named))
	}
	for _, m := range named {
		if !declared[m[1]] {
			t.Errorf("%s is named and does not exist", m[1])
		}
	}
}

// declaredNames lists the exported functions, methods and types of base and
// stage, with their package's name before them.
func declaredNames(t *testing.T) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	walk := func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				out[f.Name.Name+"."+receiver(fn)+fn.Name.Name] = true
			}
		}
		return nil
	}
	for _, dir := range []string{"base", "stage"} {
		if err := filepath.WalkDir(root+"/internal/"+dir, walk); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// receiver is the type of a method with a dot; empty for a function.
func receiver(fn *ast.FuncDecl) string {
	if fn.Recv == nil {
		return ""
	}
	typ := fn.Recv.List[0].Type
	if star, ok := typ.(*ast.StarExpr); ok {
		typ = star.X
	}
	if id, ok := typ.(*ast.Ident); ok {
		return id.Name + "."
	}
	return ""
}

// table reads the numbers of the table under a head line.
func table(t *testing.T, head string) (rows [][]float64) {
	t.Helper()
	_, after, found := strings.Cut(readTheory(t), head+"\n")
	if !found {
		t.Fatalf("no table under %q", head)
	}
	for i, line := range strings.Split(after, "\n") {
		if !strings.HasPrefix(line, "|") {
			break
		}
		if i == 0 {
			continue
		}
		var row []float64
		for _, cell := range strings.Split(strings.Trim(line, "|"), "|") {
			x, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, x)
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("the table under %q is empty", head)
	}
	return rows
}

// sweptArea is the area that the normals of a box corner sweep on the unit
// sphere, in degrees: that of the triangle of arcs between straight up and the
// two walls' normals at a right angle to each other in plan. By spherical
// trigonometry, and not by the page's formula: the sum of its angles less 180°.
func sweptArea(β float64) float64 {
	s, c := math.Sincos(β)
	// sides from the top are β; the third joins the walls' normals: cos d = c²
	cosD := c * c
	d := math.Acos(cosD)
	base := math.Acos((c - c*cosD) / (s * math.Sin(d))) // angle at a wall's normal
	return (90 + 2*base*180/math.Pi) - 180
}

// coneArea is the area between straight up and the circle of normals at the
// angle β, a quarter of it, by adding up narrow rings.
func coneArea(β float64) float64 {
	const n = 4000
	sum := 0.0
	for i := range n {
		sum += math.Sin((float64(i)+0.5)*β/n) * β / n
	}
	return sum * 90
}

// The tables of corners and of caps are right to their last digit.
func TestTheoryTables(t *testing.T) {
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %v on the page, %.4f worked out", what, got, want)
		}
	}
	rad := math.Pi / 180
	for _, r := range table(t, "| wall β | rounded plan | edge of one radius |") {
		near("rounded plan", r[1], coneArea(r[0]*rad), 0.051)
		near("edge of one radius", r[2], sweptArea(r[0]*rad), 0.051)
	}
	for _, r := range table(t, "| cloth locks at | rounded plan | edge of one radius |") {
		// the slope is below 2.2 degrees of shear a degree of wall
		near("steepest, rounded plan", coneArea(r[1]*rad), r[0], 0.12)
		near("steepest, edge of one radius", sweptArea(r[2]*rad), r[0], 0.12)
	}
	for _, r := range table(t, "| half-angle α | least ratio |") {
		near("cap", r[1], r[0]*rad/math.Sin(r[0]*rad), 0.5e-4)
	}
}

// largest is the most that a picture of the page may weigh, in bytes.
const largest = 150_000

// Every picture that the page shows is there and light.
func TestTheoryPictures(t *testing.T) {
	shown := regexp.MustCompile(`\]\(\.\./pictures/([a-z-]+\.png)\)`).FindAllStringSubmatch(readTheory(t), -1)
	if len(shown) < 5 {
		t.Fatalf("the page shows %d pictures", len(shown))
	}
	for _, m := range shown {
		info, err := os.Stat(root + "/docs/pictures/" + m[1])
		if err != nil {
			t.Error(err)
			continue
		}
		if info.Size() > largest {
			t.Errorf("%s has %d bytes, more than %d", m[1], info.Size(), largest)
		}
	}
}
