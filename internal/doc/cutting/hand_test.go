package cutting

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
)

// A plate with straight sides is told by its four corners and their lengths, begun
// wherever its drawing begins, also in the middle of a side.
func TestStraightSides(t *testing.T) {
	plate := geom.Polygon{{X: 0.2}, {X: 0.4}, {X: 0.4, Y: 0.3}, {X: 0.1, Y: 0.3}, {}}
	for turn := range plate {
		ring := append(plate[turn:].Clone(), plate[:turn]...)
		var lengths []float64
		for _, s := range sidesOf(ring, 0.025) {
			if s.every != 0 {
				t.Fatalf("begun at %d: a curve from %v", turn, s.from)
			}
			lengths = append(lengths, s.length())
		}
		slices.Sort(lengths)
		want := []float64{0.3, 0.3, math.Hypot(0.1, 0.3), 0.4} // by hand
		for i := range want {
			if len(lengths) != 4 || math.Abs(lengths[i]-want[i]) > 1e-12 {
				t.Fatalf("begun at %d: sides %v, want %v", turn, lengths, want)
			}
		}
	}
}

// A half disc of radius 200 mm on a square: the offsets of an arc from its chord are
// √(R² − (u − c/2)²) − √(R² − c²/4), away from the piece; a hollow arc has them into
// it. Closed form.
func TestOffsetsOfAnArc(t *testing.T) {
	const radius = 0.2
	for _, out := range []float64{1, -1} {
		ring := geom.Polygon{{X: -radius, Y: 0.5}, {X: -radius}, {X: radius}, {X: radius, Y: 0.5}}
		for i := 1; i < 900; i++ {
			s, c := math.Sincos(math.Pi * float64(i) / 900)
			ring = append(ring, r2.Vec{X: radius * c, Y: 0.5 + out*radius*s})
		}
		marks := 0
		for _, s := range sidesOf(ring, 0.025) {
			c := s.length()
			for i, got := range s.off {
				u := s.every * float64(i+1)
				want := out * (math.Sqrt(radius*radius-(u-c/2)*(u-c/2)) - math.Sqrt(radius*radius-c*c/4))
				marks++
				if math.Abs(got-want) > 5e-6 { // 900 chords leave the arc by 1e-6
					t.Errorf("%.1f mm along a chord of %.1f: %.3f mm off, want %.3f", 1e3*u, 1e3*c, 1e3*got, 1e3*want)
				}
			}
		}
		if marks < 8 {
			t.Errorf("%d marks on an arc of 628 mm", marks)
		}
	}
}

// Whatever the outline, the corners follow one another round it, and a knife through
// the marks leaves it nowhere by more than it may.
func TestMarksKeepToTheOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "waves")
		a, b := rapid.Float64Range(0, 0.25).Draw(t, "a"), rapid.Float64Range(0, 0.1).Draw(t, "b")
		size := rapid.Float64Range(0.05, 0.8).Draw(t, "size")
		corners := rapid.IntRange(12, 900).Draw(t, "corners")
		var ring geom.Polygon
		for i := range corners {
			th := 2 * math.Pi * float64(i) / float64(corners)
			r := size * (1 + a*math.Sin(float64(n)*th) + b*math.Cos(3*th))
			ring = append(ring, r2.Vec{X: r * math.Cos(th), Y: r * math.Sin(th)})
		}
		sides := sidesOf(ring, 0.025)
		var cut geom.Polygon
		for i, s := range sides {
			if next := sides[(i+1)%len(sides)]; s.to != next.from {
				t.Fatalf("side %d ends at %v, the next begins at %v", i, s.to, next.from)
			}
			m := s.marks()
			cut = append(cut, m[:len(m)-1]...)
		}
		for _, p := range ring {
			if d := cut.Distance(p); d > mostSag+sideTol {
				t.Fatalf("the knife leaves %v by %.2f mm", p, 1e3*d)
			}
		}
	})
}

// Lengths as a rule shows them; the last by hand: 16.21 in are 16 and 6.7 of 32 parts.
func TestRule(t *testing.T) {
	for _, c := range []struct {
		r    rule
		x    float64
		want string
	}{
		{rule{}, 0.4123, "412.5"}, {rule{}, 0.4121, "412"}, {rule{}, -0.0034, "−3.5"}, {rule{}, -0.0001, "0"},
		{rule{true}, 0, "0"}, {rule{true}, 0.0254, "1"}, {rule{true}, 0.0127, "1/2"}, {rule{true}, -0.0254 / 32, "−1/32"}, {rule{true}, 0.0254 * 16.21, "16 7/32"},
	} {
		if got := c.r.text(c.x); got != c.want {
			t.Errorf("%g m reads %q, want %q", c.x, got, c.want)
		}
	}
}

// wordsOf are the words of all pages.
func wordsOf(pages []draw.Page) string {
	var b strings.Builder
	for _, pg := range pages {
		for _, l := range pg.Layers {
			for _, it := range l.Items {
				if w, ok := it.(draw.Text); ok {
					b.WriteString(w.String + "\n")
				}
			}
		}
	}
	return b.String()
}

// The sheet of one roll, written for a person: pieces from the roll's start, corners
// from their blank's first edge, slits with the place to stop, a round hole by its middle, and
// the blanks that it is first cut into.
func TestHandSheet(t *testing.T) {
	hole := make(geom.Polygon, 90)
	for i := range hole {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 90)
		hole[i] = r2.Vec{X: 0.05 + 0.02*c, Y: 0.05 + 0.02*s}
	}
	p := pattern.Piece{Name: "P07", Ply: 7, Fabric: "cloth", Warp: r2.Vec{X: 1}, Outline: geom.Rect(0, 0, 0.3, 0.2), Holes: []geom.Polygon{hole},
		Knife: [][]r2.Vec{{{X: 0.3, Y: 0.1}, {X: 0.2, Y: 0.1}}}, Stops: []pattern.Stop{{At: r2.Vec{X: 0.2, Y: 0.1}, Radius: 0.002}}}
	r := pattern.Roll{Material: "cloth", Width: 1, Length: 0.8, Pieces: []pattern.Placed{
		{Piece: pattern.Piece{Name: "late", Warp: r2.Vec{X: 1}, Outline: geom.Rect(0, 0, 0.1, 0.1)}, At: r2.Vec{X: 0.5, Y: 0.3}},
		{Piece: p, At: r2.Vec{X: 0.01, Y: 0.02}}},
		Blanks: []pattern.Blank{{From: 0, To: 0.45, Pieces: []string{"P07"}}, {From: 0.45, To: 0.7, Pieces: []string{"late"}}}}
	h := &hand{Flow: draw.NewFlow(draw.A4(), ""), rule: ruleOf(si.Metric)}
	h.roll(r)
	words := wordsOf(h.Pages())
	for _, want := range []string{"1. Ply 7 · piece P07 · blank 1", "2. Piece late · blank 2", "10 to 310", "20 to 220", "straight, 300", "straight, 200",
		"round, this is its middle; diameter 40", "60\n70", "at the round, 4 wide: no further", "210\n120", "450\n700", "50 to 150"} {
		if !strings.Contains(words, want) {
			t.Errorf("the sheet does not say %q:\n%s", want, words)
		}
	}
}
