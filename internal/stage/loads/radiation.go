package loads

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// What is taken where an exhaust says nothing.
const (
	// usualEmissivity is that of oxidised steel and of a painted or bare laminate.
	// Source: [incropera2007], from memory.
	usualEmissivity = 0.8
	// usualBay is the air of a cowl after shut-down; usualBayFilm is of air that
	// moves by its own heat. Assumed.
	usualBay     si.Temperature  = 273.15 + 80
	usualBayFilm si.HeatTransfer = 8
	// polished is the emissivity of a clean aluminium or stainless sheet.
	// Source: [incropera2007], from memory.
	polished = 0.1
	// stefanBoltzmann, W/(m² K⁴). Source: [incropera2007].
	stefanBoltzmann = 5.670e-8
)

// shine is an exhaust pipe and the wall it shines on, with the blanks filled in.
type shine struct{ pipe, bay, view, emissivity, film, kept float64 }

func (e *Exhaust) check() error {
	if e == nil {
		return nil
	}
	const field = "duty.loads.exhaust"
	return first(
		fault.Check(field+".temperature", e.Temperature.Celsius(), 50, 1100, " degC", "a pipe's wall"),
		fault.Check(field+".view", float64(e.View), 1e-3, 1, "", "share of what the wall sees that is pipe; a fifth is usual a hand's breadth away"))
}

func (e Exhaust) filled() shine {
	s := shine{pipe: float64(e.Temperature), bay: float64(usualBay), view: float64(e.View), emissivity: usualEmissivity, film: float64(usualBayFilm), kept: 1}
	if e.Bay != nil {
		s.bay = float64(*e.Bay)
	}
	if e.Emissivity != nil {
		s.emissivity = float64(*e.Emissivity)
	}
	if e.Film != nil {
		s.film = float64(*e.Film)
	}
	if e.Shield { // of parallel plates: the sheet's two faces stand in the way in series
		bare := 2/s.emissivity - 1
		s.kept = bare / (bare + 2/polished - 1)
	}
	return s
}

// flux returns the radiation that a wall at t takes from the pipe, W/m².
//
//	q = ε·F·σ·(T_pipe⁴ − T⁴)
//
// F is the view of the pipe from the wall. Pipe and wall are grey and alike; what
// is thrown back and forth between them is left out, which errs upwards. A shield
// between keeps the share (2/ε − 1)/(2/ε − 1 + 2/ε_s − 1) of it.
//
// Source: [incropera2007] chapter 13.
func (s shine) flux(t float64) float64 {
	return s.kept * s.emissivity * s.view * stefanBoltzmann * (math.Pow(s.pipe, 4) - math.Pow(t, 4))
}

// settles returns where the wall ends: what it takes from the pipe it gives to the
// bay's air and walls,
//
//	q(T) = h·(T − T_b) + ε·(1 − F)·σ·(T⁴ − T_b⁴)
//
// Heat into the part behind it is left out.
func (s shine) settles() float64 {
	left := func(t float64) float64 {
		return s.flux(t) - s.film*(t-s.bay) - s.emissivity*(1-s.view)*stefanBoltzmann*(math.Pow(t, 4)-math.Pow(s.bay, 4))
	}
	low, high := min(s.bay, s.pipe), max(s.bay, s.pipe)
	t, err := num.Root(left, low, high, 1e-3)
	if err != nil { // at the ends the wall takes heat, and gives it: there is a root
		return high
	}
	return t
}

// shineOn sets what an exhaust pipe does to the wall, and heats the load cases.
func (r *Result) shineOn(l Spec) (out []fault.Finding) {
	if l.Exhaust == nil {
		return nil
	}
	s := l.Exhaust.filled()
	wall := si.Temperature(s.settles())
	q := s.flux(float64(wall))
	r.Radiated, r.Radiation = &wall, &q
	if r.Wall != nil && wall <= *r.Wall {
		return nil
	}
	if l.Wall != nil {
		out = append(out, finding(fault.Caution, "wall-below-exhaust", "The exhaust heats the wall beyond what it is made for.",
			"radiation and the bay's air balance there, with no air moving; the figure is good to some tens of kelvin",
			"set a polished sheet between with air on both sides, move the part, or measure with a temperature label").Against(wall.Celsius(), l.Wall.Celsius(), "degC"))
		return out
	}
	r.Wall = &wall
	return append(out, finding(fault.Note, "wall-by-exhaust", "The wall is taken as hot as the exhaust makes it.",
		"radiation and the bay's air balance there, with no air moving; the figure is good to some tens of kelvin",
		"measure with a temperature label, and give duty.loads.wall_temperature"))
}
