package plydraw

import (
	"math"
	"os"
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
