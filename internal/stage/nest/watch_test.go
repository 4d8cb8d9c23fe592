package nest

import (
	"context"
	"reflect"
	"testing"
)

// Watching changes nothing; lengths told only fall, the share of work done only
// grows, and the last that is told is the layout that comes out.
func TestWatchOnlyLooksOn(t *testing.T) {
	r := Roll{Material: "cloth", Width: 1, Gap: 0.002, Pieces: stars(51, 6, 3), Search: 0.5, Seed: 3}
	want := lay(t, r)
	var told []Progress
	out, err := Lay(context.Background(), Input{Rolls: []Roll{r}, Watch: func(p Progress) bool {
		told = append(told, p)
		return true
	}})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(out.Rolls[0], want) {
		t.Error("watching changed the layout")
	}
	for i, p := range told[1:] {
		if p.Length > told[i].Length || p.Use < told[i].Use || p.Done < told[i].Done {
			t.Errorf("told %+v after %+v", p, told[i])
		}
	}
	last := told[len(told)-1]
	if last.Done != 1 || last.Material != "cloth" {
		t.Errorf("the last told is %+v", last)
	}
	near(t, "length told", float64(last.Length), float64(want.Length), 1e-4)
	near(t, "use told", last.Use, want.Use, 1e-3)
	if len(told) < 6 {
		t.Errorf("told %d times in half a second's work", len(told))
	}
}

// A watcher that has seen enough gets the best layout so far, soon, and later
// rolls are laid without a search.
func TestWatchEndsTheSearch(t *testing.T) {
	r := Roll{Width: 1, Pieces: stars(52, 6, 3), Search: 3600, Seed: 3}
	var seen Progress
	calls := 0
	out, err := Lay(context.Background(), Input{Rolls: []Roll{r, r}, Watch: func(p Progress) bool {
		seen = p
		calls++
		return calls < 5
	}})
	if err != nil {
		t.Fatal(err)
	}
	if calls != 5 {
		t.Errorf("told %d times, want 5", calls)
	}
	if l := out.Rolls[0].Length; l > seen.Length+1e-9 {
		t.Errorf("told of %g m, laid on %g m", float64(seen.Length), float64(l))
	}
	if first := lay(t, Roll{Width: 1, Pieces: r.Pieces}); out.Rolls[1].Length != first.Length {
		t.Errorf("the second roll is %g m long, without a search %g m", float64(out.Rolls[1].Length), float64(first.Length))
	}
}
