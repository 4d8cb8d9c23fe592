// Package bench puts the work in order: when to do what, how long it takes, and
// how much of the resin's wet time is left when each step is done.
//
// Times are seconds from the first step. The wet clock starts when the first
// pot is mixed and ends when that resin, spread as a thin film at the shop's
// temperature, gels; a step that ends later than that comes too late. The
// package knows nothing of chemistry: gel time, pots and cure come in as plain
// numbers. It does not plan the hours of sleep between evenings.
package bench

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Spec is the `bench` section of a job file.
type Spec struct {
	Hands int  `yaml:"hands" least:"1" most:"8"` // people at the bench
	Pace  Pace `yaml:"pace"`
}

// Ply is one ply's share of the work.
type Ply struct {
	Name  string
	Area  si.Area
	Shear si.Angle // that 99 % of it keeps under; 0: flat
	Slits int
	Pot   int // which pot wets it out, from 0
}

// Pot is one cup of mixed resin.
type Pot struct {
	Mass      si.Mass
	UseBefore si.Time // after its mixing; 0: not known
}

// Wait is something that must dry, harden or be held.
type Wait struct {
	Name string
	For  si.Time
}

// Input is what the bench needs to know.
type Input struct {
	Spec     Spec
	Release  []Wait // sealer and release coats, in order
	Plies    []Ply
	Pots     []Pot
	FilmGel  si.Time // from mixing, as a thin film at shop temperature; 0: not known
	Area     si.Area // of the part, for bagging and trimming
	Bagged   bool
	LeakTest si.Time // how long the gauge is watched
	Cure     []Wait  // the holds and ramps of the cure on the mould, in order
	Free     []Wait  // those that follow off the mould
	Trim     si.Length
}

// Step is one thing to do.
type Step struct {
	Name    string   `json:"name"`
	Start   si.Time  `json:"start_s"`
	Seconds si.Time  `json:"seconds"`
	People  int      `json:"people"`
	GelLeft *si.Time `json:"gel_left_s,omitempty"` // when the step is done; only while resin is wet
}

// Result is the sequence.
type Result struct {
	Steps    []Step          `json:"steps"`
	Total    si.Time         `json:"total_s"`
	WetStart *si.Time        `json:"first_mix_s,omitempty"`
	BagDown  *si.Time        `json:"vacuum_on_s,omitempty"`
	Findings []fault.Finding `json:"-"`
}

// hotShare is how much of the film's gel time may be gone when the vacuum comes
// on. Common practice, no source: 60 to 70 % of the film's working life.
const hotShare = 0.65

// Sequence puts the steps in order.
func Sequence(in Input) (Result, error) {
	if in.Spec.Hands < 0 || in.Spec.Hands > 8 {
		return Result{}, &fault.Range{Field: "bench.hands", Value: float64(in.Spec.Hands), Min: 1, Max: 8, Why: "people round one part"}
	}
	s := sequencer{in: in, hands: max(1, in.Spec.Hands), pace: in.Spec.Pace.orUsual()}
	s.prepare()
	s.layUp()
	s.bag()
	s.wet = false
	s.wait(in.Cure)
	s.takeOff()
	s.wait(in.Free)
	s.finish()
	s.out.Total = s.now
	s.judge()
	return s.out, nil
}

type sequencer struct {
	in    Input
	pace  Pace
	hands int
	now   si.Time
	wet   bool
	mixed si.Time // when the first pot was mixed
	out   Result
}

// do appends a step that takes so long.
func (s *sequencer) do(name string, takes si.Time, people int) {
	step := Step{Name: name, Start: s.now, Seconds: takes, People: people}
	s.now += takes
	if s.wet && s.in.FilmGel > 0 {
		left := s.mixed + s.in.FilmGel - s.now
		step.GelLeft = &left
	}
	s.out.Steps = append(s.out.Steps, step)
}

