package bench

import (
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

// PlyTime is how long one ply of area a keeps so many hands busy.
func (p Pace) PlyTime(a si.Area, hands int) si.Time {
	p = p.orUsual()
	if hands > 1 {
		return max(p.WetOut.of(a), p.Place.of(a))
	}
	return p.WetOut.of(a) + p.Place.of(a)
}

// UntilVacuum is from the first mixing until the vacuum is on.
func (s Spec) UntilVacuum(plies []Ply, pots int, part si.Area) si.Time {
	p := s.Pace.orUsual()
	sum := si.Time(pots)*p.mix() + p.Bag.of(part)
	for _, ply := range plies {
		sum += p.PlyTime(ply.Area, s.Hands)
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
