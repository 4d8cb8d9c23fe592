package stand

import "laywright/internal/base/si"

// Matter is what a body is made of.
type Matter struct {
	Compression si.Pressure // strength at room temperature, for a short time; 0: not known
	Bending     si.Pressure // likewise; 0: not known
	E           si.Pressure // 0: not known
	Nu          float64
	Left        float64        // share of strength and stiffness left at Limit
	Lasting     float64        // share of the strength that is borne for hours without creep worth a word
	Limit       si.Temperature // 0: not known
}

// room is where strengths of records hold.
const room = 293.15 // K

// Share returns what is left of strength and stiffness at a temperature.
//
//	s = 1 − (1 − left)·(T − 20 °C)/(limit − 20 °C)    from 20 °C to the limit
//
// Above the limit nothing is left to count on. A straight line is common practice
// between the two ends that records have, with no source; foams and wood both fall
// faster near their limit, so that it flatters the middle by a few per cent.
func (m Matter) Share(t si.Temperature) float64 {
	span := float64(m.Limit) - room
	switch {
	case float64(t) <= room || m.Limit == 0:
		return 1
	case t > m.Limit || span <= 0:
		return 0
	}
	return 1 - (1-m.Left)*(float64(t)-room)/span
}

// Crush returns the pressure from all sides, or on a face, that a solid body of it
// bears for hours; 0 where its strength is not known.
//
//	p = σc·share(T)·lasting
//
// A body pressed from all sides bears no less than one pressed on a face.
func (m Matter) Crush(t si.Temperature) si.Pressure {
	return si.Pressure(float64(m.Compression) * m.Share(t) * m.Lasting)
}
