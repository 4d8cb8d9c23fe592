package flat

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// The other hand of a piece is its mirror image: the same area, every point on
// the other side of the warp, the same sense of rings; of the other hand again it
// is the piece itself.
func TestMirrored(t *testing.T) {
	at := [3]float64{0.1, 0.04, 0}
	p := Piece{Name: "P02A", Side: thisSideUp,
		Outline: [][2]float64{{0, 0}, {0.2, 0}, {0.2, 0.1}, {0.05, 0.12}},
		Knife:   [][][2]float64{{{0.1, 0.02}, {0.1, 0.05}}},
		Marks:   []Mark{{Kind: Alignment, Label: "y 40", Line: [][2]float64{{0.1, 0.04}, {0.11, 0.04}}, Mould: &at}},
		Gaps:    []Gap{{Seam: 1, Side: "left"}}}
	l := Label{Ply: 2, Fabric: "carbon", Angle: si.Degrees(45)}
	m := Mirrored(p, l, "y")
	if m.Name != "P02AM" || math.Abs(Polygon(m.Outline).Area()-Polygon(p.Outline).Area()) > 1e-15 || m.Knife[0][1] != [2]float64{0.1, -0.05} {
		t.Errorf("%+v", m)
	}
	if got := m.Marks[0]; got.Label != "y -40" || *got.Mould != [3]float64{0.1, -0.04, 0} || got.Line[0] != [2]float64{0.1, -0.04} {
		t.Errorf("mark %+v", got)
	}
	if m.Gaps[0].Side != "right" || m.Words[1] != "carbon, warp at -45°" || p.Outline[3] != [2]float64{0.05, 0.12} {
		t.Errorf("gap %+v, words %q", m.Gaps, m.Words)
	}
	l.Angle = -l.Angle
	back := Mirrored(m, l, "y")
	for i, q := range back.Outline {
		if q != p.Outline[i] {
			t.Errorf("corner %d: %v for %v", i, q, p.Outline[i])
		}
	}
}
