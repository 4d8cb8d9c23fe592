package exchanger

import (
	"math"

	"laywright/internal/base/air"
	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Face is the front of a core. The tubes run along the width.
//
//	   width ─►
//	┌──────────────┐ ▲
//	│══════════════│ │ height: tubes and fins in turn
//	│/\/\/\/\/\/\/\│ │
//	│══════════════│ │    air goes into the page,
//	└──────────────┘      depth is how far
type Face struct {
	Width  si.Length `yaml:"width" above:"0"`
	Height si.Length `yaml:"height" above:"0"`
}

// Tubes are the tubes that carry the liquid: flat ones through the whole depth, or
// round ones in rows where the fins are plates.
type Tubes struct {
	Thickness   si.Length            `yaml:"thickness" above:"0"` // outside, across the air; 0: the fin record's
	Wall        si.Length            `yaml:"wall" above:"0"`      // 0: [usualWall]
	Film        si.HeatTransfer      `yaml:"film" above:"0"`      // on the tube's bare inner wall; 0: computed
	Turbulators bool                 `yaml:"turbulators"`
	Passes      int                  `yaml:"passes" least:"1"` // of the liquid through the bank; 0: 1
	Fouling     si.ThermalResistance `yaml:"fouling" least:"0"`
}

// Geometry is a core as measured with a rule, its fins by name.
type Geometry struct {
	Face  Face      `yaml:"face"`
	Depth si.Length `yaml:"depth" above:"0"`
	Fins  string    `yaml:"fins"`
	Tubes Tubes     `yaml:"tubes"`
}

// usualWall is the wall of a brazed aluminium tube; common practice, no source.
const usualWall si.Length = 0.4e-3

// Turbulators raise the laminar liquid film by turbulatedFilm and its loss by
// turbulatedLoss over the bare tube. Ranges 3 to 6 and 4 to 10, from memory, low
// confidence; the film takes the low end so that heat is not promised.
const (
	turbulatedFilm = 3.0
	turbulatedLoss = 7.0
)

// fins is a family of air-side surfaces.
type fins interface {
	length() float64 // the Reynolds number's
	colburn(re, pr float64) float64
	fanning(re float64) float64
	limits() Limits
	ranges() []Measure
	efficiency(h si.HeatTransfer, k si.Conductivity) float64 // of one fin
}

// Measure is a measure of a core against the range that a correlation was made from.
type Measure struct {
	Name             string
	Value, Low, High float64
	Unit             string
}

// straight is a fin between two flat tubes.
type straight struct{ thick, half float64 }

func straightOf(r material.Fins) straight {
	return straight{float64(r.Thickness), float64(r.Height) / 2}
}

func (f straight) efficiency(h si.HeatTransfer, k si.Conductivity) float64 {
	return FinEfficiency(h, k, si.Length(f.thick), si.Length(f.half))
}

// Surface is a core known by its geometry.
type Surface struct {
	surface                                fins
	k                                      si.Conductivity
	depth, face, sigma, airArea, finShare, // m, m², 1, m² of the whole core, 1
	wetted, wall, fouling, // m² of tube wall, m, m² K/W
	tubeArea float64 // m² of liquid section in one liquid pass
	film        si.HeatTransfer
	turbulators bool
	tube        channel
	runs        float64 // tube lengths that the liquid goes through
	liquid      *Fluid
}

// NewSurface lays out a core from its geometry g, fin record r and liquid. The
// liquid may be nil where g.Tubes.Film is given. field is the path of g.
//
// The number of tubes is height over pitch, not rounded.
func NewSurface(g Geometry, r material.Fins, liquid *Fluid, field string) (*Surface, error) {
	if g.Tubes.Thickness != 0 {
		r.TubeThick = g.Tubes.Thickness
	}
	if r.Family == "plate" {
		r.TubeThick = r.Diameter
	}
	if err := checkGeometry(g, r, field); err != nil {
		return nil, err
	}
	wall := g.Tubes.Wall
	if wall == 0 {
		wall = min(usualWall, r.TubeThick/4)
	}
	if g.Tubes.Film == 0 && liquid == nil {
		return nil, &fault.Input{Field: field + ".tubes.film", What: "the liquid's film can't be computed without its name and flow",
			Do: "give duty.heater.liquid.fluid and flow, or the film here"}
	}
	s := &Surface{k: r.K, depth: float64(g.Depth),
		face: float64(g.Face.Width) * float64(g.Face.Height), wall: float64(wall), fouling: float64(g.Tubes.Fouling),
		film: g.Tubes.Film, turbulators: g.Tubes.Turbulators, liquid: liquid}
	s.layOut(g, r)
	s.bank(g, r)
	return s, nil
}

// layOut works out the air side.
//
//	σ = (F_l−δ)(F_p−δ)/((F_l+D_m)F_p)    A/V = 2(F_l+F_p−δ)/(F_p(F_l+D_m))    D_h = 4σV/A
//
// for corrugated fins; offset strips by their own cell.
func (s *Surface) layOut(g Geometry, r material.Fins) {
	depth := float64(g.Depth)
	if r.Family == "plate" {
		x := newPlate(r, depth)
		fins, bare := x.areas()
		s.surface, s.sigma, s.finShare, s.airArea = x, x.sigma(), fins/(fins+bare), (fins+bare)*s.face*depth
		return
	}
	fp, fl, t, pitch := float64(r.Pitch), float64(r.Height), float64(r.Thickness), float64(r.Height+r.TubeThick)
	s.sigma = (fl - t) * (fp - t) / (pitch * fp)
	perVolume := 2 * (fl + fp - t) / (fp * pitch)
	s.finShare = fl / (fl + fp - t)
	switch r.Family {
	case "offset-strip":
		x := newStrip(r)
		w, h, l := fp-t, fl-t, float64(r.StripLength)
		perVolume = 4 * s.sigma / x.hydraulic
		s.finShare = (2*(h*l+h*t) + w*t) / (2*(w*l+h*l+h*t) + w*t)
		s.surface = x
	case "plain":
		s.surface = newPlain(r, depth)
	default:
		s.surface = newLouvred(r, depth, 4*s.sigma/perVolume)
	}
	s.airArea = perVolume * s.face * depth
}

// bank works out the liquid side: flat tubes as deep as the core, or round ones in
// rows.
func (s *Surface) bank(g Geometry, r material.Fins) {
	s.runs = math.Max(1, float64(g.Tubes.Passes))
	if x, ok := s.surface.(plate); ok {
		tubes, bore := float64(g.Face.Height)/x.across*x.rows, x.diameter-2*s.wall
		s.wetted = math.Pi * bore * float64(g.Face.Width) * tubes
		s.tubeArea = math.Pi / 4 * bore * bore * tubes / s.runs
		s.tube = channel{hydraulic: bore, along: float64(g.Face.Width) * s.runs, round: true}
		return
	}
	tubes := float64(g.Face.Height / (r.Height + r.TubeThick))
	s.wetted = 2 * float64(g.Depth) * float64(g.Face.Width) * tubes
	inside, across := float64(g.Depth)-2*s.wall, float64(r.TubeThick)-2*s.wall
	s.tubeArea = inside * across * tubes / s.runs
	s.tube = newChannel(inside, across, float64(g.Face.Width)*s.runs)
	s.tube.flux = true
}

// Limits returns the range of the air side's correlation.
func (s *Surface) Limits() Limits { return s.surface.limits() }

// Outside lists the measures of the core that lie outside what the air side's
// correlation was made from.
func (s *Surface) Outside() (out []Measure) {
	for _, m := range s.surface.ranges() {
		if !(m.Low <= m.Value && m.Value <= m.High) {
			out = append(out, m)
		}
	}
	return out
}

// Film returns conductance and loss of one pass.
//
//	1/UA = 1/(η_o·h·A)_air + t_w/(k·A_w) + R_f/A_w + 1/(h·A_w)_liquid    h = j·G·c_p·Pr^−⅔
//
// η_o = 1 − (A_f/A)(1 − η_f) is the surface efficiency with [FinEfficiency] η_f.
func (s *Surface) Film(c Conditions) (Film, error) {
	n, t := float64(c.Passes), c.air()
	flux := float64(c.AirFlow) * n / (s.sigma * s.face)
	re := flux * s.surface.length() / float64(air.Viscosity(t))
	pr := air.Prandtl(t)
	h := s.surface.colburn(re, pr) * flux * float64(air.SpecificHeat(t)) * math.Pow(pr, -2.0/3)
	eta := 1 - s.finShare*(1-s.surface.efficiency(si.HeatTransfer(h), s.k))
	liquid, loss, err := s.liquidSide(c)
	if err != nil {
		return Film{}, err
	}
	wetted := s.wetted / n
	resistance := n/(eta*h*s.airArea) + (s.wall/float64(s.k)+s.fouling+1/liquid)/wetted
	dp := lossThrough(flux, s.sigma, s.surface.fanning(re), s.airArea/(s.sigma*s.face), c)
	return Film{
		UA: si.Conductance(1 / resistance), Loss: si.Pressure(dp.total()), Reynolds: re,
		AirFilm: si.HeatTransfer(h), LiquidFilm: si.HeatTransfer(liquid), Surface: eta,
		Velocity: si.Velocity(flux / float64(c.meanDensity())), Residence: si.Time(s.depth * float64(c.meanDensity()) / flux), LiquidLoss: loss,
	}, nil
}

// liquidSide returns the film on the tube wall, W/(m² K), and the pressure loss
// of the liquid in the tubes (headers and fittings apart). Properties hold at
// the liquid's mean temperature; the colder film at the wall is left out, which
// flatters thick oil by up to a tenth.
func (s *Surface) liquidSide(c Conditions) (float64, si.Pressure, error) {
	if s.liquid == nil || c.LiquidFlow == 0 {
		return float64(s.film), 0, nil
	}
	p, err := s.liquid.At(c.Liquid, "duty.heater.liquid (its mean temperature in the core)")
	if err != nil {
		return 0, 0, err
	}
	v := float64(c.LiquidFlow) / (float64(p.Density) * s.tubeArea)
	re := float64(p.Density) * v * s.tube.hydraulic / float64(p.Viscosity)
	loss := 4 * s.tube.friction(re) * s.tube.along / s.tube.hydraulic * float64(p.Density) * v * v / 2
	film := s.tube.nusselt(re, p.Prandtl()) * float64(p.K) / s.tube.hydraulic
	if s.turbulators {
		film, loss = film*turbulatedFilm, loss*turbulatedLoss
	}
	if s.film > 0 {
		film = float64(s.film)
	}
	return film, si.Pressure(loss), nil
}

func checkGeometry(g Geometry, r material.Fins, field string) error {
	const why = "a core that a person can hold"
	in := func(key string, v si.Length, low, high float64) error {
		return fault.Check(field+"."+key, float64(v)*1000, low, high, " mm", why)
	}
	for _, err := range []error{
		in("face.width", g.Face.Width, 10, 3000), in("face.height", g.Face.Height, 10, 3000), in("depth", g.Depth, 5, 500),
		in("tubes.thickness", r.TubeThick, 0.2, float64(g.Depth)*1000),
		in("tubes.wall", g.Tubes.Wall, 0, float64(r.TubeThick)*1000/2.1),
	} {
		if err != nil {
			return err
		}
	}
	if g.Tubes.Passes < 0 || g.Tubes.Film < 0 || g.Tubes.Fouling < 0 {
		return &fault.Input{Field: field + ".tubes", What: "has a number below 0", Do: "give it as 0 or more"}
	}
	needed := r.Pitch > r.Thickness && r.Height > r.Thickness && r.Thickness > 0 && r.K > 0
	switch r.Family {
	case "louvred":
		needed = needed && r.LouvrePitch > 0 && r.LouvreLength > 0 && r.LouvreAngle > 0
	case "offset-strip":
		needed = needed && r.StripLength > 0
	case "plain":
	case "plate":
		needed = r.Pitch > r.Thickness && r.Thickness > 0 && r.K > 0 && r.Diameter > 0 && r.TubePitch > r.Diameter && r.RowPitch > 0
	default:
		return &fault.Input{Field: field + ".fins", What: "family " + r.Family + " is not known", Do: "write louvred, offset-strip, plain or plate"}
	}
	if !needed {
		return &fault.Input{Field: field + ".fins", What: "the record lacks a measure of its family, or its fins are thicker than their pitch",
			Do: "give fin_pitch, fin_length, fin_thickness, tube_thickness, conductivity, and louvre or strip measures; for plates fin_pitch, fin_thickness, tube_diameter, tube_pitch, row_pitch"}
	}
	return nil
}
