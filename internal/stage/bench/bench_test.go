package bench

import (
	"errors"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

func fourPlies() Input {
	in := Input{Bagged: true, LeakTest: 300, FilmGel: 3 * 3600, Area: 0.3, Trim: 1.2,
		Release: []Wait{{"Wax coat 1", 3600}}, Pots: []Pot{{Mass: 0.09}, {Mass: 0.09}},
		Cure: []Wait{{"Leave at room temperature", 24 * 3600}}}
	for i := range 4 {
		in.Plies = append(in.Plies, Ply{Name: "ply", Area: 0.3, Pot: i / 2})
	}
	return in
}

// Steps follow each other without a gap, and the total is their sum.
func TestStepsJoin(t *testing.T) {
	r, err := Sequence(fourPlies())
	if err != nil {
		t.Fatal(err)
	}
	var sum si.Time
	for _, s := range r.Steps {
		if s.Start != sum {
			t.Errorf("%s starts at %v, the one before ends at %v", s.Name, s.Start, sum)
		}
		sum += s.Seconds
	}
	if r.Total != sum {
		t.Errorf("total %v, want %v", r.Total, sum)
	}
}

// The wet clock by hand: two pots at 300 s; four plies of 0.3 m^2 at
// 240+270 and 300+360 s; bagging 1500+540 s. The vacuum is on after
// 2*300 + 4*1170 + 2040 = 7320 s.
func TestWetClockByHand(t *testing.T) {
	r, err := Sequence(fourPlies())
	if err != nil {
		t.Fatal(err)
	}
	if got := *r.BagDown - *r.WetStart; got != 7320 {
		t.Errorf("vacuum on %v s after the first mix, want 7320", got)
	}
	in := fourPlies()
	if got := in.Spec.UntilVacuum(in.Plies, len(in.Pots), in.Area); got != 7320 {
		t.Errorf("foretold %v s, want 7320", got)
	}
	for _, s := range r.Steps {
		if strings.HasPrefix(s.Name, "Bag down") && *s.GelLeft != 10800-7320 {
			t.Errorf("%v s of wet time left at the bag, want 3480", *s.GelLeft)
		}
		if strings.HasPrefix(s.Name, "Leave") && s.GelLeft != nil {
			t.Error("the wet clock runs during the cure")
		}
	}
}

// A post-cure off the mould comes after the part is off it.
func TestFreePostCureComesAfterDemould(t *testing.T) {
	in := fourPlies()
	in.Free = []Wait{{"Warm", 3600}}
	r, _ := Sequence(in)
	off, warm := -1, -1
	for i, s := range r.Steps {
		switch s.Name {
		case "Take the part off the mould":
			off = i
		case "Warm":
			warm = i
		}
	}
	if off < 0 || warm != off+1 {
		t.Errorf("off the mould at step %d, warmed at step %d", off, warm)
	}
}

func TestTooLateIsAStop(t *testing.T) {
	in := fourPlies()
	in.FilmGel = 7000
	r, _ := Sequence(in)
	if len(r.Findings) != 1 || r.Findings[0].Severity != fault.Stop {
		t.Errorf("findings %+v", r.Findings)
	}
	in.FilmGel = 9000 // 7320 of 9000 s is 81 %
	r, _ = Sequence(in)
	if len(r.Findings) != 1 || r.Findings[0].Severity != fault.Caution {
		t.Errorf("findings %+v", r.Findings)
	}
	in.FilmGel = 20000
	if r, _ = Sequence(in); len(r.Findings) != 0 {
		t.Errorf("findings %+v", r.Findings)
	}
}

func TestTwoPairsOfHandsAreQuicker(t *testing.T) {
	one, _ := Sequence(fourPlies())
	in := fourPlies()
	in.Spec.Hands = 2
	two, _ := Sequence(in)
	if saved := one.Total - two.Total; saved != 4*510 { // the shorter half of each ply's work
		t.Errorf("saved %v s, want %v", saved, 4*510)
	}
	in.Spec.Hands = 99
	var e *fault.Range
	if _, err := Sequence(in); !errors.As(err, &e) {
		t.Errorf("99 people: %v", err)
	}
}

func TestReadsPace(t *testing.T) {
	root, _ := bind.Parse([]byte(`{hands: 2, pace: {place: "10 min"}}`))
	b := bind.New()
	var s Spec
	b.Into(&s, "bench", root)
	if len(b.Problems) > 0 || s.Pace.Place.of(5) != 600 || s.Pace.WetOut != usual.WetOut {
		t.Errorf("%+v %v", s, b.Problems)
	}
	root, _ = bind.Parse([]byte(`{pace: learned}`))
	s = Spec{}
	b.Into(&s, "bench", root)
	if s.Pace.Given || s.Pace.orUsual() != usual {
		t.Errorf("%+v", s.Pace)
	}
}
