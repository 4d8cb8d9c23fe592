package duty

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
	"laywright/internal/stage/exchanger"
)

// What is taken where the box says nothing.
const (
	// usualTurn is the loss of a boxed turn through 180 degrees in velocity heads
	// of the plenum: two mitres one after the other, 2 × 1.25; 1.5 to 4.5 is met.
	// Source: [miller] for one mitre; the doubling is an assumption.
	usualTurn = 2.5
	// usualLeak is the share of the air past a separator that stands on the core
	// with a strip of foam; assumed.
	usualLeak si.Fraction = 0.01
	// evenShare is how much of a pass's core loss the plenum's velocity head may
	// be if the face is to be fed evenly, and shallowest the least depth of a
	// plenum that is made. Rule of manifolds and common practice, from memory.
	evenShare  = 0.1
	shallowest = 12e-3
)

// box is what surrounds the core.
type box struct {
	span   float64 // of a turn: across the separators' length, m; 0: not known
	face   float64 // m²; 0: not known
	depth  float64 // of the core, m; 0: not known
	plenum float64 // m; 0: as deep as an even flow needs
	turn   float64
}

// boxOf reads the box. The air turns along the tubes where the separators cut
// across them, so the turn is as wide as the face is high, and the other way
// round where they lie along.
func boxOf(h Heater) (box, error) {
	b := box{turn: usualTurn, depth: float64(h.Box.Depth)}
	face := h.Box.Face
	if g := h.Core.Geometry; g != nil {
		face, b.depth = &g.Face, float64(g.Depth)
	}
	if face != nil {
		b.span, b.face = float64(face.Height), float64(face.Width)*float64(face.Height)
		if h.Arrangement == exchanger.Along {
			b.span = float64(face.Width)
		}
		if err := fault.Check("duty.heater.box.face", b.span*1000, 10, 3000, " mm", "a core that a person can hold"); err != nil {
			return b, err
		}
	}
	if h.Box.Turn != nil {
		b.turn = *h.Box.Turn
	}
	if h.Box.Plenum != nil {
		b.plenum = float64(*h.Box.Plenum)
		if err := fault.Check("duty.heater.box.plenum", b.plenum*1000, 3, 1000, " mm", "free depth before and behind the core"); err != nil {
			return b, err
		}
	}
	if err := fault.Check("duty.heater.box.depth", b.depth*1000, 0, 500, " mm", "depth of the core"); err != nil {
		return b, err
	}
	return b, fault.Check("duty.heater.box.turn_loss", b.turn, 0, 20, "", "velocity heads of a boxed turn")
}

// needed returns the plenum's depth at which its velocity head is a tenth of
// each pass's core loss, m; 0 where face or loss is not known.
//
//	d = ṁ/(b·√(2ρ·0.1·Δp))
func (b box) needed(p exchanger.Performance, pressure si.Pressure) float64 {
	if b.span == 0 {
		return 0
	}
	deepest := shallowest
	for _, w := range p.Passes {
		if w.Loss <= 0 {
			return 0
		}
		rho := float64(air.Density(pressure, w.AirOut))
		deepest = max(deepest, float64(p.AirFlow)/(b.span*math.Sqrt(2*rho*evenShare*float64(w.Loss))))
	}
	return deepest
}

// turns returns the pressure loss of the turns between the passes, and whether it could be had.
//
//	Δp = Σ K·ρV²/2    V = ṁ/(ρ·d·b)
//
// d is the plenum's depth, b the side of the face that the turn spans.
func (b box) turns(p exchanger.Performance, pressure si.Pressure) (float64, bool) {
	n := len(p.Passes)
	depth := b.plenum
	if depth == 0 {
		depth = b.needed(p, pressure)
	}
	if depth == 0 || b.span == 0 {
		return 0, n == 1
	}
	sum := 0.0
	for _, w := range p.Passes[:n-1] {
		rho := float64(air.Density(pressure, w.AirOut))
		v := float64(p.AirFlow) / (rho * depth * b.span)
		sum += b.turn * rho * v * v / 2
	}
	return sum, true
}

// plate returns how far a plate with holes before the core may be open to feed the
// face evenly from a plenum that is too shallow, and what it then costs in the pass
// that asks for most, Pa: plate and core together lose ten times the plenum's head.
func (b box) plate(p exchanger.Performance, pressure si.Pressure) (open si.Fraction, loss float64) {
	open = 1
	for _, w := range p.Passes {
		rho := float64(air.Density(pressure, w.AirIn))
		along := float64(p.AirFlow) / (rho * b.plenum * b.span)
		through := float64(p.AirFlow) * float64(len(p.Passes)) / (rho * b.face)
		if extra := rho*along*along/2/evenShare - float64(w.Loss); extra > loss {
			open, loss = ducting.OpenFor(extra/(rho*through*through/2)), extra
		}
	}
	return open, loss
}
