package curedraw

import (
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
)

// words writes numbers as the job wants them shown.
type words struct{ us bool }

func wordsOf(p job.Plan) words { return words{p.Spec.Show == si.US} }

func (w words) degrees() string {
	if w.us {
		return "°F"
	}
	return "°C"
}

func (w words) warm(t si.Temperature) float64 {
	if w.us {
		return si.In(t, "degF")
	}
	return si.In(t, "degC")
}

// warmText is a temperature to whole degrees with its unit.
func (w words) warmText(t si.Temperature) string {
	return draw.Number(w.warm(t), 0) + " " + w.degrees()
}

// apart is a difference of temperatures.
func (w words) apart(kelvin float64, decimals int) string {
	if w.us {
		return draw.Number(1.8*kelvin, decimals) + " °F"
	}
	return draw.Number(kelvin, decimals) + " K"
}

// spell is the unit that suits times up to end, and how long it is in seconds.
func spell(end float64) (unit string, size float64) {
	switch {
	case end > 3*86400:
		return "d", 86400
	case end > 3*3600:
		return "h", 3600
	}
	return "min", 60
}

// lasting is a time in the unit that suits it.
func lasting(seconds float64) string {
	unit, size := spell(seconds)
	return draw.Number(seconds/size, decimals(seconds/size)) + " " + unit
}

func decimals(x float64) int {
	if x < 20 {
		return 1
	}
	return 0
}

func (w words) verdict(p job.Plan) string {
	c := p.Cure
	text := "glass transition " + w.warmText(c.Tg) + " at the end, fit for " + w.warmText(c.ServiceLimit) + " in service"
	if c.Demould != nil {
		text = "off the mould not before " + lasting(float64(*c.Demould)) + " after mixing; " + text
	}
	return text
}
