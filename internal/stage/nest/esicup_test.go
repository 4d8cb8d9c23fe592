package nest_test

import (
	"context"
	"testing"

	"laywright/bench/sets"
	"laywright/internal/stage/nest"
)

// Published sets after a short search, against bars from outside: the best that
// a general packing library (no-fit polygons, restarts, convex hulls of the
// pieces) reached in a minute on the same sets was 56.6 % for swim and 75.4 % for
// shirts; a cut-up rectangle, dighe1, can be laid at
// 100 %. The same pieces must lie closer where half turns are allowed (shapes1)
// than where not (shapes0): the best known are 76.7 and 70.0 %.
// Source: [gardeyn2025] for the last two; the library was run for comparison.
func TestPublishedSets(t *testing.T) {
	if testing.Short() {
		t.Skip("five searches take seconds")
	}
	use := map[string]float64{}
	for _, c := range []struct {
		name        string
		least, most float64
	}{{"swim", 0.566, 0.80}, {"shirts", 0.754, 0.91}, {"dighe1", 0.75, 1}, {"shapes0", 0.55, 0.70}, {"shapes1", 0.55, 0.768}} {
		r, err := sets.Read("../../../../shared/reference/esicup", c.name)
		if err != nil {
			t.Skipf("published sets are no part of this project: %v", err)
		}
		r.Search = 0.2
		out, err := nest.Lay(context.Background(), nest.Input{Rolls: []nest.Roll{r}})
		if err != nil {
			t.Fatal(err)
		}
		use[c.name] = out.Rolls[0].Use
		if u := use[c.name]; !(u >= c.least && u <= c.most+1e-9) {
			t.Errorf("%s: use %.4f, want %.3f to %.3f", c.name, u, c.least, c.most)
		}
	}
	if use["shapes1"] <= use["shapes0"] {
		t.Errorf("half turns gained nothing: %.4f, without %.4f", use["shapes1"], use["shapes0"])
	}
}
