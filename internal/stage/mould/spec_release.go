package mould

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/release"
)

// Way is how part and mould come apart.
type Way string

// The ways: in one pull; the mould built in pieces that are drawn out of the whole
// part; the part made or cut in pieces that are joined again; the plug dug out,
// dissolved, broken up or melted out. Nothing frees a part that is locked.
const (
	InOnePull  Way = "whole"
	SplitMould Way = "split-mould"
	SplitPart  Way = "split-part"
	LostMould  Way = "lost-plug"
	Locked     Way = "locked"
)

// Release is the job file's section `mould.release`: how the part may come off.
type Release struct {
	Way      Way       `yaml:"way"`       // whole | split-mould | split-part | lost-plug; left out: whole if that goes, else the plan names the ways that do
	OnePiece bool      `yaml:"one_piece"` // the part may not be cut
	Flange   si.Length `yaml:"flange"`    // width of a split cavity's flanges, or of the lap over a cut part; 0: usual
}

// Limits of a flange or lap, m.
const (
	leastFlange = 5e-3
	mostFlange  = 0.5
)

func (r *Release) check() error {
	if r == nil {
		return nil
	}
	switch r.Way {
	case "", InOnePull, SplitMould, SplitPart, LostMould:
	default:
		return &fault.Input{Field: "mould.release.way", What: "way is " + string(r.Way), Do: "write whole, split-mould, split-part or lost-plug, or leave it out"}
	}
	if r.OnePiece && r.Way == SplitPart {
		return &fault.Input{Field: "mould.release.one_piece", What: "a part in one piece can't be split", Do: "take this line out, or choose another way"}
	}
	if w := float64(r.Flange); w != 0 && !(leastFlange <= w && w <= mostFlange) {
		return &fault.Range{Field: "mould.release.flange", Value: 1e3 * w, Min: 1e3 * leastFlange, Max: 1e3 * mostFlange, Unit: " mm", Why: "bolts, tape or cloth must find room on it"}
	}
	return nil
}

// Warmth is what the wall and the air round it do to the fit of part and mould.
type Warmth struct {
	Wall    release.Wall
	Gel     si.Temperature // of the resin as it sets
	Hottest si.Temperature // of cure and post-cure on the mould; no more than the mould stands
	Room    si.Temperature // in which the part is taken off
}

// heat adds the mould's own growth, that of its first material, the body; nil
// where it is not known.
func (w *Warmth) heat(ms []Material) (*release.Wall, *release.Heat) {
	if w == nil || len(ms) == 0 || !ms[0].Record.Alpha.Known {
		return nil, nil
	}
	return &w.Wall, &release.Heat{Gel: w.Gel, Hottest: w.Hottest, Room: w.Room, Mould: ms[0].Record.Alpha.Value}
}

// lost is how the body of the mould can be lost.
func lost(in Input) release.Lost {
	if in.Mould.Kind == Cavity || len(in.Materials) == 0 {
		return release.Keep
	}
	return release.Lost(in.Materials[0].Record.Lost)
}
