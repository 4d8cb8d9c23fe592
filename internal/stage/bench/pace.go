package bench

import (
	"math"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
)

// Task is how long a thing takes: so much for each piece and so much an area.
type Task struct {
	Each  si.Time
	PerM2 si.Time // for each square metre
}

func (t Task) of(a si.Area) si.Time { return t.Each + si.Time(float64(t.PerM2)*float64(a)) }

func (t Task) total(plies []Ply) (sum si.Time) {
	for _, p := range plies {
		sum += t.of(p.Area)
	}
	return sum
}

// Pace is how fast the hands are.
type Pace struct {
	Given                   bool
	Cut, WetOut, Place, Bag Task
}

// usual is the pace of a careful first part. Shop estimates, no source; a shop's
// own record replaces them.
var usual = Pace{
	Cut:    Task{Each: 300, PerM2: 600},
	WetOut: Task{Each: 240, PerM2: 900},
	Place:  Task{Each: 300, PerM2: 1200},
	Bag:    Task{Each: 1500, PerM2: 1800},
}

func (p Pace) orUsual() Pace {
	if !p.Given {
		return usual
	}
	return p
}

func (p Pace) mix() si.Time { return 300 } // weigh and stir; mixing below two minutes is not enough

// Mixing is how long one pot takes to weigh and stir.
func (p Pace) Mixing() si.Time { return p.mix() }

// Of laying cloth that does not lie by itself: cloth that shears by bend takes
// twice as long to place as flat cloth, and a slit as much more as slit to close
// (assumed; a shop's own times stand over both).
const (
	bend si.Angle = 45 * math.Pi / 180
	slit si.Time  = 120
)

// place is the time to place a ply. A person's own time is for their own shape.
func (p Pace) place(ply Ply) si.Time {
	t := p.Place.of(ply.Area)
	if p.Given {
		return t
	}
	return t*si.Time(1+ply.Shear/bend) + slit*si.Time(ply.Slits)
}

// PlyTime is how long one ply keeps so many hands busy: with two people or more
// one wets out while another places, so the slower of the two sets the pace.
//
//	wet out = a + b·A    place = (c + d·A)·(1 + γ/45°) + 2 min · slits
//
// A is the area, γ the shear that 99 % of the ply keeps under.
func (p Pace) PlyTime(ply Ply, hands int) si.Time {
	p = p.orUsual()
	wet, place := p.WetOut.of(ply.Area), p.place(ply)
	if hands > 1 {
		return max(wet, place)
	}
	return wet + place
}

// Whole is a pace at which so many hands take t for each ply, wetting out and
// placing together; cutting and bagging stay usual.
func Whole(t si.Time, hands int) Pace {
	p := usual
	p.Given = true
	share := si.Time(1)
	if hands < 2 {
		share = usual.WetOut.Each / (usual.WetOut.Each + usual.Place.Each)
		p.Place = Task{Each: t * (1 - share)}
	} else {
		p.Place = Task{Each: t}
	}
	p.WetOut = Task{Each: t * share}
	return p
}

// UntilVacuum is from the first mixing until the vacuum is on.
func (s Spec) UntilVacuum(plies []Ply, pots int, part si.Area) si.Time {
	p := s.Pace.orUsual()
	sum := si.Time(pots)*p.mix() + p.Bag.of(part)
	for _, ply := range plies {
		sum += p.PlyTime(ply, s.Hands)
	}
	return sum
}

// times are a shop's own times for a ply and for the bag, as they are written.
type times struct {
	Cut    si.Time `yaml:"cut" above:"0"`
	WetOut si.Time `yaml:"wet_out" above:"0"`
	Place  si.Time `yaml:"place" above:"0"`
	Bag    si.Time `yaml:"bag" above:"0"`
}

// Forms are "learned" and the shop's own times.
func (Pace) Forms() []any { return []any{"learned", times{}} }

// Bind reads "learned" or the person's own times for a ply and for the bag:
// {cut: "6 min", wet_out: "8 min", place: "10 min", bag: "40 min"}.
func (p *Pace) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode && n.Value == "learned" {
		return
	}
	var in times
	before := len(b.Problems)
	b.Into(&in, path, n)
	if len(b.Problems) > before {
		return
	}
	*p = Pace{Given: true, Cut: usual.Cut, WetOut: usual.WetOut, Place: usual.Place, Bag: usual.Bag}
	for _, set := range []struct {
		own  si.Time
		task *Task
	}{{in.Cut, &p.Cut}, {in.WetOut, &p.WetOut}, {in.Place, &p.Place}, {in.Bag, &p.Bag}} {
		if set.own > 0 {
			*set.task = Task{Each: set.own}
		}
	}
}
