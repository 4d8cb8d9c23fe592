package duty

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
	"laywright/internal/stage/exchanger"
)

// usualPitch is the pitch of the wire in aircraft hose, 1/4 in; common practice, no source.
const usualPitch si.Length = 6.35e-3

// Loss coefficients of ends, in velocity heads. Source: [idelchik], from memory.
const (
	sharpEntrance = 0.5
	dump          = 1.0 // into a plenum or the cabin
)

// A bend of 90 degrees in velocity heads: drawn tube of radius 1.5 bores, hose
// bent as tight as it is laid, and a sharp mitre. Hose from common practice
// (0.5 to 1); the others from a public fluids library's [miller] and [rennels].
const (
	tubeBend  = 0.25
	hoseBend  = 0.75
	mitreBend = 1.25
)

// section is the inside of a duct: flow area, hydraulic diameter, and the friction it has.
type section struct {
	area, hydraulic float64
	friction        func(re float64) float64 // Darcy
	bend            float64
}

// lay checks a duct and works out its inside. field is its path.
func lay(d Duct, field string) (section, error) {
	kinds := 0
	for _, given := range []bool{d.Hose != 0, d.Round != 0, d.Rectangle != nil} {
		if given {
			kinds++
		}
	}
	if kinds != 1 {
		return section{}, &fault.Input{Field: field, What: "is not one kind of duct", Do: "give exactly one of hose, round and rectangle"}
	}
	if d.Place != "" && d.Place != Before && d.Place != After {
		return section{}, &fault.Input{Field: field + ".place", What: "is " + string(d.Place), Do: "write before or after (the heater)"}
	}
	s := shape(d)
	for _, err := range []error{
		fault.Check(field, s.hydraulic*1000, 5, 2000, " mm", "bore of a duct"),
		fault.Check(field+".length", float64(d.Length), 0, 100, " m", "a duct in an aircraft"),
		fault.Check(field+".slack", float64(d.Slack), 0, 0.5, "", "a hose pushed shorter than half has no data"),
		fault.Check(field+".roughness", float64(d.Roughness)*1000, 0, s.hydraulic*50, " mm", "less than a twentieth of the bore"),
		fault.Check(field+".pitch", float64(d.Pitch)*1000, 0, s.hydraulic*1000, " mm", "convolutions closer than the bore"),
		fault.Check(field+".count", float64(d.Count), 0, 50, "", "ducts side by side"),
	} {
		if err != nil {
			return section{}, err
		}
	}
	for i, b := range d.Bends {
		if err := fault.Check(fault.Numbered(field+".bends", i), b.Degrees(), 0, 180, " deg", "a bend"); err != nil {
			return section{}, err
		}
	}
	return s, nil
}

func shape(d Duct) section {
	count := math.Max(1, float64(d.Count))
	round := func(bore float64) section {
		return section{area: count * math.Pi / 4 * bore * bore, hydraulic: bore, bend: tubeBend}
	}
	var s section
	relative := func(re float64) float64 { return darcy(re, float64(d.Roughness)/s.hydraulic) }
	switch {
	case d.Hose != 0:
		s = round(float64(d.Hose))
		pitch := d.Pitch
		if pitch == 0 {
			pitch = usualPitch
		}
		f := hoseFriction(s.hydraulic, float64(pitch)) * crumple(d.Slack, d.Hose)
		s.friction, s.bend = func(float64) float64 { return f }, hoseBend
	case d.Round != 0:
		s = round(float64(d.Round))
		s.friction = relative
	default:
		a, b := float64(d.Rectangle.Width), float64(d.Rectangle.Height)
		s = section{area: count * a * b, hydraulic: hydraulicDiameter(a, b), bend: tubeBend, friction: relative}
	}
	if d.Mitred {
		s.bend = mitreBend
	}
	return s
}

func hydraulicDiameter(a, b float64) float64 { return 2 * a * b / (a + b) }

// hoseFriction returns the Darcy factor of a convoluted hose.
//
//	f = (D/s)·[1 − (D/(D + 0.438·s))²]²
//
// D bore, s pitch of the convolutions: each is a small sudden widening and
// narrowing. Holds for turbulent flow. Source: [hawthorne-vonhelms1963], from memory.
func hoseFriction(bore, pitch float64) float64 {
	x := bore / (bore + 0.438*pitch)
	return bore / pitch * math.Pow(1-x*x, 2)
}

