package outlines

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// dxf wraps entities in the least file that is read; pairs stand as "code value".
func dxf(unit int, entities string, blocks ...string) string {
	pairs := fmt.Sprintf("0 SECTION|2 HEADER|9 $INSUNITS|70 %d|0 ENDSEC|", unit)
	if len(blocks) > 0 {
		pairs += "0 SECTION|2 BLOCKS|" + strings.Join(blocks, "|") + "|0 ENDSEC|"
	}
	pairs += "0 SECTION|2 ENTITIES|" + entities + "|0 ENDSEC|0 EOF"
	var b strings.Builder
	for _, p := range strings.Split(pairs, "|") {
		code, value, _ := strings.Cut(p, " ")
		b.WriteString(code + "\n" + value + "\n")
	}
	return b.String()
}

const svgHead = `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">`

func mustRead(t *testing.T, name, source string, o Options) Drawing {
	t.Helper()
	d, err := Read(strings.NewReader(source), name, o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return d
}

// Whatever draws it, an outline has the area of its closed form. Chords within 0.05 mm
// of a curve of radius R lose less than a share of 0.1 mm/R of a round area.
func TestAreas(t *testing.T) {
	const k = 0.5522847498 // of a Bézier quarter circle
	// Exactly, by Green's theorem: a quarter with handles k has the area 1/2 + 3/5 k·(1 − k/4)... from the middle.
	bezier := 4 * (0.5 + 0.6*k - 0.15*k*k)
	stadium := 200.0*100 + math.Pi*50*50
	for _, c := range []struct {
		what, name, source string
		area               float64 // mm²
	}{
		{"circle", "a.dxf", dxf(4, "0 CIRCLE|8 p|10 30|20 40|40 50"), math.Pi * 50 * 50},
		{"circle in inches", "a.dxf", dxf(1, "0 CIRCLE|8 p|40 2"), math.Pi * 50.8 * 50.8},
		{"bulges", "a.dxf", dxf(4, "0 LWPOLYLINE|8 p|90 4|70 1|10 0|20 0|10 200|20 0|42 1|10 200|20 100|10 0|20 100|42 1"), stadium},
		{"old bulges", "a.dxf", dxf(4, "0 POLYLINE|8 p|66 1|70 1|0 VERTEX|10 0|20 0|0 VERTEX|10 200|20 0|42 1|0 VERTEX|10 200|20 100|0 VERTEX|10 0|20 100|42 1|0 SEQEND"), stadium},
		{"hollow bulge", "a.dxf", dxf(4, "0 LWPOLYLINE|8 p|70 1|10 0|20 0|10 200|20 0|42 -1|10 200|20 100|10 0|20 100"), 200*100 - math.Pi*50*50/2},
		{"lines and arcs, end to end", "a.dxf", dxf(4, "0 LINE|8 p|10 0|20 0|11 200|21 0|0 ARC|8 p|10 0|20 50|40 50|50 90|51 270|0 LINE|8 p|10 0|20 100|11 200|21 100|0 ARC|8 p|10 200|20 50|40 50|50 270|51 90"), stadium},
		{"ellipse", "a.dxf", dxf(4, "0 ELLIPSE|8 p|10 5|20 6|11 60|21 80|40 0.5|41 0|42 6.283185307179586"), math.Pi * 100 * 50},
		{"circle seen from below", "a.dxf", dxf(4, "0 CIRCLE|8 p|10 30|20 40|40 50|230 -1"), math.Pi * 50 * 50},
		{"block, turned and stretched", "a.dxf", dxf(4, "0 INSERT|8 p|2 B|10 300|20 5|41 2|42 3|50 30", "0 BLOCK|2 B|10 7|20 8|0 CIRCLE|8 0|10 7|20 8|40 10|0 ENDBLK"), math.Pi * 20 * 30},
		{"spline that is a circle", "a.dxf", dxf(4, rationalCircle(50)), math.Pi * 50 * 50},
		{"polygon", "a.svg", svgHead + `<polygon points="0,0 200,0 200,100 0,50"/></svg>`, 200 * 75},
		{"arcs", "a.svg", svgHead + `<path d="M0 0h200a50 50 0 0 1 0 100H0A50,50 0 01 0,0z"/></svg>`, stadium},
		{"Bézier curves", "a.svg", svgHead + fmt.Sprintf(`<path d="M100 0 C100 %[1]g %[1]g 100 0 100 S-100 %[1]g -100 0 -%[1]g -100 0 -100 S 100 -%[1]g 100 0Z"/></svg>`, 100*k), bezier * 100 * 100},
		{"quadratic curve", "a.svg", svgHead + `<path d="m10,10 q 60,90 120,0 z"/></svg>`, 2.0 / 3 * 120 * 45},
		{"round rectangle", "a.svg", svgHead + `<rect x="5" y="6" width="200" height="100" rx="20"/></svg>`, 200*100 - (4-math.Pi)*400},
		{"ellipse and transforms", "a.svg", svgHead + `<g transform="translate(40 50) rotate(30, 10 10)"><ellipse cx="9" cy="8" rx="20" ry="10" transform="scale(2,1.5) skewX(20)"/></g></svg>`, math.Pi * 20 * 10 * 3},
		{"matrix", "a.svg", svgHead + `<circle r="10" transform="matrix(2 1 -1 3 5 6)"/></svg>`, math.Pi * 100 * 7},
		{"view box in inches", "a.svg", `<svg width="4in" height="3in" viewBox="0 0 400 300"><rect width="200" height="100"/></svg>`, 50.8 * 25.4},
		{"bare pixels", "a.svg", `<svg width="400" height="300"><rect width="96" height="96"/></svg>`, 25.4 * 25.4},
		// three quarters of a disc and half a square; and a triangle less a segment, whose
		// arc runs clockwise as it is seen
		{"larger arc", "a.svg", svgHead + `<path d="M0 0A50 50 0 1 1 50 50z"/></svg>`, (0.75*math.Pi + 0.5) * 2500},
		{"smaller arc, clockwise", "a.svg", svgHead + `<path d="M0 0A50 50 0 0 1 50 50L100 0z"/></svg>`, (1.5 - math.Pi/4) * 2500},
		{"radii too short", "a.svg", svgHead + `<path d="M0 0 A1 1 0 0 1 100 0Z"/></svg>`, math.Pi * 50 * 50 / 2},
	} {
		d, err := Read(strings.NewReader(c.source), c.name, Options{})
		if err != nil || len(d.Outlines) != 1 {
			t.Errorf("%s: %d outlines, %v", c.what, len(d.Outlines), err)
			continue
		}
		got := d.Outlines[0].Ring.Area() * 1e6
		if math.Abs(got-c.area) > 0.1*math.Sqrt(4*math.Pi*c.area)/2+1e-6*c.area {
			t.Errorf("%s: %.2f mm², want %.2f", c.what, got, c.area)
		}
	}
}

// rationalCircle is a circle as a closed rational quadratic of nine control points.
func rationalCircle(r float64) string {
	out := "0 SPLINE|8 p|70 5|71 2|72 12|73 9"
	for _, k := range []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4} {
		out += fmt.Sprintf("|40 %g", k)
	}
	for i, p := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		w := 1.0
		if i%2 == 1 {
			w = math.Sqrt2 / 2
		}
		out += fmt.Sprintf("|10 %g|20 %g|41 %.17g", r*p[0], r*p[1], w)
	}
	return out
}

