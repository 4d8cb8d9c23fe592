package outlines

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// ezdxf finds a Python that has the independent library, or skips.
func ezdxf(t *testing.T) string {
	t.Helper()
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import ezdxf").Run() == nil {
			return python
		}
	}
	t.Skip("needs ezdxf from the Debian package python3-ezdxf")
	return ""
}

// Drawings as an independent library writes them, in four releases of the format:
// curves of all kinds, a block within a block, turned and stretched; the areas are
// those of closed forms, or of the library's own flattening for the free spline.
func TestDrawingsOfAnIndependentWriter(t *testing.T) {
	python := ezdxf(t)
	const script = `
import ezdxf, json, sys, math
for version in ("R12", "R2000", "R2010", "R2018"):
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = 4
    m = doc.modelspace()
    want = {}
    m.add_circle((500, 0), 120, dxfattribs={"layer": "round"}); want["round"] = math.pi*120**2
    m.add_polyline2d([(0, 0, 0), (200, 0, 1), (200, 100, 0), (0, 100, 1)], format="xyb", close=True, dxfattribs={"layer": "bulged"}); want["bulged"] = 200*100 + math.pi*50**2
    m.add_line((0, 900), (300, 900), dxfattribs={"layer": "parts"}); m.add_arc((150, 900), 150, 0, 180, dxfattribs={"layer": "parts"}); want["parts"] = math.pi*150**2/2
    inner = doc.blocks.new("inner", base_point=(3, 4)); inner.add_circle((3, 4), 10)
    outer = doc.blocks.new("outer"); outer.add_blockref("inner", (20, 0), dxfattribs={"xscale": 2, "yscale": 3, "rotation": 40})
    m.add_blockref("outer", (-400, 700), dxfattribs={"layer": "blocks", "rotation": 25, "xscale": 5, "yscale": 5}); want["blocks"] = math.pi*100*6*25
    if version != "R12":
        m.add_ellipse((0, -500), (160, 90), 0.4, dxfattribs={"layer": "oval"}); want["oval"] = math.pi*(160**2 + 90**2)*0.4
        s = m.add_rational_spline([(900,0),(1200,50),(1250,300),(1000,400),(820,200),(900,0)], [1,2,1,1,3,1], degree=3, dxfattribs={"layer": "free"})
        p = [(v[0], v[1]) for v in s.flattening(0.0005)]
        want["free"] = abs(sum(a[0]*b[1]-a[1]*b[0] for a, b in zip(p, p[1:]+p[:1]))/2)
    doc.saveas(sys.argv[1] + "/" + version + ".dxf")
    json.dump(want, open(sys.argv[1] + "/" + version + ".json", "w"))
`
	dir := t.TempDir()
	if out, err := exec.Command(python, "-c", script, dir).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, version := range []string{"R12", "R2000", "R2010", "R2018"} {
		source, err := os.ReadFile(filepath.Join(dir, version+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		o := Options{}
		if version == "R12" { // which has no unit
			o.Unit = 1e-3
		}
		d, err := Read(bytes.NewReader(source), version+".dxf", o)
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]float64{}
		for _, o := range d.Outlines {
			got[o.Name] = o.Ring.Area() * 1e6
		}
		var want map[string]float64
		text, err := os.ReadFile(filepath.Join(dir, version+".json"))
		if err == nil {
			err = json.Unmarshal(text, &want)
		}
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(want) {
			t.Errorf("%s: outlines %v, want %v", version, got, want)
		}
		for name, area := range want {
			t.Logf("%s %s: %.1f mm² of %.1f, %+.3f %%", version, name, got[name], area, 100*(got[name]/area-1))
			if math.Abs(got[name]-area) > 0.05*math.Sqrt(4*math.Pi*area) { // a sag of 0.05 mm all round
				t.Errorf("%s: %s has %.2f mm², want %.2f", version, name, got[name], area)
			}
		}
	}
}
