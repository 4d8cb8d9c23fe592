package duty

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
)

// lay sets ducts and wye before and behind the box. Where no duct is told on a
// side, the box has a port there: a way in or out of no length, with the loss of a
// sharp entrance and of an outlet.
func (p *plant) lay(ducts []ducting.Duct, wye *ducting.Wye, port si.Length) error {
	const field = "duty.heater"
	var err error
	if p.before, p.after, err = ducting.Split(ducts, wye, p.scooped, field); err != nil {
		return err
	}
	p.gate.area, p.gate.before = gateOf(p.before, p.after)
	if port == 0 {
		port = p.joining()
	}
	if port == 0 {
		return nil
	}
	if err := fault.Check(field+".box.port", float64(port)*1000, 5, 2000, " mm", "bore of the box's way in and out"); err != nil {
		return err
	}
	if p.before.Empty() {
		p.before, _, err = ducting.Split([]ducting.Duct{{Round: port, Place: ducting.Before}}, nil, p.scooped, field)
	}
	if err == nil && p.after.Empty() {
		_, p.after, err = ducting.Split([]ducting.Duct{{Round: port}}, nil, false, field)
	}
	return err
}

// joining is the bore of a round port as wide as the duct on the one side where
// there is one, 0 where there is none.
func (p *plant) joining() si.Length {
	return si.Length(math.Sqrt(4 / math.Pi * max(p.before.Joins(), p.after.Joins())))
}

// portsTaken says what the ports were taken as, empty where the job tells all.
func (h Heater) portsTaken() string {
	before, after := false, h.Wye != nil
	for _, d := range h.Ducts {
		before, after = before || d.Place == ducting.Before, after || d.Place != ducting.Before && !d.Beside
	}
	switch {
	case h.Box.Port != 0 || before && after:
		return ""
	case before:
		return "the box's way out is a port as wide as the duct before it"
	case after:
		return "the box's way in is a port as wide as the duct behind it"
	case h.Air.Flow != 0:
		return ""
	}
	return "no duct and no port is told, so the way into the box and out of it costs nothing"
}