// crumple returns how much more a hose loses that is not pulled straight.
//
//	1 + 0.58·r·e^(−0.126·D)    r slack in percent, D bore in inches
//
// Measured on 6 to 10 in ducts; smaller bores extrapolate. Source:
// [ashrae-fundamentals], from memory.
func crumple(slack si.Fraction, bore si.Length) float64 {
	return 1 + 0.58*100*float64(slack)*math.Exp(-0.126*float64(bore)/0.0254)
}

// darcy returns the Darcy friction factor: 64/Re to Re 2300, Colebrook's above
// 4000, a straight line between.
//
//	1/√f = −2·log₁₀(ε/3.7 + 2.51/(Re·√f))
//
// Source: [colebrook1939].
func darcy(re, relative float64) float64 {
	const laminar, turbulent = 2300, 4000
	if re <= laminar {
		return 64 / re
	}
	if re < turbulent {
		s := (re - laminar) / (turbulent - laminar)
		return 64/laminar*(1-s) + s*colebrook(turbulent, relative)
	}
	return colebrook(re, relative)
}

// colebrook solves for x = 1/√f by Newton's method. The function is convex and
// monotone, so it converges from Haaland's start to the last digit in few steps.
func colebrook(re, relative float64) float64 {
	x := -1.8 * math.Log10(6.9/re+math.Pow(relative/3.7, 1.11))
	for range 8 {
		inside := relative/3.7 + 2.51*x/re
		g := x + 2*math.Log10(inside)
		slope := 1 + 2*2.51/(re*inside*math.Ln10)
		x -= g / slope
	}
	return 1 / (x * x)
}

// angleShare returns a bend's loss over that of 90 degrees: 0.9·sin θ to 70°,
// then on a line through 1 at 90°, and 0.7 + 0.35·θ/90° above 100°.
//
// Source: [idelchik], from memory; the line between joins its two branches.
func angleShare(a si.Angle) float64 {
	d := a.Degrees()
	switch {
	case d <= 70:
		return 0.9 * math.Sin(float64(a))
	case d >= 100:
		return 0.7 + 0.35*d/90
	}
	return num.Linear([]float64{70, 90, 100}, []float64{0.9 * math.Sin(70*math.Pi/180), 1, 0.7 + 0.35*100/90}, d)
}

// expansion returns K of a sudden widening on the head before it, (1 − A₁/A₂)².
func expansion(ratio float64) float64 { return (1 - ratio) * (1 - ratio) }

// contraction returns K of a sudden narrowing on the head behind it,
// 0.5·(1 − A₂/A₁)^0.75. Source: [idelchik].
func contraction(ratio float64) float64 { return 0.5 * math.Pow(1-ratio, 0.75) }

// run is a chain of ducts on one side of the heater.
type run struct {
	ducts   []Duct
	inside  []section
	scooped bool // its first end is the ram inlet, whose loss is in the recovery
}

// layAll checks all ducts and parts them into those before and after the heater.
func layAll(ducts []Duct, ram bool) (before, after run, err error) {
	before.scooped = ram
	for i, d := range ducts {
		s, err := lay(d, fault.Numbered("duty.heater.ducts", i))
		if err != nil {
			return before, after, err
		}
		at := &after
		if d.Place == Before {
			at = &before
		}
		at.ducts, at.inside = append(at.ducts, d), append(at.inside, s)
	}
	return before, after, nil
}

// loss returns the pressure loss of the chain at a mass flow of air of density
// rho and temperature t: entrance, friction, bends, steps in area, and the last
// velocity head thrown away.
func (r run) loss(flow, rho float64, t si.Temperature) float64 {
	sum := 0.0
	mu := float64(exchanger.AirViscosity(t))
	for i, s := range r.inside {
		v := flow / (rho * s.area)
		head := rho * v * v / 2
		re := rho * v * s.hydraulic / mu
		k := s.friction(re) * float64(r.ducts[i].Length) / s.hydraulic
		for _, b := range r.ducts[i].Bends {
			k += s.bend * angleShare(b)
		}
		if i == 0 && !r.scooped {
			k += sharpEntrance
		}
		if i > 0 && s.area < r.inside[i-1].area {
			k += contraction(s.area / r.inside[i-1].area)
		}
		switch last := i == len(r.inside)-1; {
		case last:
			k += dump
		case r.inside[i+1].area > s.area:
			k += expansion(s.area / r.inside[i+1].area)
		}
		sum += k * head
	}
	return sum
}
