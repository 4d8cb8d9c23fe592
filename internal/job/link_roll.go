package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/nest"
	"laywright/internal/stage/plies"
)

func (l link) rollLacks() []string {
	if l.spec.Roll != nil && len(l.spec.Roll.Pieces) > 0 {
		return nil
	}
	if l.plan.Plies == nil {
		return []string{"plies or roll.pieces"}
	}
	return lacking(!l.unrollable(), "pieces that can be cut from the roll")
}

// unrollable tells whether the plies have a piece that no roll gives: the plan's
// findings say which.
func (l link) unrollable() bool {
	for _, f := range l.plan.Plies.Findings {
		if f.Code == plies.WiderThanRoll || f.Code == plies.PieceOverlaps {
			return true
		}
	}
	return false
}

// roll lays the pieces of each fabric on that fabric's rolls, or the pieces that
// the job gives by itself.
func (l link) roll() (in nest.Input, err error) {
	defer func() { in.Watch = l.inputs.Search }()
	spec := nest.Spec{}
	if l.spec.Roll != nil {
		spec = *l.spec.Roll
	}
	spec.Stock = slices.Concat(spec.Stock, l.inputs.Shelf)
	if spec.SoldBy == 0 {
		spec.SoldBy = soldBy(l.spec.system())
	}
	if len(spec.Pieces) > 0 {
		in = spec.Input(l.spec.Job.Seed)
		in.Rolls[0].Remnant = l.spec.Job.mark()
		return in, nil
	}
	for _, p := range l.plan.Plies.Plies {
		f, err := material.Pick(l.records.Fabrics, "fabric", "laminate.stack", p.Fabric)
		if err != nil {
			return in, err
		}
		r := l.rollOf(&in, p.Fabric, spec, f)
		for _, piece := range p.AllPieces() {
			r.Pieces = append(r.Pieces, nest.Piece{Name: piece.Name, Outline: Polygon(piece.Outline), Group: fmt.Sprintf("ply %d", p.Number),
				Count: max(1, l.spec.Job.Quantity), Turns: turns(spec.Turn, f), Flip: spec.Flip && f.MayFlip})
		}
	}
	return in, nil
}

// rollOf returns the roll of that material, a new one if there is none yet.
func (l link) rollOf(in *nest.Input, name string, spec nest.Spec, f material.Fabric) *nest.Roll {
	for i := range in.Rolls {
		if in.Rolls[i].Material == name {
			return &in.Rolls[i]
		}
	}
	r := spec.Roll(name, l.spec.Job.Seed)
	r.Width = cmp.Or(spec.Width, f.Width.Or(usualRollWidth))
	r.Search = cmp.Or(spec.Search, usualSearch)
	r.Edge = max(spec.Edge, f.Selvedge.Or(0))
	r.Remnant = l.spec.Job.mark() + "-" + name
	in.Rolls = append(in.Rolls, r)
	return &in.Rolls[len(in.Rolls)-1]
}

const (
	usualRollWidth si.Length = 1.27 // 50 in, the commonest
	usualSearch    si.Time   = 2

	yard si.Length = 0.9144
)

// soldBy is the length that cloth is bought in whole lengths of.
func soldBy(s si.System) si.Length {
	if s == si.US {
		return yard
	}
	return 1
}

// mark is what names of leftovers begin with.
func (h Header) mark() string { return cmp.Or(h.Part, h.Name, "left") }

// evenly is how far the share of the warp may lie from a half in cloth that counts as
// balanced: within what weavers allow. Common practice, no source.
const evenly = 0.02

// turns are the ways a piece of that cloth may lie: a flat outline has the warp along
// its own x, and half a turn leaves it so. Cloth with a nap or a tracer has one way;
// quarter turns put the weft in the warp's place, which only balanced cloth bears.
func turns(asked []float64, f material.Fabric) (out []si.Angle) {
	if f.OneWay {
		return []si.Angle{0}
	}
	if len(asked) == 0 {
		asked = []float64{0, 180}
	}
	for _, deg := range asked {
		if balanced(f) || alongWarp(deg) {
			out = append(out, si.Degrees(deg))
		}
	}
	return out
}

func balanced(f material.Fabric) bool { return math.Abs(float64(f.WarpShare.Or(0))-0.5) <= evenly }

func alongWarp(deg float64) bool { return math.Abs(math.Remainder(deg, 180)) < 1e-9 }

// cutRules says which of the asked ways of lying a cloth does not bear.
func (p *Plan) cutRules() (out []fault.Finding) {
	if p.Roll == nil || p.Plies == nil || p.Spec.Roll == nil {
		return nil
	}
	add := func(code, what, why, do string) {
		out = append(out, fault.Finding{Stage: "roll", Severity: fault.Note, Code: code, What: what, Why: why, Do: do})
	}
	for _, c := range p.Cloth {
		f := p.records.Fabrics[c.Material]
		switch across := slices.ContainsFunc(p.Spec.Roll.Turn, func(deg float64) bool { return !alongWarp(deg) }); {
		case f.OneWay && len(p.Spec.Roll.Turn) > 1:
			add("cloth-runs-one-way", "Pieces of "+c.Material+" all lie the same way round.", "it has a nap or a tracer", "leave it so")
		case across && !balanced(f):
			add("cloth-not-balanced", "Pieces of "+c.Material+" keep their warp along the roll.", "warp and weft do not carry alike: turned a quarter a piece would be of another ply angle",
				"write the quarter turns for balanced cloth only")
		}
		if p.Spec.Roll.Flip && !f.MayFlip {
			add("faces-differ", "No piece of "+c.Material+" is cut face down.", "its two faces are not alike", "leave it so")
		}
	}
	return out
}
