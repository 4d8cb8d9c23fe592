package plies

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v4"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Spec is the section `plies` of a job file.
type Spec struct {
	Seed          bind.Auto[bind.Point] `yaml:"seed"`                                        // where each ply is laid down first
	Warp          bind.Direction        `yaml:"warp"`                                        // of the warp at the seed, for angle 0; default [1, 0, 0]
	Lap           *si.Length            `yaml:"lap"`                                         // of joined pieces; default 15 mm
	Stagger       *si.Length            `yaml:"stagger"`                                     // of seams in neighbouring plies; default 25 mm
	Mode          string                `yaml:"mode"`                                        // lapped | butted; default lapped
	Slits         Slits                 `yaml:"slits"`                                       // auto | none | drawn
	MoreSlits     bool                  `yaml:"more_slits"`                                  // beside drawn ones the program may place others
	KeepOff       []Ball                `yaml:"keep_off"`                                    // places where no cut runs
	TrimAllowance *si.Length            `yaml:"trim_allowance"`                              // cloth cut beyond the trim line; default 20 mm
	Carrier       *si.Length            `yaml:"carrier" least:"0" most:"0.2"`                // margin of the film that a piece is cut on; default 20 mm
	Tolerance     *si.Angle             `yaml:"direction_tolerance" least:"0" most:"1.5708"` // of a yarn's direction; default 3°
}

// Ball is a place that is kept free of cuts: a bolt, a hinge, a stress peak.
type Ball struct {
	At     bind.Point `yaml:"at"`
	Radius si.Length  `yaml:"radius" above:"0" most:"5"`
}

// Slits says who places the slits: the program, nobody, or the person.
type Slits struct {
	None  bool
	Drawn []Drawn
}

// Drawn is a cut that the person draws: the surface is cut along the straight
// line over it from the inner end to the rim nearest to the other end, or, where
// it goes through, from rim to rim.
type Drawn struct {
	From    bind.Point `yaml:"from"`
	To      bind.Point `yaml:"to"`
	Through bool       `yaml:"through"` // parts the ply in two, or opens a tube
	Plies   []int      `yaml:"plies"`   // numbers of the plies that it is for; default all
}

// cuts tells whether the line is drawn for a ply.
func (d Drawn) cuts(ply int) bool { return len(d.Plies) == 0 || slices.Contains(d.Plies, ply) }

// Forms are two words and a list of lines.
func (Slits) Forms() []any { return []any{"auto", "none", []Drawn{}} }

// Bind reads auto, none, or a list of {from: ..., to: ...}.
func (s *Slits) Bind(b *bind.Binder, path string, n *yaml.Node) {
	switch {
	case n.Kind == yaml.ScalarNode && n.Value == "auto":
	case n.Kind == yaml.ScalarNode && n.Value == "none":
		s.None = true
	case n.Kind == yaml.SequenceNode:
		b.Into(&s.Drawn, path, n)
		for i, d := range s.Drawn {
			if r3.Norm(r3.Sub(d.From.V, d.To.V)) == 0 {
				b.Fail(path, n, "slit %d of %s begins where it ends; give it from: and to:", i+1, path)
			}
		}
	default:
		b.Fail(path, n, "slits must be auto, none or a list of lines {from: ..., to: ...}")
	}
}

// Usual measures at the bench, common practice.
const (
	usualLap       = si.Length(0.015)
	usualStagger   = si.Length(0.025)
	usualAllowance = si.Length(0.020)
	usualCarrier   = si.Length(0.020)
)

func or(given *si.Length, usual si.Length) si.Length {
	if given == nil {
		return usual
	}
	return *given
}

// check refuses measures that can't be meant. It does not check the seed: a
// place off the surface is moved onto it, with a finding.
func (s Spec) check() error {
	for _, c := range []struct {
		key  string
		x    si.Length
		most float64
		why  string
	}{
		{"lap", or(s.Lap, usualLap), 200, "a lap is a strip along a seam"},
		{"stagger", or(s.Stagger, usualStagger), 500, "seams of neighbouring plies lie side by side"},
		{"trim_allowance", or(s.TrimAllowance, usualAllowance), 500, "what is cut off again is waste"},
	} {
		if err := fault.Check("plies."+c.key, 1000*float64(c.x), 0, c.most, " mm", c.why); err != nil {
			return err
		}
	}
	switch s.Mode {
	case "", "lapped", "butted":
		return nil
	}
	return &fault.Input{Field: "plies.mode", What: fmt.Sprintf("%q is not a way to join pieces", s.Mode), Do: "write lapped or butted"}
}
