package cure

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// History is the cure over time: the middle of the laminate, and its least cured
// place. Times count from the first mixing.
type History struct {
	Time        []float64        `json:"time_s"`
	Air         []si.Temperature `json:"air_degC"`
	Temperature []si.Temperature `json:"temperature_degC"`
	Degree      []float64        `json:"degree_of_cure"`
	Tg          []si.Temperature `json:"tg_degC"`
}

// Line is the schedule as it is run, from the first mixing.
type Line struct {
	Time        []float64        `json:"time_s"`
	Temperature []si.Temperature `json:"temperature_degC"`
}

// Result is the cure stage's part of the plan. What is not reached is absent.
type Result struct {
	Gel           *si.Time                  `json:"gel_s,omitempty"`     // the first resin in the laminate gels
	GelLow        *si.Time                  `json:"gel_low_s,omitempty"` // range of what the data sheet leaves open
	GelHigh       *si.Time                  `json:"gel_high_s,omitempty"`
	Demould       *si.Time                  `json:"demould_s,omitempty"`   // all has gelled and Tg is Law.Firm above the part
	OffMould      *si.Time                  `json:"off_mould_s,omitempty"` // taken off before the schedule ends
	Degree        float64                   `json:"degree_of_cure"`        // at the end, of the least cured place
	Tg            si.Temperature            `json:"tg_degC"`               // there and then
	TgWet         si.Temperature            `json:"tg_wet_degC"`
	TgMeasured    bool                      `json:"tg_measured,omitempty"` // TgWet rests on a measurement
	ServiceLimit  si.Temperature            `json:"service_limit_degC"`    // TgWet less the margin
	Peak          si.Temperature            `json:"peak_degC"`             // of the laminate
	PeakAt        si.Time                   `json:"peak_at_s"`
	Lag           si.TemperatureDifference  `json:"lag_K"`                            // most that the laminate's middle was behind the air
	Vitrify       *si.Time                  `json:"vitrify_s,omitempty"`              // all of it turns to glass: its Tg passes its temperature
	VitrifyDegree *float64                  `json:"vitrify_degree_of_cure,omitempty"` // the degree of cure by then
	Limits        []Limit                   `json:"limits,omitempty"`                 // what each thing in the stack sees and stands
	Oven          *InOven                   `json:"oven,omitempty"`
	Total         si.Time                   `json:"total_s"`
	Schedule      Line                      `json:"schedule"`
	Chosen        string                    `json:"chosen,omitempty"`    // why this schedule, where it was searched for
	Choices       []Choice                  `json:"choices,omitempty"`   // the schedule that was found first, then gentler ones
	PostCure      *PostCure                 `json:"post_cure,omitempty"` // in steps, where the schedule was searched for
	History       History                   `json:"history"`
	Fit           *resin.Fit                `json:"fit,omitempty"`
	Log           *LogRead                  `json:"log,omitempty"`   // of a logger's file, as are the rest
	State         *State                    `json:"state,omitempty"` // at its end
	Probes        []ProbeState              `json:"probes,omitempty"`
	Forecast      *Forecast                 `json:"forecast,omitempty"` // from its end
	Planned       *Line                     `json:"planned,omitempty"`  // the schedule that was meant, from the first mixing
	Left          *Left                     `json:"if_left,omitempty"`  // where that is not reached within the schedule
	DemouldLow    *si.Time                  `json:"demould_low_s,omitempty"`
	DemouldHigh   *si.Time                  `json:"demould_high_s,omitempty"`
	TgLow         *si.Temperature           `json:"tg_low_degC,omitempty"`
	TgHigh        *si.Temperature           `json:"tg_high_degC,omitempty"`
	Away          *si.TemperatureDifference `json:"from_readings_K,omitempty"` // how far the first hold is from the temperatures the resin was timed at

	Findings []fault.Finding `json:"-"`
}

// Rounding of what is drawn, not of the headline numbers: a tenth of a second,
// a millikelvin, a millionth.
func rounded(h history) History {
	out := History{}
	for i := range h.time {
		out.Time = append(out.Time, math.Round(h.time[i]*10)/10)
		out.Air = append(out.Air, milli(h.air[i]))
		out.Temperature = append(out.Temperature, milli(h.temp[i]))
		out.Degree = append(out.Degree, math.Round(h.cure[i]*1e6)/1e6)
		out.Tg = append(out.Tg, milli(h.tg[i]))
	}
	return out
}

func milli(t float64) si.Temperature {
	return si.Celsius(math.Round(kelvin(t).Celsius()*1e3) / 1e3)
}

func line(ps []piece) Line {
	out := Line{Time: []float64{ps[0].t0}, Temperature: []si.Temperature{kelvin(ps[0].a)}}
	for i, p := range ps {
		if i > 0 && p.a != ps[i-1].b {
			out.Time, out.Temperature = append(out.Time, p.t0), append(out.Temperature, kelvin(p.a))
		}
		out.Time, out.Temperature = append(out.Time, p.t1), append(out.Temperature, kelvin(p.b))
	}
	return out
}

func seconds(t *float64) *si.Time {
	if t == nil {
		return nil
	}
	s := si.Time(*t)
	return &s
}
