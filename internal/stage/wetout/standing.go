package wetout

import (
	"errors"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// Standing is what becomes of the plan's pot if it is left standing in its cup,
// and what would not get so hot. What is not reached is absent.
type Standing struct {
	Mass     si.Mass        `json:"mass_kg"`
	Air      si.Temperature `json:"air_degC"`
	Gel      *si.Time       `json:"gel_s,omitempty"`
	To40     *si.Time       `json:"to_40_degC_s,omitempty"`
	To50     *si.Time       `json:"to_50_degC_s,omitempty"`
	Peak     si.Temperature `json:"peak_degC"`
	PeakAt   si.Time        `json:"peak_at_s"`
	RunsOff  bool           `json:"runs_off"`                 // peaks more than 40 K above the air
	Smokes   *si.Mass       `json:"smokes_from_kg,omitempty"` // in one cup; absent: no mass does
	Harmless *si.Mass       `json:"harmless_kg,omitempty"`    // most in one cup that burns no one; absent: any mass
	Tray     *Tray          `json:"tray,omitempty"`           // in which the pot is harmless; absent where none is
}

// Tray is a pot poured out flat, no deeper than Depth.
type Tray struct {
	Depth si.Length `json:"depth_m"`
	Area  si.Area   `json:"area_m2"`
	Life  *si.Time  `json:"life_s,omitempty"` // as that of a [Pot]
}

// How hot a cup may get: harmless burns no one and fumes little, smoking melts
// the cup. Common practice, no source.
const (
	harmless si.Temperature = 273.15 + 60
	smoking  si.Temperature = 273.15 + 150
)

// stand watches the first pot stand.
func (r *Result) stand(in Input) error {
	if in.Law == nil || len(r.Pots) == 0 {
		return nil
	}
	mass := r.Pots[0].Mass
	pot, err := in.Law.Watch(resin.Cup{Mass: mass, Air: in.Shop})
	s := Standing{Mass: mass, Air: in.Shop, Gel: pot.Gel, To40: pot.To40, To50: pot.To50, Peak: pot.Peak, PeakAt: pot.PeakAt, RunsOff: pot.RunsOff}
	smokes, does, errSmoke := in.Law.Most(in.Shop, smoking)
	if does {
		s.Smokes = &smokes
	}
	tame, bounded, errTame := in.Law.Most(in.Shop, harmless)
	if bounded {
		s.Harmless = &tame
	}
	errTray := s.pourOut(in)
	r.Standing = &s
	return errors.Join(err, errSmoke, errTame, errTray)
}

// pourOut finds the tray in which the pot is as harmless as the largest cup that is.
func (s *Standing) pourOut(in Input) error {
	if s.Harmless == nil || *s.Harmless == 0 {
		return nil
	}
	deep := in.Law.Tray(*s.Harmless)
	flat, err := in.Law.Watch(resin.Cup{Mass: *s.Harmless, Air: in.Shop})
	s.Tray = &Tray{Depth: deep, Area: si.Area(float64(s.Mass) / float64(in.Law.Density) / float64(deep))}
	if life, ok := flat.Life(); ok {
		s.Tray.Life = &life
	}
	return err
}
