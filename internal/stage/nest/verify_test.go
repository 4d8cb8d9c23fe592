package nest

import (
	"strings"
	"testing"

	"laywright/internal/base/geom"
)

// Every promise is broken once, by a little; the check must name each.
func TestVerifyCatches(t *testing.T) {
	r := Roll{Width: 1, Pieces: []Piece{{Name: "a", Count: 3, Turns: halfTurns, Outline: geom.Polygon{{}, {X: 0.3}, {X: 0.2, Y: 0.3}, {Y: 0.3}}}}, Search: 0.05}
	good := lay(t, r)
	if err := verify(r, []Laid{good}); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		breaks func(*Laid)
		says   string
	}{
		"turn":     {func(l *Laid) { l.Placements[0].Turn += 1e-6 }, "may not lie"},
		"flip":     {func(l *Laid) { l.Placements[0].Flipped = true }, "may not lie"},
		"missing":  {func(l *Laid) { l.Placements = l.Placements[1:] }, "missing"},
		"twice":    {func(l *Laid) { l.Placements = append(l.Placements, l.Placements[0]) }, "missing"},
		"stranger": {func(l *Laid) { l.Placements[1].Piece = "b" }, "may not lie"},
		"low":      {func(l *Laid) { l.Placements[0].Y = -0.31 }, "leaves the roll"},
		"start":    {func(l *Laid) { l.Placements[0].X = -0.31 }, "leaves the roll"},
		"length":   {func(l *Laid) { l.Length -= 1e-7 }, "leaves the roll"},
		"overlap":  {func(l *Laid) { l.Placements[1] = l.Placements[0] }, "share area"},
	} {
		bad := good
		bad.Placements = append([]Placement(nil), good.Placements...)
		c.breaks(&bad)
		if err := verify(r, []Laid{bad}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
}

// Squares 10 nm into each other, or 10 nm nearer than the gap, are caught;
// squares that touch exactly are not.
func TestVerifyIsSharp(t *testing.T) {
	a := geom.Rect(0, 0, 0.2, 0.2)
	for _, c := range []struct {
		from, gap float64
		ok        bool
	}{{0.2, 0, true}, {0.2 - 1e-8, 0, false}, {0.203, 0.003, true}, {0.203 - 1e-8, 0.003, false}} {
		if err := verifyClear([]geom.Polygon{a, geom.Rect(c.from, 0, 0.5, 0.2)}, c.gap); (err == nil) != c.ok {
			t.Errorf("squares %g apart at a gap of %g: %v", c.from-0.2, c.gap, err)
		}
	}
	if err := verifyClear([]geom.Polygon{geom.Rect(0, 0, 1, 1), geom.Rect(0.4, 0.4, 0.6, 0.6)}, 0); err == nil {
		t.Error("a square within another passed")
	}
}
