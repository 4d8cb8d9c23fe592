package svg_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/svg"
)

func page() draw.Page {
	p := draw.NewPage("ply <3> & more", 200, 100)
	p.Add(draw.Cut, draw.Ring(draw.InkPen(0.3), []r2.Vec{{X: 10, Y: 10}, {X: 70, Y: 10}, {X: 70, Y: 50}}))
	p.Add(draw.Warp, draw.Line(draw.Pen{Width: 0.2, Colour: draw.Ink, Dash: []float64{2, 1}}, r2.Vec{}, r2.Vec{X: 5, Y: 5}), draw.Circle{At: r2.Vec{X: 9, Y: 9}, R: 2, Fill: draw.Accent})
	p.Add(draw.Words, draw.Text{At: r2.Vec{X: 20, Y: 30}, String: "a < b & 45°", Size: 12, Angle: math.Pi / 2, Colour: draw.Ink, Clip: r2.NewBox(0, 0, 30, 30)})
	p.Add(draw.Paper, draw.Facets{Tris: [][3]r2.Vec{{{}, {X: 1}, {Y: 1}}, {{X: 1}, {X: 1, Y: 1}, {Y: 1}}}, Colours: []draw.Colour{draw.Wash, draw.Wash}})
	return *p
}

func write(t *testing.T, p draw.Page) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := svg.Write(&buf, p); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// The file is well-formed, in millimetres, with a group a layer, and the
// outline reads back with its area and, y being turned over, its other hand.
func TestReadsBack(t *testing.T) {
	dec := xml.NewDecoder(bytes.NewReader(write(t, page())))
	var groups []string
	polygons, words := "", ""
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := tok.(xml.CharData); ok {
			words += string(c)
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		switch e.Name.Local {
		case "svg":
			if at["width"] != "200.000mm" || at["height"] != "100.000mm" || at["viewBox"] != "0 0 200.000 100.000" {
				t.Errorf("size %v", at)
			}
		case "g":
			if at["id"] != "" {
				groups = append(groups, at["id"])
			}
		case "polygon":
			polygons = at["points"]
		}
	}
	if got := strings.Join(groups, " "); got != "cut warp text paper" {
		t.Errorf("groups %s", got)
	}
	if !strings.Contains(words, "a < b & 45°") || !strings.Contains(words, "ply <3> & more") {
		t.Errorf("words %q", words)
	}
	var pts []r2.Vec
	for _, s := range strings.Fields(polygons) {
		xy := strings.Split(s, ",")
		x, _ := strconv.ParseFloat(xy[0], 64)
		y, _ := strconv.ParseFloat(xy[1], 64)
		pts = append(pts, r2.Vec{X: x, Y: y})
	}
	sum := 0.0
	for i, a := range pts {
		sum += r2.Cross(a, pts[(i+1)%len(pts)]) / 2
	}
	if math.Abs(sum+60*40/2) > 1e-9 { // a right triangle, by hand
		t.Errorf("area %g, want −1200", sum)
	}
}

func TestSameBytes(t *testing.T) {
	if !bytes.Equal(write(t, page()), write(t, page())) {
		t.Error("two runs differ")
	}
}

func TestRefusesWhatIsNoPlace(t *testing.T) {
	p := page()
	p.Add(draw.Cut, draw.Line(draw.InkPen(1), r2.Vec{}, r2.Vec{X: math.Inf(1)}))
	if err := svg.Write(&bytes.Buffer{}, p); err == nil {
		t.Error("a point at infinity was written")
	}
}