func (s *sequencer) prepare() {
	if len(s.in.Release) > 0 {
		s.do("Wipe the mould clean; mask the bag land", 900, 1)
	}
	for _, w := range s.in.Release {
		s.do(w.Name, w.For, 1)
	}
	if len(s.in.Plies) > 0 {
		s.do(fmt.Sprintf("Cut %d plies, peel ply, film, bleeder and bag; number each piece", len(s.in.Plies)),
			s.pace.Cut.total(s.in.Plies), 1)
		s.do("Weigh the dry kit; lay it out in order of use", 600, 1)
	}
	if s.in.Bagged {
		s.do("Rehearse dry: bag the bare mould and watch the gauge", 1200, s.hands)
	}
}

// layUp mixes each pot when its first ply comes. With two people or more one
// wets out while another places, so the slower of the two sets the pace.
func (s *sequencer) layUp() {
	pot := -1
	for _, p := range s.in.Plies {
		for pot < p.Pot && pot+1 < len(s.in.Pots) {
			pot++
			if !s.wet {
				s.wet, s.mixed = true, s.now
				start := s.now
				s.out.WetStart = &start
			}
			s.do(fmt.Sprintf("Mix pot %d: %.0f g; weigh both parts, stir two minutes", pot+1, 1000*float64(s.in.Pots[pot].Mass)), s.pace.mix(), 1)
		}
		if s.hands > 1 {
			s.do("Wet out and place "+p.Name, s.pace.PlyTime(p, s.hands), 2)
			continue
		}
		s.do("Wet out "+p.Name, s.pace.WetOut.of(p.Area), 1)
		s.do("Place "+p.Name+"; film off both faces", s.pace.place(p), 1)
	}
}

func (s *sequencer) bag() {
	if !s.in.Bagged {
		return
	}
	s.do("Peel ply, release film, bleeder", s.pace.Bag.of(s.in.Area)/2, s.hands)
	s.do("Bag down; vacuum on slowly, work the pleats", s.pace.Bag.of(s.in.Area)/2, s.hands)
	on := s.now
	s.out.BagDown = &on
	s.do("Leak check: shut the valve, watch the gauge", s.in.LeakTest, 1)
}

func (s *sequencer) wait(waits []Wait) {
	for _, w := range waits {
		s.do(w.Name, w.For, 1)
	}
}

func (s *sequencer) takeOff() {
	if len(s.in.Plies) == 0 {
		return
	}
	if s.in.Bagged {
		s.do("Take off bag, bleeder and film; weigh the bleeder", 600, 1)
	}
	s.do("Take the part off the mould", 900, s.hands)
}

func (s *sequencer) finish() {
	if len(s.in.Plies) == 0 {
		return
	}
	if s.in.Trim > 0 {
		s.do("Trim to the line; mask on, dust extraction on", si.Time(float64(s.in.Trim)*trimPace), 1)
	}
	s.do("Weigh, measure the thickness, tap the faces; fill in the record", 1200, 1)
}

// trimPace is the time to saw and sand a metre of edge by hand. Common
// practice, no source.
const trimPace = 900 // s/m

func (s *sequencer) judge() {
	if s.out.BagDown == nil || s.in.FilmGel <= 0 || s.out.WetStart == nil {
		return
	}
	gone := *s.out.BagDown - *s.out.WetStart
	share := float64(gone) / float64(s.in.FilmGel)
	finding := fault.Finding{Stage: "bench", Code: "late-bag",
		Why: "cloth must be pressed and bled while the resin still runs",
		Do:  "get a second pair of hands, a slower hardener or a cooler shop, or lay the part up in two goes with peel ply between"}.
		Against(float64(gone)/60, hotShare*float64(s.in.FilmGel)/60, "min")
	switch {
	case share > 1:
		finding.Severity, finding.What = fault.Stop, "The resin gels before the vacuum is on."
	case share > hotShare:
		finding.Severity, finding.What = fault.Caution, "The vacuum comes on late: most of the wet time is gone."
	default:
		return
	}
	s.out.Findings = append(s.out.Findings, finding)
}