// Chords leave the true circle by no more than they may, also where a block or a
// group enlarges it, and come near to it, so that none are wasted.
func TestChordsKeepToTheCurve(t *testing.T) {
	for name, source := range map[string]string{
		"a.dxf": dxf(6, "0 INSERT|8 p|2 B|41 40|42 40", "0 BLOCK|2 B|0 CIRCLE|8 0|40 0.01|0 ENDBLK"),
		"a.svg": svgHead + `<g transform="scale(40)"><path d="M10 0A10 10 0 0 1 -10 0A10 10 0 0 1 10 0z"/></g></svg>`,
	} {
		ring := mustRead(t, name, source, Options{}).Outlines[0].Ring
		worst := 0.0
		for i, a := range ring {
			mid := r2.Scale(0.5, r2.Add(a, ring[(i+1)%len(ring)]))
			worst = max(worst, 0.4-r2.Norm(mid))
		}
		if worst > Sag*1.0001 || worst < Sag/4 {
			t.Errorf("%s: chords leave a circle of 400 mm by %.4f mm", name, 1e3*worst)
		}
	}
}

// y is turned up in SVG: the hand is as seen on the screen. A flag of three corners,
// the third up and to the left of the second as drawn.
func TestHand(t *testing.T) {
	d := mustRead(t, "a.svg", svgHead+`<polygon points="0,100 100,100 100,40 50,40"/></svg>`, Options{})
	box := d.Outlines[0].Ring.Bounds()
	if math.Abs(box.Min.Y+0.1) > 1e-12 || math.Abs(box.Max.Y+0.04) > 1e-12 {
		t.Errorf("the flag lies at %v", box)
	}
	if !d.Outlines[0].Ring.Contains(r2.Vec{X: 0.09, Y: -0.05}) || d.Outlines[0].Ring.Contains(r2.Vec{X: 0.02, Y: -0.05}) {
		t.Error("the flag is mirrored")
	}
	below := mustRead(t, "a.dxf", dxf(4, "0 CIRCLE|8 p|10 30|20 40|40 5|230 -1"), Options{}).Outlines[0].Ring
	if !below.Contains(r2.Vec{X: -0.03, Y: 0.04}) { // its own x axis points the other way
		t.Errorf("a circle seen from below lies at %v", below.Centroid())
	}
}

