package shell

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/wall"
)

// outside is what the general-purpose solver CalculiX says: how the points move, and
// the stress in the plies' axes at the middle of each square's layer, mean of four
// points, at the two heights of the layer that layerHeights gives.
type outside struct {
	move   []r3.Vec
	stress [][][2]wall.Vec // by square and ply
	took   time.Duration
}

// layerHeights of Gauss' two points in a layer, from its middle, in half thicknesses.
var layerHeights = [2]float64{-1 / math.Sqrt(3), 1 / math.Sqrt(3)}

// askOutside writes the deck, clamped at the rim, under pressure along the normal,
// and runs it.
func askOutside(t testing.TB, c *comparison) outside {
	t.Helper()
	program, err := exec.LookPath("ccx")
	if err != nil {
		t.Skip("needs ccx from the Debian package calculix-ccx")
	}
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, "wall.inp"))
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriter(f)
	writeDeck(w, c)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	start := time.Now()
	run := exec.Command(program, "wall")
	run.Dir = dir
	if said, err := run.CombinedOutput(); err != nil || strings.Contains(string(said), "*ERROR") {
		t.Fatalf("ccx: %v\n%s", err, said)
	}
	o := outside{took: time.Since(start)}
	o.read(t, filepath.Join(dir, "wall.dat"), c.surface, len(c.plies))
	return o
}

// writeDeck leaves out how plies thin as they stretch, which a wall in plane stress does
// freely. There one brick stands for all layers and its thinning is linear through
// them: plies of unlike directions would press on one another through the wall, and the
// stress across their fibres shift by 2 to 5 percent, the motion by 0.1 to 0.3.
func writeDeck(w *bufio.Writer, c *comparison) {
	q, plies := c.surface, c.plies
	fmt.Fprintln(w, "*NODE,NSET=ALL")
	for i, v := range q.at {
		fmt.Fprintf(w, "%d,%.12g,%.12g,%.12g\n", i+1, v.X, v.Y, v.Z)
	}
	for i, p := range plies {
		e := p.Elastic
		fmt.Fprintf(w, "*MATERIAL,NAME=M%d\n*ELASTIC,TYPE=ENGINEERING CONSTANTS\n", i)
		fmt.Fprintf(w, "%g,%g,%g,%g,0,0,%g,%g\n%g,293\n", float64(e.E1), float64(e.E2), float64(e.E2), e.Nu12, float64(e.G12), float64(p.G13), float64(p.G23))
	}
	for k, s := range q.squares {
		fmt.Fprintf(w, "*ELEMENT,TYPE=S8R,ELSET=Q%d\n%d", k, k+1)
		for _, v := range s {
			fmt.Fprintf(w, ",%d", v+1)
		}
		fmt.Fprintln(w)
		n, x := q.normal(k), q.axis[k]
		y := r3.Cross(n, x)
		for i, p := range plies {
			sin, cos := math.Sincos(float64(p.Angle))
			a, b := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)), r3.Sub(r3.Scale(cos, y), r3.Scale(sin, x))
			fmt.Fprintf(w, "*ORIENTATION,NAME=O%dP%d\n%.10g,%.10g,%.10g,%.10g,%.10g,%.10g\n", k, i, a.X, a.Y, a.Z, b.X, b.Y, b.Z)
		}
		fmt.Fprintf(w, "*SHELL SECTION,COMPOSITE,ELSET=Q%d\n", k)
		for i, p := range plies {
			fmt.Fprintf(w, "%g,,M%d,O%dP%d\n", float64(p.Thickness), i, k, i)
		}
	}
	fmt.Fprintf(w, "*ELSET,ELSET=EALL,GENERATE\n1,%d\n*BOUNDARY\n", len(q.squares))
	for _, v := range q.rim {
		fmt.Fprintf(w, "%d,1,6\n", v+1)
	}
	if c.large {
		fmt.Fprintln(w, "*STEP,NLGEOM,INC=200\n*STATIC\n0.25,1")
	} else {
		fmt.Fprintln(w, "*STEP\n*STATIC")
	}
	fmt.Fprintf(w, "*DLOAD\nEALL,P,%g\n", float64(c.pressure))
	fmt.Fprintln(w, "*NODE PRINT,NSET=ALL,FREQUENCY=1000\nU\n*EL PRINT,ELSET=EALL,FREQUENCY=1000\nS\n*END STEP")
}

// read takes the last motion and stress of the printed tables.
func (o *outside) read(t testing.TB, path string, q *quads, plies int) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	o.move = make([]r3.Vec, len(q.at))
	o.stress = make([][][2]wall.Vec, len(q.squares))
	for k := range o.stress {
		o.stress[k] = make([][2]wall.Vec, plies)
	}
	moving, rows := false, [2]int{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		var id, point int
		var v [6]float64
		switch {
		case strings.Contains(line, "displacements"):
			moving, rows[0] = true, 0
		case strings.Contains(line, "stresses"):
			moving, rows[1] = false, 0
			for k := range o.stress {
				clear(o.stress[k])
			}
		case moving:
			if n, _ := fmt.Sscan(line, &id, &v[0], &v[1], &v[2]); n == 4 {
				o.move[id-1] = r3.Vec{X: v[0], Y: v[1], Z: v[2]}
				rows[0]++
			}
		default:
			if n, _ := fmt.Sscan(line, &id, &point, &v[0], &v[1], &v[2], &v[3]); n == 6 {
				half := (point - 1) / 4
				s := &o.stress[id-1][half/2][half%2]
				for i, x := range [3]float64{v[0], v[1], v[3]} {
					s[i] += x / 4
				}
				rows[1]++
			}
		}
	}
	if rows != [2]int{len(q.at), 8 * plies * len(q.squares)} {
		t.Fatalf("ccx printed %d motions and %d stresses for %d points and %d squares", rows[0], rows[1], len(q.at), len(q.squares))
	}
}
