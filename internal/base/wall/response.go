package wall

import "laywright/internal/base/si"

// Load is what acts on a wall: forces and moments per width, and the change of
// temperature since it hardened free of stress.
type Load struct {
	N  Vec // N/m
	M  Vec // N
	DT si.TemperatureDifference
}

// Strain is how a wall answers: strain at mid-thickness, and curvature, 1/m.
type Strain struct{ Mid, Curvature Vec }

// At returns the strain at height z above mid-thickness.
func (e Strain) At(z float64) Vec {
	var out Vec
	for i := range out {
		out[i] = e.Mid[i] + z*e.Curvature[i]
	}
	return out
}

// Respond returns the strain under a load.
//
//	(ε⁰, κ) = [A B; B D]⁻¹·((N, M) + (Nᵀ, Mᵀ)·ΔT)
//
// With a change of temperature the thermal resultants must be known.
//
// Source: [kaw2006].
func (s *Stiffness) Respond(l Load) Strain {
	var f [6]float64
	for i := range 3 {
		f[i] = l.N[i] + float64(l.DT)*s.NT[i]
		f[i+3] = l.M[i] + float64(l.DT)*s.MT[i]
	}
	var e Strain
	for i := range 3 {
		for j := range 6 {
			e.Mid[i] += s.inverse[i][j] * f[j]
			e.Curvature[i] += s.inverse[i+3][j] * f[j]
		}
	}
	return e
}

// Faces holds the stress in a ply's own axes at its face towards the mould and
// at the other.
type Faces struct{ Bottom, Top Vec }

// Stresses returns what a strain of the wall does to each ply.
//
//	σ = Q·(ε(z) − α·ΔT)    in the ply's axes
//
// Source: [kaw2006].
func Stresses(plies []Ply, e Strain, dT si.TemperatureDifference) []Faces {
	var h float64
	for _, p := range plies {
		h += float64(p.Thickness)
	}
	out := make([]Faces, len(plies))
	z := -h / 2
	for i, p := range plies {
		top := z + float64(p.Thickness)
		out[i] = Faces{Bottom: p.Stress(e.At(z), dT), Top: p.Stress(e.At(top), dT)}
		z = top
	}
	return out
}

// Stress returns the stress in the ply's own axes under a strain given in x, y.
func (p Ply) Stress(strain Vec, dT si.TemperatureDifference) Vec {
	g := p.Gauge()
	return g.Stress(strain, dT)
}

// Gauge is a ply made ready to turn many strains into stress.
type Gauge struct {
	turned Matrix // stiffness, from strain in x, y
	heat   Vec
}

// Gauge returns the ply's.
func (p Ply) Gauge() Gauge {
	q, heat := p.own()
	t := strainTurn(p.Angle)
	g := Gauge{heat: heat}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				g.turned[i][j] += q[i][k] * t[k][j]
			}
		}
	}
	return g
}

// Stress is [Ply.Stress].
func (g *Gauge) Stress(strain Vec, dT si.TemperatureDifference) Vec {
	out := g.turned.Times(strain)
	for i := range out {
		out[i] -= float64(dT) * g.heat[i]
	}
	return out
}

// Carry returns the load that brings a strain, the inverse of [Stiffness.Respond].
//
//	(N, M) = [A B; B D]·(ε⁰, κ) − (Nᵀ, Mᵀ)·ΔT
//
// Source: [kaw2006].
func (s *Stiffness) Carry(e Strain, dT si.TemperatureDifference) Load {
	l := Load{DT: dT}
	a, b, c, d := s.A.Times(e.Mid), s.B.Times(e.Curvature), s.B.Times(e.Mid), s.D.Times(e.Curvature)
	for i := range l.N {
		l.N[i] = a[i] + b[i] - float64(dT)*s.NT[i]
		l.M[i] = c[i] + d[i] - float64(dT)*s.MT[i]
	}
	return l
}
