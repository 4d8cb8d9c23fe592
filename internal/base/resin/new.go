package resin

import (
	"errors"
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// New makes the law of the resin called name from its record. A record without
// kinetics, or with constants that can't be, is refused with the field path.
//
// model kamal and nth-order take the constants as they stand; data-sheet (or a
// record with a data_sheet and no kinetics) is calibrated, see [Fit].
//
// Readings that the shop took of this resin stand over both, see [GelCup].
func New(name string, r material.Resin, cups ...GelCup) (Law, error) {
	at := "materials.resins." + name
	l, err := fromRecord(at, name, r)
	if err != nil || len(cups) == 0 {
		return l, err
	}
	return heed(at, r, l, cups)
}

func fromRecord(at, name string, r material.Resin) (Law, error) {
	cp, k, gel := defaultsOf(r)
	l := Law{Name: name, Cp: cp, K: k, Gel: gel, Density: r.Density.Or(1150), Heat: heatOf(r), Firm: firm}
	if err := l.readGlass(at, r); err != nil {
		return Law{}, err
	}
	if r.Viscosity.Known {
		l.Flow = &Flow{Fresh: r.Viscosity.Value, At: r.Viscosity.At, E: r.ViscosityE.Or(55e3), Rise: float64(r.ViscosityRise.Or(0))}
		if l.Flow.At == 0 {
			l.Flow.At = si.Celsius(25)
		}
	}
	if err := errors.Join(checkRecord(at, l), checkMix(at, r.Mix), checkHandling(at, r)); err != nil {
		return Law{}, err
	}
	switch {
	case r.Kinetics == nil && r.Sheet == nil:
		return Law{}, &fault.Input{Field: at + ".kinetics", What: "is missing, so how this resin cures is not known",
			Do: "give kinetics: {model: ...} or the numbers of its data sheet under data_sheet:"}
	case r.Kinetics == nil || r.Kinetics.Model == material.FromSheet:
		if r.Sheet == nil {
			return Law{}, &fault.Input{Field: at + ".data_sheet", What: "is missing, and kinetics says model: data-sheet",
				Do: "give data_sheet: {pot_life: ..., film_gel: ..., ...}"}
		}
		return calibrate(at, r, l)
	}
	var err error
	if l.Kinetics, err = readKinetics(at+".kinetics", *r.Kinetics); err != nil {
		return Law{}, err
	}
	l.Diffusion, err = readDiffusion(at, r)
	return l, err
}

// Usual glass constants: uncured mixes of epoxy and amine lie at -35 to -55
// degC and λ at 0.3 to 0.5 (from memory).
const (
	glassStart  = 273.15 - 45
	glassLambda = 0.4
)

func (l *Law) readGlass(at string, r material.Resin) error {
	if !r.Tg.Full.Known {
		return &fault.Input{Field: at + ".tg.full", What: "is missing: the glass transition of the fully cured resin",
			Do: "take it from the data sheet (after the full post-cure), like tg: {full: \"95 degC\"}"}
	}
	l.Glass = Glass{Start: r.Tg.Start.Or(glassStart), Full: r.Tg.Full.Value, Lambda: float64(r.Tg.Lambda.Or(glassLambda))}
	return nil
}

func checkRecord(at string, l Law) error {
	for _, c := range []struct {
		field           string
		x, low, high    float64
		unit, whyLimits string
	}{
		{"tg.start", l.Glass.Start.Celsius(), -100, 60, " degC", "an uncured laminating resin is glassy only in deep frost"},
		{"tg.full", l.Glass.Full.Celsius(), l.Glass.Start.Celsius() + 10, 350, " degC", "cure raises the glass transition above tg.start"},
		{"tg.lambda", l.Glass.Lambda, 0.05, 1, "", "a ratio of heat capacity steps, usually 0.3 to 0.5"},
		{"gel_conversion", l.Gel, 0.05, 0.95, "", "between the theory for very branched and for bare chains"},
		{"heat_of_reaction", float64(l.Heat) / 1e3, 1, 1200, " J/g", "epoxies with amine give 350 to 550"},
		{"density", float64(l.Density), 500, 3000, " kg/m^3", "cured resin, filled at most"},
		{"specific_heat", float64(l.Cp), 500, 4000, " J/(kg*K)", "organic liquids and solids"},
		{"conductivity", float64(l.K), 0.02, 5, " W/(m*K)", "organic liquids and solids"},
	} {
		if err := fault.Check(at+"."+c.field, c.x, c.low, c.high, c.unit, c.whyLimits); err != nil {
			return err
		}
	}
	if l.Flow == nil {
		return nil
	}
	return errors.Join(fault.Check(at+".viscosity", float64(l.Flow.Fresh), 1e-3, 1e4, " Pa*s", "water below, putty above"),
		fault.Check(at+".viscosity_rise", l.Flow.Rise, 0, 60, "", "how steeply the viscosity grows with the degree of cure; prepregs have 14"))
}

// checkMix refuses a mixing ratio without resin or without hardener. A record
// that gives none at all may stand: its cure is known all the same.
func checkMix(at string, m material.Mix) error {
	if m == (material.Mix{}) {
		return nil
	}
	if !(m.Resin > 0 && m.Hardener > 0) {
		return &fault.Input{Field: at + ".mix", What: fmt.Sprintf("is %g parts of resin to %g of hardener", m.Resin, m.Hardener),
			Do: "give both, parts by mass above 0, like mix: {resin: 100, hardener: 30}"}
	}
	return fault.Check(at+".mix.hardener", m.Hardener/m.Resin, 0.01, 2, " parts to one of resin", "epoxies take 0.1 to 1")
}

// checkHandling checks what the record says of work with the resin.
func checkHandling(at string, r material.Resin) error {
	if r.WetDrop.Known {
		if err := fault.Check(at+".wet_drop", float64(r.WetDrop.Value), 0, 100, " K", "moisture costs epoxies 10 to 40 K of glass transition"); err != nil {
			return err
		}
	}
	if r.RampLimit.Known {
		return fault.Check(at+".ramp_per_hour", float64(r.RampLimit.Value), 0.1, 600, " K", "heating is slow, but not still")
	}
	return nil
}

func readKinetics(at string, k material.Kinetics) (Kinetics, error) {
	out := Kinetics{A1: k.A1.Value, E1: k.E1.Value, A2: k.A2.Value, E2: k.E2.Value,
		M: float64(k.M.Value), N: float64(k.N.Or(1)), Min: k.Min.Value, Max: k.Max.Value}
	if !k.A1.Known || !k.E1.Known {
		return out, &fault.Input{Field: at + ".A1", What: "A1 and E1 are needed by every rate law",
			Do: "write A1: \"1.2e3 1/s\", E1: \"58 kJ/mol\""}
	}
	switch k.Model {
	case material.NthOrder:
		out.A2 = 0
	case material.Kamal:
		if !k.A2.Known || !k.E2.Known || !k.M.Known || !k.N.Known {
			return out, &fault.Input{Field: at, What: "model kamal needs A1, E1, A2, E2, m and n",
				Do: "add what is missing, or write model: nth-order"}
		}
	default:
		return out, &fault.Input{Field: at + ".model", What: "is " + quote(string(k.Model)),
			Do: "write kamal, nth-order or data-sheet"}
	}
	for _, c := range []struct {
		field        string
		x, low, high float64
		unit, why    string
	}{
		{"A1", float64(out.A1), 1e-300, 1e40, " 1/s", "with nothing to start it the reaction never starts"},
		{"E1", float64(out.E1) / 1e3, 0, 400, " kJ/mol", "activation energies of cure are 40 to 200"},
		{"A2", float64(out.A2), 0, 1e40, " 1/s", "a rate constant"},
		{"E2", float64(out.E2) / 1e3, 0, 400, " kJ/mol", "activation energies of cure are 40 to 200"},
		{"m", out.M, 0, 5, "", "a reaction order"},
		{"n", out.N, 0, 6, "", "a reaction order"},
	} {
		if err := fault.Check(at+"."+c.field, c.x, c.low, c.high, c.unit, c.why); err != nil {
			return out, err
		}
	}
	return out, nil
}

func quote(s string) string {
	if s == "" {
		return "not given"
	}
	return "\"" + s + "\""
}

// usual shape of the diffusion limit: see calibrate for the shift.
const (
	diffusionShift = 4.0
	diffusionWidth = 5.0
)

func readDiffusion(at string, r material.Resin) (*Diffusion, error) {
	if r.Diffusion == nil {
		return nil, nil
	}
	d := &Diffusion{Shift: float64(r.Diffusion.Shift.Or(diffusionShift)), Width: float64(r.Diffusion.Width.Or(diffusionWidth))}
	if err := fault.Check(at+".diffusion.width", d.Width, 0.5, 50, " K", "narrower is a jump, wider no limit"); err != nil {
		return nil, err
	}
	return d, fault.Check(at+".diffusion.shift", d.Shift, -60, 100, " K", "the glass transition runs ahead of the part by tens of kelvin")
}

// heatOf returns the heat of reaction a mass of mix: the record's, else from
// the mixing ratio r = hardener/resin as ΔH / (EEW·(1+r)), which takes the resin
// to be undiluted and the ratio stoichiometric (good to some 12 %).
func heatOf(r material.Resin) si.SpecificEnergy {
	if r.HeatOfReaction.Known {
		return r.HeatOfReaction.Value
	}
	if !(r.Mix.Resin > 0 && r.Mix.Hardener > 0) {
		return si.SpecificEnergy(byClass[r.Class].heat.value)
	}
	return HeatOfMix(massPerEquivalent, massPerEquivalent*r.Mix.Hardener/r.Mix.Resin)
}
