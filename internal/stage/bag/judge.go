package bag

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Limits of the pressing.
const (
	// scatter is that of the fibre fraction of measured stacks. Common practice, no source.
	scatter = 0.02
	// drier is by how much the pressed fibre fraction may lie above the one that the
	// laminate is reckoned with.
	drier = 3 * scatter
	// wettest is the least fibre fraction of a bagged part: below it the bag did
	// nothing that hand work does not. Common practice, no source.
	wettest = 0.40
	// stiffest is the viscosity, Pa·s, above which resin hardly bleeds from a common
	// stack before it gels; practice says 10 to 20. Common practice, no source.
	stiffest = 10.0
)

func (r *Result) tell(f fault.Finding) {
	f.Stage = "bag"
	r.Findings = append(r.Findings, f)
}

func gelsFirst(share float64) fault.Finding {
	return fault.Finding{Severity: fault.Caution, Code: "gels-before-pressed",
		What: "The resin gels before the cloth is pressed home.", Why: "a thick stack, a late bag or a film with few holes bleeds too slowly",
		Do: "get the vacuum on sooner, use a slower hardener, or press a thick stack in two goes"}.
		Against(100*share, 90, "%")
}

func bleederFull(in Input, home, takes float64) fault.Finding {
	f := fault.Finding{Severity: fault.Caution, Code: "bleeder-full",
		What: "The bleeder fills up before the cloth is pressed home.",
		Why:  "a soaked bleeder takes no more resin and lets no air through", Do: "lay more bleeder, or accept a wetter part"}
	if in.solidFilm() {
		f.Severity, f.Code, f.What = fault.Note, "film-without-holes", "The film has no holes, so that only the peel ply takes resin."
		f.Why, f.Do = "nothing passes it to the bleeder", "lay a perforated film where resin is to leave, or accept a wetter part"
	}
	return f.Against(1000*home, 1000*takes, "g/m^2")
}

// soaked is how full a bleeder may get that must carry the air too: its capacity is
// then half as much again as it takes up. Common practice, no source.
const soaked = 2.0 / 3

func noDryFelt(full float64) fault.Finding {
	return fault.Finding{Severity: fault.Caution, Code: "no-dry-breather",
		What: "The bleeder soaks up most of what it can hold, and no breather lies over it.",
		Why:  "a soaked felt lets no air through, and the vacuum ends where it begins",
		Do:   "lay a film and a dry breather over the bleeder (bag.breather), or one more layer of bleeder"}.
		Against(100*full, 100*soaked, "%")
}

// atGel finds the pressure that the resin is left with at the mould face, and by how
// much air that is shut in there has grown. With rest, the cloth carries the push and
// the resin no more than the bag's own pressure.
//
//	p = p_bag + push − σ
//
// σ is what the fibres carry. The bubble was shut in under the barometer's pressure, at
// the shop's temperature: see [grown].
//
// Source: [gutowski1987] for the shared load.
func (s *stack) atGel(in Input, r *Result) {
	v := 1 / (1 + s.e[0])
	p := r.Absolute + si.Pressure(max(0, s.push-s.cloth[0].bedStress(v)))
	r.ResinPressure = p
	from, to := in.Shop, in.Warmest
	if from <= 0 || to <= 0 {
		from, to = 1, 1 // not known: as warm as it was
	}
	r.AirGrows = grown(r.Barometer, p, from, to)
	if r.AirGrows > grownMuch {
		r.tell(fault.Finding{Severity: fault.Note, Code: "trapped-air",
			What: fmt.Sprintf("Air that is shut in under the bag grows to %.1f times its size.", r.AirGrows),
			Why:  "pressed home, the cloth carries the bag's push, and the resin between is left with little more than the bag's own pressure",
			Do:   "roll the air out ply by ply, and have the vacuum on while the resin is thin, so that bubbles find their way out"}.
			Against(r.AirGrows, grownMuch, "times"))
	}
}

// grownMuch is the growth of trapped air worth a word: at half vacuum it is 2, at
// 22 inHg at sea level 3.8. Judgement.
const grownMuch = 5.0

// judge holds the pressed stack against what the laminate was reckoned with.
func (s *stack) judge(in Input, r *Result) {
	reckoned, home := s.fraction(s.start), 0.0
	for i, c := range s.cloth {
		home += s.height[i] / (c.CompactedAt * math.Pow(s.push/1e5, c.Exponent))
	}
	solid := 0.0
	for _, h := range s.height {
		solid += h
	}
	home = solid / home
	if len(in.Viscosity) > 0 && in.Viscosity[0].Viscosity > stiffest {
		r.tell(fault.Finding{Severity: fault.Caution, Code: "bag-late",
			What: "When the vacuum comes on the resin is too stiff to bleed.",
			Why:  "resin thickens long before it gels, and the time to press a stack grows with it",
			Do:   "get the bag down sooner: more hands, smaller batches laid later, a cooler shop or a slower hardener"}.
			Against(float64(in.Viscosity[0].Viscosity), stiffest, "Pa*s"))
	}
	switch {
	case reckoned > home+scatter:
		r.tell(fault.Finding{Severity: fault.Caution, Code: "laid-dry",
			What: "The stack is laid drier than this vacuum presses it.",
			Why:  "the cloth springs up until it holds more than its resin fills, and what is left is voids",
			Do:   "wet it out with more resin (laminate.fibre_fraction), or pull a deeper vacuum"}.Against(reckoned, home, ""))
	case r.Fraction > reckoned+drier:
		r.tell(fault.Finding{Severity: fault.Note, Code: "too-dry",
			What: fmt.Sprintf("Pressed, the part comes out drier than the laminate is reckoned with, %.2f mm thick.", 1000*float64(r.Thickness)),
			Why:  "stiffness in bending goes with the cube of the thickness; the fibres, and so the strength in the plane, are the same",
			Do:   "set laminate.fibre_fraction near what the bag gives; to keep more resin in the part ease the vacuum, take less bleeder or a film with fewer holes"}.
			Against(r.Fraction, reckoned+drier, ""))
	case r.Fraction < wettest:
		r.tell(fault.Finding{Severity: fault.Note, Code: "too-wet",
			What: "Even pressed, the part stays as wet as hand work.",
			Why:  fmt.Sprintf("pressed home this cloth would come to %.2f", home),
			Do:   "let more resin out: bleeder, perforated film, an earlier or deeper vacuum; or wet it out with less"}.
			Against(r.Fraction, wettest, ""))
	}
}