// A ring in a ring is its hole, one in the hole a piece again; a ring drawn twice is
// one; each piece has its own name.
func TestNesting(t *testing.T) {
	square := func(id string, at, side float64) string {
		return fmt.Sprintf(`<rect id="%s" x="%g" y="%g" width="%g" height="%g"/>`, id, at, at, side, side)
	}
	d := mustRead(t, "bits.svg", svgHead+square("", 10, 200)+square("", 20, 100)+square("wheel", 30, 50)+square("wheel", 30, 50)+square("", 140, 20)+
		`<rect x="250" width="10" height="10"/></svg>`, Options{})
	var said []string
	for _, o := range d.Outlines {
		said = append(said, fmt.Sprintf("%s %d", o.Name, len(o.Holes)))
	}
	if got := strings.Join(said, ", "); got != "bits-1 2, wheel 0, bits-2 0" {
		t.Errorf("%s", got)
	}
}

// What is no outline is left out and told; a layer called cut is read alone, or the one
// that is asked for.
func TestLayersAndWhatIsLeftOut(t *testing.T) {
	source := dxf(4, "0 CIRCLE|8 cut|40 50|0 CIRCLE|8 mark|40 20|0 LINE|8 CUT|10 0|20 0|11 300|21 5|0 TEXT|8 cut|1 words|0 CIRCLE|8 cut|10 90|40 0.2")
	d := mustRead(t, "a.dxf", source, Options{})
	if len(d.Outlines) != 1 || len(d.Outlines[0].Holes) != 0 || d.Layer != "cut" || d.Open != 1 || d.Specks != 1 || d.Left["TEXT"] != 1 || d.Left["line on other layers"] != 1 {
		t.Errorf("%+v", d)
	}
	if d := mustRead(t, "a.dxf", source, Options{Layer: "Mark"}); len(d.Outlines) != 1 || d.Outlines[0].Name != "mark" {
		t.Errorf("%+v", d)
	}
	hidden := strings.Replace(source, "0\nSECTION\n2\nENTITIES", "0\nSECTION\n2\nTABLES\n0\nLAYER\n2\nMARK\n62\n-3\n0\nENDSEC\n0\nSECTION\n2\nENTITIES", 1)
	if d := mustRead(t, "a.dxf", hidden, Options{}); d.Left["hidden thing"] != 1 {
		t.Errorf("%+v", d)
	}
	svg := svgHead + `<g id="cut"><rect width="100" height="50"/></g><g id="text"><rect width="10" height="5"/></g><defs><rect width="7" height="7"/></defs><g style="display: none"><rect x="200" width="9" height="9"/></g></svg>`
	if d := mustRead(t, "a.svg", svg, Options{}); len(d.Outlines) != 1 || len(d.Outlines[0].Holes) != 0 {
		t.Errorf("%+v", d)
	}
}

// The caller's unit stands over the file's.
func TestUnitGiven(t *testing.T) {
	for name, source := range map[string]string{"a.dxf": dxf(0, "0 CIRCLE|8 p|40 2"), "a.svg": `<svg width="100%"><circle r="2"/></svg>`} {
		if got := mustRead(t, name, source, Options{Unit: 0.0254}).Outlines[0].Ring.Area(); math.Abs(got/(math.Pi*0.0508*0.0508)-1) > 0.002 {
			t.Errorf("%s: %g m²", name, got)
		}
	}
}

