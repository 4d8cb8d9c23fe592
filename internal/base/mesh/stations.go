package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Every returns the places on the line at arc lengths 0, step, 2·step and so on
// up to its end; the end itself only where it falls on a step.
func (l Line) Every(m *Mesh, step float64) []Station {
	if len(l.Pieces) == 0 || !(step > 0) {
		return nil
	}
	count := int(math.Floor(l.Length/step*(1+1e-12))) + 1
	out := make([]Station, 0, count)
	i := 0
	for n := range count {
		s := math.Min(float64(n)*step, l.Length)
		for i < len(l.Pieces)-1 && s > l.Pieces[i].Start+l.Pieces[i].Length {
			i++
		}
		out = append(out, l.Pieces[i].station(m, s))
	}
	return out
}

// End returns the last place of the line.
func (l Line) End(m *Mesh) Station {
	return l.Pieces[len(l.Pieces)-1].station(m, l.Length)
}

func (p Piece) station(m *Mesh, arc float64) Station {
	share := 0.0
	if p.Length > 0 {
		share = math.Min(1, math.Max(0, (arc-p.Start)/p.Length))
	}
	s := Station{Point: Point{Face: p.Face}, Dir: p.Dir, Arc: arc}
	for k := range s.Bary {
		s.Bary[k] = (1-share)*p.From[k] + share*p.To[k]
	}
	s.At = m.At(s.Point)
	if p.Bend != 0 {
		sin, cos := math.Sincos((share - 0.5) * p.Bend)
		s.Dir = r3.Add(r3.Scale(cos, p.Dir), r3.Scale(sin, r3.Cross(m.FaceNormal(p.Face), p.Dir)))
	}
	return s
}

// Polyline returns the corners of the line.
func (l Line) Polyline(m *Mesh) []r3.Vec {
	var out []r3.Vec
	for i, p := range l.Pieces {
		if i == 0 {
			out = append(out, m.At(Point{p.Face, p.From}))
		}
		out = append(out, m.At(Point{p.Face, p.To}))
	}
	return out
}
