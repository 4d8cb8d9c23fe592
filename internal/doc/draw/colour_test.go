package draw

import (
	"math"
	"testing"
)

// OKLab of the three primaries and white, to five places, as published with
// CSS Color Module Level 4 (W3C) and in B. Ottosson's note (from memory).
func TestOKLabPublishedValues(t *testing.T) {
	for _, c := range []struct {
		name    string
		colour  Colour
		l, a, b float64
	}{
		{"red", RGB(255, 0, 0), 0.62796, 0.22486, 0.12585},
		{"green", RGB(0, 255, 0), 0.86644, -0.23389, 0.17950},
		{"blue", RGB(0, 0, 255), 0.45201, -0.03246, -0.31153},
		{"white", RGB(255, 255, 255), 1, 0, 0},
		{"black", RGB(0, 0, 0), 0, 0, 0},
	} {
		got := toLab(c.colour)
		near(t, c.name+" l", got.l, c.l, 2e-5)
		near(t, c.name+" a", got.a, c.a, 2e-5)
		near(t, c.name+" b", got.b, c.b, 2e-5)
	}
}

func TestOKLabRoundTrip(t *testing.T) {
	for v := 0; v < 1<<24; v += 9973 {
		c := RGB(uint8(v>>16), uint8(v>>8), uint8(v))
		if got := toLab(c).colour(); got != c {
			t.Fatalf("%s came back as %s", c.Hex(), got.Hex())
		}
	}
}

// luminance is relative luminance as the Web Content Accessibility Guidelines
// 2.2 define it, a measure that shares nothing with OKLab but the transfer curve.
func luminance(c Colour) float64 {
	r, g, b := c.Parts()
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

// contrast by the same guidelines: at least 4.5 for words.
func contrast(a, b Colour) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestWordsCanBeRead(t *testing.T) {
	for _, ground := range []Colour{White, Ground, Wash, Blush} {
		for _, ink := range []Colour{Ink, Soft, Accent} {
			if got := contrast(ink, ground); got < 4.5 {
				t.Errorf("%s on %s has a contrast of %.2f, want 4.5", ink.Hex(), ground.Hex(), got)
			}
		}
	}
}

// A ramp that is monotone in luminance reads without any sense of colour.
func TestRampsAreMonotone(t *testing.T) {
	seq, div := Sequential(), Diverging()
	for i := range 200 {
		a, b := float64(i)/200, float64(i+1)/200
		if luminance(seq.At(b)) > luminance(seq.At(a)) {
			t.Errorf("sequential: lighter at %.3f than at %.3f", b, a)
		}
		rising := b <= 0.5
		if up := luminance(div.At(b)) - luminance(div.At(a)); rising && up < 0 || !rising && up > 0 {
			t.Errorf("diverging: luminance changes by %.4f at %.3f", up, a)
		}
	}
}

// Lightness is linear in the share: to within the rounding of eight-bit colour.
func TestRampLightnessIsLinear(t *testing.T) {
	r := Sequential()
	first, last := toLab(r.At(0)).l, toLab(r.At(1)).l
	for i := range 101 {
		s := float64(i) / 100
		near(t, "lightness", toLab(r.At(s)).l, first+s*(last-first), 0.004)
	}
}

// The ends of the diverging ramp are alike in lightness.
func TestDivergingIsBalanced(t *testing.T) {
	r := Diverging()
	near(t, "dark ends", toLab(r.At(0)).l, toLab(r.At(1)).l, 0.03)
}

func TestNoNumberHasTheFaintGrey(t *testing.T) {
	if got := Sequential().At(math.NaN()); got != Faint {
		t.Errorf("NaN is drawn in %s", got.Hex())
	}
	r := Range{Ramp: Sequential(), Low: 0, High: 1}
	if got := r.Colour(math.NaN()); got != Faint {
		t.Errorf("a value that is no number is drawn in %s", got.Hex())
	}
}
