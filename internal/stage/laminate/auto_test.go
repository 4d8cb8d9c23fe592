package laminate

import (
	"testing"

	"laywright/internal/base/si"
)

// Stacks of n plies that read the same from both faces: 2 to the power of half of them,
// rounded up, less those with more than four plies of one angle on each other.
func TestCandidatesCount(t *testing.T) {
	count := map[int]int{}
	for _, c := range (Choice{Fabrics: []string{"x"}}).Candidates() {
		count[len(c)]++
		for i := range c {
			if c[i].Angle != c[len(c)-1-i].Angle {
				t.Errorf("%s is not the same from both faces", Short(c))
			}
		}
	}
	// 5 plies: all alike is left out, twice; 6 and more: runs through the middle as well
	want := map[int]int{1: 2, 2: 2, 3: 4, 4: 4, 5: 6, 6: 6, 7: 12, 8: 12}
	for n, w := range want {
		if count[n] != w {
			t.Errorf("%d stacks of %d plies, want %d", count[n], n, w)
		}
	}
}

func TestCandidatesAreDressed(t *testing.T) {
	c := Choice{Fabrics: []string{"a", "b"}, Core: "foam", CoreThick: 0.005, Isolation: "glass", Most: 2}
	seen := map[string]bool{}
	for _, s := range c.Candidates() {
		seen[Short(s)] = true
	}
	for _, w := range []string{"glass 0 + a 0 + foam + a 0", "glass 0 + b 45 + foam + b 45"} {
		if !seen[w] {
			t.Errorf("%s is missing in %v", w, seen)
		}
	}
	if s := Short([]Line{{Fabric: "x"}, {Fabric: "x", Angle: si.Degrees(45)}, {Ply: "ge", Angle: si.Degrees(-30.5)}}); s != "x 0/45 + ge -30.5" {
		t.Errorf("written as %q", s)
	}
}
