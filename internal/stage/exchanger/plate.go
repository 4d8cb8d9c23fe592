package exchanger

import (
	"math"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// plate gives j and f of plain plate fins on round tubes in staggered rows.
//
//	●     ●     ●   ▲ P_t
//	   ●     ●      ▼
//	◄────►P_l         air goes from left to right
type plate struct {
	diameter, across, along, pitch, thick float64 // D over the collar, P_t, P_l, F_p, δ
	rows                                  float64
}

func newPlate(r material.Fins, depth float64) plate {
	return plate{diameter: float64(r.Diameter), across: float64(r.TubePitch), along: float64(r.RowPitch),
		pitch: float64(r.Pitch), thick: float64(r.Thickness), rows: math.Max(1, math.Round(depth/float64(r.RowPitch)))}
}

// sigma is the narrowest section over the face: between two tubes of a row.
func (p plate) sigma() float64 {
	return (p.across - p.diameter) * (p.pitch - p.thick) / (p.across * p.pitch)
}

// areas returns the fins' and the bare tubes' surface to a volume of the core, 1/m.
func (p plate) areas() (fins, tubes float64) {
	cell := p.across * p.along * p.pitch
	return 2 * (p.across*p.along - math.Pi/4*p.diameter*p.diameter) / cell, math.Pi * p.diameter * (p.pitch - p.thick) / cell
}

func (plate) limits() Limits { return Limits{"the plate-fin correlation", 500, 24700} }

func (p plate) ranges() []Measure {
	return []Measure{
		{"tube pitch over diameter", p.across / p.diameter, 1.97, 2.55, ""},
		{"row pitch over diameter", p.along / p.diameter, 1.70, 2.58, ""},
		{"gap between fins over diameter", (p.pitch - p.thick) / p.diameter, 0.08, 0.64, ""},
		{"rows", p.rows, 1, 8, ""},
	}
}

func (p plate) length() float64 { return p.diameter }

// colburn returns j of N rows, from that of four and more.
//
//	j₄ = 0.14 Re^−0.328 (P_t/P_l)^−0.502 (s/D)^0.0312
//	j_N/j₄ = 0.991·[2.24 Re^−0.092 (N/4)^−0.031]^(0.607(4 − N))    N < 4
//
// Re on the diameter, 500 to 24 700; s = F_p − δ. Below 500 it is extrapolated.
// Source: [gray-webb1986], from memory.
func (p plate) colburn(re, _ float64) float64 {
	j := 0.14 * math.Pow(re, -0.328) * math.Pow(p.across/p.along, -0.502) * math.Pow((p.pitch-p.thick)/p.diameter, 0.0312)
	if p.rows < 4 {
		j *= 0.991 * math.Pow(2.24*math.Pow(re, -0.092)*math.Pow(p.rows/4, -0.031), 0.607*(4-p.rows))
	}
	return j
}

// fanning returns f on the whole surface: that of the fins and that of the bare
// tubes by their shares of it.
//
//	f_fin = 0.508 Re^−0.521 (P_t/D)^1.318
//	f_tube = (4/π)·{0.25 + 0.118 Re^−0.16/[(P_t/D) − 1]^1.08}·(P_t/D − 1)
//
// Source: [gray-webb1986], its bank of bare tubes [jakob1938]; from memory.
func (p plate) fanning(re float64) float64 {
	x := p.across / p.diameter
	fin := 0.508 * math.Pow(re, -0.521) * math.Pow(x, 1.318)
	tube := 4 / math.Pi * (0.25 + 0.118*math.Pow(re, -0.16)/math.Pow(x-1, 1.08)) * (x - 1)
	fins, tubes := p.areas()
	return (fin*fins + tube*tubes) / (fins + tubes)
}

// efficiency treats the hexagon of fin round a tube as a ring of the same worth,
//
//	R/r = 1.27·(X_M/r)·√(X_L/X_M − 0.3)    X_M = P_t/2    X_L = ½·√(P_t²/4 + P_l²)
//
// Source: [schmidt1949], from memory.
func (p plate) efficiency(h si.HeatTransfer, k si.Conductivity) float64 {
	r, xm := p.diameter/2, p.across/2
	xl := math.Sqrt(p.across*p.across/4+p.along*p.along) / 2
	outer := 1.27 * xm * math.Sqrt(math.Max(xl/xm-0.3, 0.05))
	return RingEfficiency(h, k, si.Length(p.thick), si.Length(r), si.Length(math.Max(outer, r)))
}

// RingEfficiency returns the efficiency of a flat ring of a fin on a round tube.
//
//	η = tanh(m·r·φ)/(m·r·φ)    φ = (R/r − 1)·(1 + 0.35·ln(R/r))    m = √(2h/(k·t))
//
// r and R are its inner and outer radius, t its thickness. It lies within 1 % of
// the exact solution in Bessel functions where η is above a half.
//
// Source: [schmidt1949], from memory.
func RingEfficiency(h si.HeatTransfer, k si.Conductivity, t, r, outer si.Length) float64 {
	ratio := float64(outer / r)
	x := math.Sqrt(2*float64(h)/(float64(k)*float64(t))) * float64(r) * (ratio - 1) * (1 + 0.35*math.Log(ratio))
	if x < 1e-6 {
		return 1
	}
	return math.Tanh(x) / x
}
