package plies

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/material"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
)

// A step up from the floor, sharp and of 90°: cloth that goes into 4 mm by hand
// stands 4·(√2 − 1) mm off.
func TestSharpHollow(t *testing.T) {
	m := shapes.Starred(40, 20, func(s, u float64) r3.Vec {
		x := 0.2 * (s - 0.5)
		return r3.Vec{X: min(x, 0), Y: 0.1 * u, Z: max(x, 0)}
	})
	w, err := newWork(Input{Surface: m, Plies: stackOf(45, 0)})
	if err != nil {
		t.Fatal(err)
	}
	all := w.hollows()
	out := Result{}
	w.judgeHollow(&out, w.in.Plies[0], all)
	w.judgeTight(&out, all)
	if got := codes(out); got != "caution cloth-bridges, note press-hollows" {
		t.Errorf("findings: %s", got)
	}
	if s := out.Findings[0].What; !strings.Contains(s, "1.7 mm off") {
		t.Error(s)
	}
}

// Each ply makes a hollow tighter for the next: a fillet that just takes the first
// one is too tight for the eighth.
func TestHollowCloses(t *testing.T) {
	const r, θ, facets = 0.0045, 1.4, 8
	facet := 2 * r * math.Tan(θ/facets/2)
	lengths, turns := []float64{0.05}, []float64{}
	for range facets - 1 {
		lengths = append(lengths, facet)
	}
	lengths = append(lengths, 0.05)
	for range facets {
		turns = append(turns, θ/facets)
	}
	m := shapes.Folded(lengths, turns, 0.1, 1, 16)
	plies := stackOf(45, 0, 0, 0, 0, 0, 0, 0, 0)
	for i := range plies {
		plies[i].Fabric.DryThick = material.Exactly(si.Length(0.3e-3))
	}
	for n, want := range map[int]string{1: "", 8: "caution cloth-bridges"} {
		w, err := newWork(Input{Surface: m, Plies: plies[:n]})
		if err != nil {
			t.Fatal(err)
		}
		out := Result{}
		w.judgeHollow(&out, plies[0], w.hollows())
		if got := codes(out); got != want {
			t.Errorf("%d plies: %q", n, got)
		}
	}
}
