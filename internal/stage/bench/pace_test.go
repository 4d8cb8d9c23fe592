package bench

import (
	"math"
	"testing"

	"laywright/internal/base/si"
)

// By hand: 0.3 m² take 240+270 s to wet out and 300+360 s to place. At 45 degrees of
// shear placing takes twice as long; each of two slits 2 min.
func TestPlyTime(t *testing.T) {
	flat, bent := Ply{Area: 0.3}, Ply{Area: 0.3, Shear: math.Pi / 4, Slits: 2}
	own := Pace{Given: true, WetOut: Task{Each: 400}, Place: Task{Each: 700}}
	for _, c := range []struct {
		pace  Pace
		ply   Ply
		hands int
		want  si.Time
	}{{Pace{}, flat, 1, 1170}, {Pace{}, flat, 2, 660}, {Pace{}, bent, 1, 510 + 1320 + 240}, {Pace{}, bent, 2, 1560},
		{own, bent, 1, 1100}, {own, bent, 3, 700}, {Whole(900, 1), bent, 1, 900}, {Whole(900, 2), bent, 2, 900}} {
		if got := c.pace.PlyTime(c.ply, c.hands); math.Abs(float64(got-c.want)) > 1e-9 {
			t.Errorf("%+v with %d hands: %v s, want %v", c.ply, c.hands, got, c.want)
		}
	}
}

// The bench's steps take what the time of a ply foretells.
func TestStepsKeepThePace(t *testing.T) {
	in := fourPlies()
	in.Plies[1].Shear, in.Plies[2].Slits = 0.6, 3
	for _, hands := range []int{1, 2} {
		in.Spec.Hands = hands
		r, err := Sequence(in)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := *r.BagDown-*r.WetStart, in.Spec.UntilVacuum(in.Plies, len(in.Pots), in.Area); math.Abs(float64(got-want)) > 1e-9 {
			t.Errorf("%d hands: %v s, foretold %v", hands, got, want)
		}
	}
}