// Errors say the file, the place, what is wrong and what to do.
func TestRefusals(t *testing.T) {
	for _, c := range []struct{ name, source, want string }{
		{"a.dwg", "", `save the drawing as DXF`},
		{"a.dxf", "", "a.dxf: is empty"},
		{"a.dxf", "hello\nworld\n", "line 1: a group code is expected"},
		{"a.dxf", "AutoCAD Binary DXF\r\n\x1a\x00", "save it as DXF in text"},
		{"a.dxf", dxf(0, "0 CIRCLE|40 2"), "write unit: mm"},
		{"a.dxf", dxf(7, "0 CIRCLE|40 2"), "$INSUNITS is 7"},
		{"a.dxf", dxf(4, "0 INSERT|2 nowhere"), "line 16, INSERT: there is no block"},
		{"a.dxf", dxf(4, "0 INSERT|2 B", "0 BLOCK|2 B|0 INSERT|2 B|0 ENDBLK"), "within one another"},
		{"a.dxf", dxf(4, "0 SPLINE|71 3|10 0|20 0"), "turn it into a polyline"},
		{"a.dxf", dxf(4, "0 CIRCLE|10 x|40 5"), "line 16, CIRCLE: one of its numbers is none"},
		{"a.dxf", dxf(6, "0 CIRCLE|40 5000"), "is the unit right?"},
		{"a.dxf", dxf(4, "0 LINE|8 a|10 0|11 5"), "no closed outline"},
		{"a.dxf", dxf(4, "0 LWPOLYLINE|70 1|10 0|20 0|10 50|20 50|10 50|20 0|10 0|20 60"), "line 16, LWPOLYLINE: the outline crosses"},
		{"a.dxf", strings.TrimSuffix(strings.TrimSpace(dxf(4, "0 CIRCLE|8 a|40 5")), "EOF") + "ENDSEC", "a part of it is missing"},
		{"a.svg", "<html/>", "an svg element is expected"},
		{"a.svg", "", "no svg element"},
		{"a.svg", "<svg width='5mm' height='5mm'><g>", "unexpected EOF"},
		{"a.svg", `<svg width="100%"/>`, "write unit: mm"},
		{"a.svg", svgHead + "\n<path d='M0 0 L5'/></svg>", "line 2, path: a number is expected"},
		{"a.svg", svgHead + "<path d='L5 5'/></svg>", "does not go on with"},
		{"a.svg", svgHead + "<rect transform='wobble(3)'/></svg>", "the transform wobble"},
		{"a.svg", svgHead + "<circle r='3em'/></svg>", "one of its numbers is none"},
	} {
		_, err := Read(strings.NewReader(c.source), c.name, Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %.40q: %v, want %q", c.name, c.source, err, c.want)
		}
	}
	if _, err := Read(strings.NewReader(dxf(4, "0 CIRCLE|8 skin|40 5")), "a.dxf", Options{Layer: "cut"}); err == nil || !strings.Contains(err.Error(), "there is skin") {
		t.Errorf("a layer that is not there: %v", err)
	}
}

// A drawing, however broken, never stops the program, and what is read is sound.
func FuzzRead(f *testing.F) {
	f.Add("a.dxf", dxf(4, rationalCircle(5)))
	f.Add("a.dxf", dxf(4, "0 INSERT|8 p|2 B|10 300|20 5|41 2|42 3|50 30|70 2|71 2", "0 BLOCK|2 B|10 7|20 8|0 CIRCLE|8 0|10 7|20 8|40 10|0 ENDBLK"))
	f.Add("a.dxf", dxf(4, "0 LWPOLYLINE|8 p|70 1|10 0|20 0|10 200|20 0|42 1|10 200|20 100|10 0|20 100|42 1"))
	f.Add("a.svg", svgHead+`<path d="M0 0h200a50 50 0 0 1 0 100H0A50,50 0 01 0,0z m3 4 q 60,90 120,0t1,2 C1 2 3 4 5 6s7 8 9 1z"/></svg>`)
	f.Add("a.svg", svgHead+`<g transform="translate(40 50) rotate(30, 10 10)"><rect width="5" height="7" rx="2"/><polyline points="1 2 3 4"/></g></svg>`)
	f.Fuzz(func(t *testing.T, name, source string) {
		d, err := Read(strings.NewReader(source), name, Options{})
		if err != nil {
			return
		}
		for _, o := range d.Outlines {
			if o.Name == "" || !(o.Ring.Area() > 0) {
				t.Errorf("%q with %g m²", o.Name, o.Ring.Area())
			}
		}
	})
}
