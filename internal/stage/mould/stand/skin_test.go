package stand

import (
	"testing"

	"laywright/internal/base/si"
)

// Each field of a skin adds its own way to give; what is not known adds none.
func TestModes(t *testing.T) {
	ply := Matter{Bending: 40e6, E: 6e9, Nu: 0.3, Left: 0.5, Lasting: 0.5, Limit: si.Celsius(70)}
	s := Skin{Matter: ply, Thick: 0.006, Span: 0.12, Flat: true, Tube: 0.3, Ball: 0.5}
	cold, warm := s.Modes(si.Celsius(20)), s.Modes(si.Celsius(70))
	if len(cold) != 3 {
		t.Fatalf("%d modes", len(cold))
	}
	// 2·σ·(t/b)² = 2·20 MPa·(1/20)² = 100 kPa
	near(t, "strip", float64(cold[0].Bears), 100e3, 1e-12)
	for i := range cold {
		near(t, "warm", float64(warm[i].Bears), float64(cold[i].Bears)/2, 1e-12)
	}
	s.Matter.E, s.Matter.Bending = 0, 0
	if got := s.Modes(si.Celsius(20)); len(got) != 0 {
		t.Errorf("%d modes of an unknown material", len(got))
	}
}
