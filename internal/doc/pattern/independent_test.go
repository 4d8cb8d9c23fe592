package pattern

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/hpgl"
	"laywright/internal/doc/svg"
)

// within is the share by which an area that is read back may differ.
const within = 0.0005

// cutSheets are a piece and a roll, each with the area of its cut lines in mm²: that
// of their polygons, which layouts and closed forms are tested against elsewhere.
func cutSheets(t *testing.T) map[string]struct {
	page draw.Page
	area float64
} {
	t.Helper()
	one, err := Sheet(flower(1))
	if err != nil {
		t.Fatal(err)
	}
	roll, err := RollSheet(layout())
	if err != nil {
		t.Fatal(err)
	}
	area := flower(1).Outline.Area() * 1e6
	return map[string]struct {
		page draw.Page
		area float64
	}{"piece": {one, area}, "roll": {roll, 7 * area}}
}

// written writes a page into a file of a new folder.
func written(t *testing.T, name string, write func(io.Writer) error) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	var b bytes.Buffer
	err := write(&b)
	if err == nil {
		err = os.WriteFile(file, b.Bytes(), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func sameArea(t *testing.T, what string, got, want float64) {
	t.Helper()
	t.Logf("%s: %.1f mm² of %.1f, %+.4f %%", what, got, want, 100*(got/want-1))
	if !(math.Abs(got/want-1) <= within) {
		t.Errorf("%s: %.1f mm², want %.1f", what, got, want)
	}
}

// An independent library opens the DXF without complaint and finds the cut lines'
// area on their layer.
func TestIndependentReaderOfDXF(t *testing.T) {
	const script = `
import ezdxf, json, sys
out = []
for name in sys.argv[1:]:
    doc = ezdxf.readfile(name)
    area = 0
    for p in doc.modelspace().query('POLYLINE[layer=="cut"]'):
        v = [(q.dxf.location.x, q.dxf.location.y) for q in p.vertices]
        assert p.is_closed
        area += abs(sum(a[0]*b[1]-a[1]*b[0] for a, b in zip(v, v[1:]+v[:1]))/2)
    out.append({"area": area, "errors": [str(e.message) for e in doc.audit().errors], "layers": sorted(l.dxf.name for l in doc.layers)})
json.dump(out, sys.stdout)
`
	args := []string{"-c", script}
	var names []string
	sheets := cutSheets(t)
	for name, c := range sheets {
		names = append(names, name)
		args = append(args, written(t, "a.dxf", func(w io.Writer) error { return dxf.Write(w, c.page) }))
	}
	var all []struct {
		Area   float64
		Errors []string
		Layers []string
	}
	if err := json.Unmarshal(python(t, args...), &all); err != nil {
		t.Fatal(err)
	}
	for i, got := range all {
		if len(got.Errors) > 0 {
			t.Errorf("%s: complaints %q", names[i], got.Errors)
		}
		for _, layer := range []string{"cut", "mark", "text", "warp"} {
			if !slices.Contains(got.Layers, layer) {
				t.Errorf("%s: no layer %s among %v", names[i], layer, got.Layers)
			}
		}
		sameArea(t, names[i]+" in DXF", got.Area, sheets[names[i]].area)
	}
}

// python runs a script that needs the library ezdxf, with the first Python that has
// it, or skips.
func python(t *testing.T, args ...string) []byte {
	t.Helper()
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		out, err := exec.Command(name, args...).Output()
		var failed *exec.ExitError
		switch {
		case err == nil:
			return out
		case errors.As(err, &failed) && !bytes.Contains(failed.Stderr, []byte("No module named")):
			t.Fatalf("%v: %s", err, failed.Stderr)
		}
	}
	t.Skip("needs ezdxf from the Debian package python3-ezdxf")
	return nil
}

// An independent plotter's reader finds in the knife's file nothing but the cut lines,
// which close, with their area.
func TestIndependentReaderOfHPGL(t *testing.T) {
	if _, err := exec.LookPath("hp2xx"); err != nil {
		t.Skip("needs hp2xx from the Debian package hp2xx")
	}
	for name, c := range cutSheets(t) {
		file := written(t, "a.plt", func(w io.Writer) error { return hpgl.Write(w, c.page, hpgl.Knife) })
		to := file + ".dxf"
		if out, err := exec.Command("hp2xx", "-q", "-t", "-m", "dxf", "-f", to, file).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		text, err := os.ReadFile(to)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		lines := strings.Split(string(text), "LINE")[1:]
		for _, e := range lines {
			var a, b r2.Vec
			f := strings.Fields(e)
			for i := 0; i+1 < len(f); i += 2 {
				v, _ := strconv.ParseFloat(f[i+1], 64)
				switch f[i] {
				case "10":
					a.X = v
				case "20":
					a.Y = v
				case "11":
					b.X = v
				case "21":
					b.Y = v
				}
			}
			sum += r2.Cross(a, b) / 2
		}
		if len(lines) < 100 {
			t.Errorf("%s: %d lines", name, len(lines))
		}
		sameArea(t, name+" in HPGL", math.Abs(sum), c.area)
	}
}

// An independent renderer draws the SVG as large as it says, and the cut line encloses
// its area: half of what lies inside the line and half of what lies inside or on it,
// since the line's middle is the outline.
func TestIndependentReaderOfSVG(t *testing.T) {
	need(t, "pdftoppm")
	if _, err := exec.LookPath("rsvg-convert"); err != nil {
		t.Skip("needs rsvg-convert from the Debian package librsvg2-bin")
	}
	c := cutSheets(t)["piece"]
	bare := draw.NewPage("cut", c.page.W, c.page.H)
	bare.Add(draw.Cut, c.page.Layer(draw.Cut)...)
	file := written(t, "a.svg", func(w io.Writer) error { return svg.Write(w, *bare) })
	if out, err := exec.Command("rsvg-convert", "-f", "pdf", "-o", file+".pdf", file).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	const res = 200
	if out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(res), "-gray", "-singlefile", file+".pdf", file).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	b, err := os.ReadFile(file + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	var r raster
	if _, err := fmt.Sscanf(string(b[:24]), "P5\n%d %d\n", &r.w, &r.h); err != nil {
		t.Fatal(err)
	}
	r.dots = b[len(b)-r.w*r.h:]
	if wide := float64(r.w) * 25.4 / res; math.Abs(wide-c.page.W) > 0.3 {
		t.Errorf("the page is %.2f mm wide, want %.2f", wide, c.page.W)
	}
	inner, outer := enclosed([]raster{r}, []r2.Vec{{}})
	sameArea(t, "piece in SVG", (inner+outer)/2*(25.4/res)*(25.4/res), c.area)
}
