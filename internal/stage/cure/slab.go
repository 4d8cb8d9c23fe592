package cure

import (
	"math"

	"laywright/internal/base/num"
	"laywright/internal/base/resin"
)

// cell is one slice of the stack.
type cell struct {
	layer int     // index into the stack
	size  float64 // m
	k     float64 // W/(m K)
	heat  float64 // ρ·c, J/(m³ K)
	burn  float64 // heat of the whole reaction, J/m³; 0: nothing reacts here
}

// slab is the stack from the back of the mould to the bag, cut into cells.
//
//	ρc·∂T/∂t = ∂/∂z(k·∂T/∂z) + (1−v)·ρr·H·dα/dt
//	faces: heat in = (T_air − T_face)·U
//
// v is the share of fibre, U the conductance from air to face. Finite volumes,
// second order; properties are constant over the cure.
type slab struct {
	law   *resin.Law
	cells []cell
	joint []float64               // W/(m² K) between the middles of cell i-1 and i; the faces at both ends
	back  func(t float64) float64 // air behind the mould
	front func(t float64) float64 // air over the bag
}

// Cells that mould and laminate are cut into at least: enough for a smooth profile
// of a thick laminate, one for each ply of a thin one. A mould thick for what it
// conducts has more, no cell's resistance more than thinCell of its face's, which
// keeps its temperatures to a thousandth of a step of the air.
const (
	mouldCells    = 16
	laminateCells = 16
	mostCells     = 64
	thinCell      = 0.6
)

// newSlab cuts the stack into cells. uBack and uFront are W/(m² K).
func newSlab(law *resin.Law, mould, laminate []Layer, uBack, uFront float64) *slab {
	s := &slab{law: law}
	through := 0.0
	for _, l := range mould {
		through += float64(l.Thickness) / across(l, law)
	}
	s.cut(mould, 0, min(max(mouldCells, int(math.Ceil(uBack*through/thinCell))), mostCells))
	s.cut(laminate, len(mould), laminateCells)
	s.join(uBack, uFront)
	return s
}

// join works out what passes between the cells and through the faces.
func (s *slab) join(uBack, uFront float64) {
	n := len(s.cells)
	half := func(i int) float64 { return s.cells[i].size / (2 * s.cells[i].k) }
	s.joint = make([]float64, n+1)
	s.joint[0] = 1 / (1/uBack + half(0))
	for i := 1; i < n; i++ {
		s.joint[i] = 1 / (half(i-1) + half(i))
	}
	s.joint[n] = 1 / (1/uFront + half(n-1))
}

func (s *slab) cut(layers []Layer, first, wanted int) {
	whole := 0.0
	for _, l := range layers {
		whole += float64(l.Thickness)
	}
	for i, l := range layers {
		n := max(1, int(math.Round(float64(wanted)*float64(l.Thickness)/whole)))
		c := cell{layer: first + i, size: float64(l.Thickness) / float64(n), k: across(l, s.law),
			heat: l.Fraction*float64(l.Density)*float64(l.Cp) + (1-l.Fraction)*float64(s.law.Density)*float64(s.law.Cp),
			burn: (1 - l.Fraction) * float64(s.law.Density) * float64(s.law.Heat)}
		for range n {
			s.cells = append(s.cells, c)
		}
	}
}

// rates is the right side: temperature and degree of cure of each cell in turn.
func (s *slab) rates(t float64, y, dy []float64) {
	n := len(s.cells)
	in := s.joint[0] * (s.back(t) - y[0])
	for i := range s.cells {
		c := &s.cells[i]
		var out float64
		if i < n-1 {
			out = s.joint[i+1] * (y[2*i] - y[2*i+2])
		} else {
			out = s.joint[n] * (y[2*i] - s.front(t))
		}
		dy[2*i+1] = 0
		if c.burn > 0 {
			dy[2*i+1] = s.law.Rate(kelvin(y[2*i]), y[2*i+1])
		}
		dy[2*i] = ((in-out)/c.size + c.burn*dy[2*i+1]) / c.heat
		in = out
	}
}

// problem is the slab as a stiff system. A cell's own pair stands together and
// reaches the temperatures two places away.
func (s *slab) problem() num.Problem {
	n := 2 * len(s.cells)
	scale := make([]float64, n)
	for i := range scale {
		scale[i] = 1 // the degree of cure; temperatures carry their own size of some 300 K
	}
	return num.Problem{N: n, F: s.rates, Lower: 2, Upper: 2, Scale: scale}
}

// across returns the conductivity through a layer: as given, else of fibres in
// resin seen from the side,
//
//	k/kr = 1 − 2C + (1/B)·[π − (4/D)·atan(D/(1+BC))]
//	B = 2(kr/kf − 1)   C = √(v/π)   D = √(1 − B²C²)
//
// for fibres in a square pattern; v below π/4, where they touch.
//
// Source: [springer-tsai1967].
func across(l Layer, law *resin.Law) float64 {
	kr, kf := float64(law.K), float64(l.K)
	switch {
	case l.Through > 0:
		return float64(l.Through)
	case l.Fraction == 1:
		return kf
	}
	b := 2 * (kr/kf - 1)
	c := math.Sqrt(min(l.Fraction, 0.785) / math.Pi)
	d2 := 1 - b*b*c*c
	const flat = 1e-6 // below it the series in b or d takes over
	var arc float64
	switch {
	case math.Abs(b) < flat:
		return kr
	case math.Abs(d2) < flat:
		arc = 4 / (1 + b*c)
	case d2 > 0:
		d := math.Sqrt(d2)
		arc = 4 / d * math.Atan(d/(1+b*c))
	default:
		d := math.Sqrt(-d2)
		arc = 4 / d * math.Atanh(d/(1+b*c))
	}
	return kr * (1 - 2*c + (math.Pi-arc)/b)
}
