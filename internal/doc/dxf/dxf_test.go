package dxf_test

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/dxfread"
)

// page holds one of each thing.
func page() draw.Page {
	p := draw.NewPage("all", 300, 200)
	pen := draw.InkPen(draw.Medium)
	p.Add(draw.Cut, draw.Ring(pen, []r2.Vec{{X: 10, Y: 10}, {X: 130.25, Y: 10}, {X: 130.25, Y: 90.125}, {X: 10, Y: 90.125}}))
	p.Add(draw.Mark, draw.Line(draw.Pen{Width: 0.2, Colour: draw.Ink, Dash: []float64{3, 1}}, r2.Vec{X: 5, Y: 5}, r2.Vec{X: 15, Y: 5}), draw.Circle{At: r2.Vec{X: 50, Y: 50}, R: 6.5, Pen: pen})
	p.Add(draw.Warp, draw.Line(pen, r2.Vec{X: 1, Y: 1}, r2.Vec{X: 2, Y: 2}, r2.Vec{X: 3, Y: 1}))
	p.Add(draw.Words, draw.Text{At: r2.Vec{X: 20, Y: 20}, String: "45° ± 2°, Ø 5 mm, 50 %", Size: 12, Align: draw.Centre, Rise: draw.MidHeight, Angle: 0.5, Colour: draw.Ink})
	p.Add(draw.Paper, draw.Rect(p.Box(), pen, 0))
	return *p
}

func write(t *testing.T, p draw.Page) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := dxf.Write(&buf, p); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestReadsBack(t *testing.T) {
	d, err := dxfread.Read(bytes.NewReader(write(t, page())))
	if err != nil {
		t.Fatal(err)
	}
	if d.Version != "AC1009" || d.Units != 4 {
		t.Errorf("version %s, units %d", d.Version, d.Units)
	}
	if want := []string{"0", "cut", "mark", "warp", "text"}; !slices.Equal(d.Layers, want) {
		t.Errorf("layers %v, want %v", d.Layers, want)
	}
	cut := d.On("cut")
	if len(cut) != 1 || !cut[0].Closed {
		t.Fatalf("cut holds %+v", cut)
	}
	if got := cut[0].Area(); math.Abs(got-120.25*80.125) > 1e-6 { // by hand
		t.Errorf("area %.6f mm²", got)
	}
	if got := d.On("mark"); len(got) != 2 || got[0].Kind != "LINE" || got[1].R != 6.5 {
		t.Errorf("mark holds %+v", got)
	}
	if got := d.On("warp"); len(got) != 1 || got[0].Closed || len(got[0].Points) != 3 {
		t.Errorf("warp holds %+v", got)
	}
	if got := d.On("text"); len(got) != 1 || got[0].Words != "45%%d %%p 2%%d, %%c 5 mm, 50 %" {
		t.Errorf("text holds %+v", got)
	}
	if got := d.On("paper"); len(got) != 0 {
		t.Errorf("paper was written: %+v", got)
	}
}

func TestEncode(t *testing.T) {
	for in, want := range map[string]string{"a µ b": `a \U+00B5 b`, "100 %": "100 %", "a%%d": "a%%%%%%d", "Ωx": `\U+03A9x`, "−3 · 2×4 m²": "-3 - 2x4 m^2"} {
		if got := dxf.Encode(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

func TestSameBytes(t *testing.T) {
	if !bytes.Equal(write(t, page()), write(t, page())) {
		t.Error("two runs differ")
	}
}

func TestRefusesWhatIsNoPlace(t *testing.T) {
	p := page()
	p.Add(draw.Cut, draw.Line(draw.InkPen(1), r2.Vec{}, r2.Vec{X: math.NaN()}))
	if err := dxf.Write(&bytes.Buffer{}, p); err == nil {
		t.Error("a point that is no number was written")
	}
}

// An independent reader finds nothing to mend and the same area.
func TestIndependentReader(t *testing.T) {
	python := "/usr/bin/python3" // Debian's, which sees Debian's packages
	if out, err := exec.Command(python, "-c", "import ezdxf").CombinedOutput(); err != nil {
		t.Skipf("needs the Debian package python3-ezdxf: %v %s", err, out)
	}
	file := filepath.Join(t.TempDir(), "x.dxf")
	if err := os.WriteFile(file, write(t, page()), 0o600); err != nil {
		t.Fatal(err)
	}
	const script = `
import sys, ezdxf
from ezdxf.math import area
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
print("errors", len(audit.errors), "fixes", len(audit.fixes), doc.dxfversion)
for e in doc.modelspace().query("POLYLINE"):
    print(e.dxf.layer, e.is_closed, "%.4f" % abs(area(e.points())))
for e in doc.modelspace().query("TEXT"):
    print(e.dxf.layer, ascii(e.plain_text()))
`
	out, err := exec.Command(python, "-c", script, file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, want := range []string{"errors 0 fixes 0 AC1009", "cut True 9635.0312", `text '45\xb0 \xb1 2\xb0, \xd8 5 mm, 50 %'`} {
		if !strings.Contains(string(out), want) {
			t.Errorf("wanted %q in:\n%s", want, out)
		}
	}
}
