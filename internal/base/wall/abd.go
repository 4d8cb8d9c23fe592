package wall

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Stiffness is what a wall answers to stretching and bending with.
//
//	(N, M) + (Nᵀ, Mᵀ)·ΔT = [A B; B D]·(ε⁰, κ)
//
// A in N/m, B in N, D in N·m; NT in N/(m·K), MT in N/K, PT in N·m/K.
type Stiffness struct {
	A, B, D      Matrix
	Thickness    float64 // m
	NT, MT, PT   Vec     // thermal resultants a kelvin, and their second moment, where ThermalKnown
	ThermalKnown bool
	Shear        [2]float64 // against forces across the wall along x and y, N/m

	inverse       [6][6]float64 // of [A B; B D]
	planeInverse  Matrix        // of A
	flatInverse   Matrix        // of D
	couplingScale float64       // N
}

// rounding is the share of the largest term below which a term of A, B or D
// that cancels is noise of the addition.
const rounding = 1e-13

// Part is a share of a wall's area with the plies that lie there, from a height of
// their own on.
type Part struct {
	Plies []Ply
	Share float64 // all shares together: 1
	Low   float64 // height of the first ply's lower face, m
}

// Thickness is that of the part's plies together, m.
func (p *Part) Thickness() (h float64) {
	for _, ply := range p.Plies {
		h += float64(ply.Thickness)
	}
	return h
}

// Stiffen adds up the plies of a wall.
//
//	A = Σ Q̄ t,   B = Σ Q̄ t z̄,   D = Σ Q̄ (t z̄² + t³/12)
//
// t is a ply's thickness, z̄ its middle's height above mid-thickness. Thermal
// resultants use Q̄·α in the same sums. The plies must all have moduli.
//
// Source: [kaw2006].
func Stiffen(plies []Ply) (Stiffness, error) {
	one := Part{Plies: plies, Share: 1}
	one.Low = -one.Thickness() / 2
	return Together([]Part{one})
}

// Together adds up a wall whose parts lie side by side on a small piece of it and
// take the same strain and curvature.
//
//	(A, B, D) = Σ share·(A, B, D) of the part
//
// Heights count from one plane for all parts: where one has a ply more on top of it
// than the next, its middle lies higher, and B says so. The sum is the work that the
// piece does under one strain, so that it is the stiffer bound; what strain does
// where parts meet, and how a ply takes up load from its end on, is not in it. A bare
// part has no plies. Thickness is the mean.
//
// Source: [kaw2006] (of each part; the sum over parts is the integral over the area).
func Together(parts []Part) (Stiffness, error) {
	var s Stiffness
	for i := range parts {
		p := &parts[i]
		s.ThermalKnown = s.ThermalKnown || len(p.Plies) > 0
	}
	for i := range parts {
		if err := s.addPart(&parts[i]); err != nil {
			return s, err
		}
	}
	s.clean()
	return s, s.invert()
}

func (s *Stiffness) addPart(p *Part) error {
	z, h := p.Low, p.Thickness()
	for k, ply := range p.Plies {
		t := float64(ply.Thickness)
		if ply.Elastic == nil || !ply.Elastic.Valid() || !(t > 0) {
			return &fault.Input{Field: fault.Numbered("ply", k), What: fmt.Sprintf("%s has no usable moduli or thickness", ply.Name),
				Do: "give positive E1, E2, G12 and thickness, and nu12 with nu12^2 below E1/E2"}
		}
		s.add(ply, p.Share, t, z+t/2)
		z += t
	}
	s.Thickness += p.Share * h
	if len(p.Plies) > 0 {
		for axis, x := range shearStiffness(p.Plies, h) {
			s.Shear[axis] += p.Share * x
		}
	}
	return nil
}

func (s *Stiffness) add(p Ply, share, t, mid float64) {
	q, heat := p.own()
	q = q.Turned(p.Angle)
	s.A = s.A.Plus(share*t, q)
	s.B = s.B.Plus(share*t*mid, q)
	s.D = s.D.Plus(share*(t*mid*mid+t*t*t/12), q)
	if p.Expansion == nil {
		s.ThermalKnown = false
		return
	}
	n := StressIn(heat, -p.Angle)
	for i := range n {
		s.NT[i] += share * t * n[i]
		s.MT[i] += share * t * mid * n[i]
		s.PT[i] += share * (t*mid*mid + t*t*t/12) * n[i]
	}
}

// clean sets terms that only rounding kept from 0 to 0.
func (s *Stiffness) clean() {
	h := s.Thickness
	top := max(s.A[0][0], s.A[1][1])
	s.couplingScale = top * h
	zero(&s.A, rounding*top)
	zero(&s.B, rounding*top*h)
	zero(&s.D, rounding*top*h*h)
	n := math.Max(math.Abs(s.NT[0]), math.Abs(s.NT[1]))
	for i := range 3 {
		if math.Abs(s.NT[i]) < rounding*n {
			s.NT[i] = 0
		}
		if math.Abs(s.MT[i]) < rounding*n*h {
			s.MT[i] = 0
		}
	}
}

func zero(m *Matrix, small float64) {
	for i := range m {
		for j := range m[i] {
			if math.Abs(m[i][j]) < small {
				m[i][j] = 0
			}
		}
	}
}

// Coupling returns the largest term of B against A₁₁·h: 0 for a symmetric wall.
func (s *Stiffness) Coupling() float64 {
	var most float64
	for _, row := range s.B {
		for _, b := range row {
			most = math.Max(most, math.Abs(b))
		}
	}
	return most / s.couplingScale
}

func (s *Stiffness) invert() error {
	var k [6][6]float64
	for i := range 3 {
		for j := range 3 {
			k[i][j], k[i][j+3] = s.A[i][j], s.B[i][j]
			k[i+3][j], k[i+3][j+3] = s.B[i][j], s.D[i][j]
		}
	}
	ok := invertSPD(k[:], s.inverse[:])
	var a, d [6][6]float64
	for i := range 6 {
		a[i][i], d[i][i] = 1, 1
	}
	for i := range 3 {
		for j := range 3 {
			a[i][j], d[i][j] = s.A[i][j], s.D[i][j]
		}
	}
	var ai, di [6][6]float64
	ok = ok && invertSPD(a[:], ai[:]) && invertSPD(d[:], di[:])
	if !ok {
		return &fault.Input{Field: "stack", What: "the wall's stiffness can't be inverted", Do: "check the plies' moduli"}
	}
	for i := range 3 {
		copy(s.planeInverse[i][:], ai[i][:3])
		copy(s.flatInverse[i][:], di[i][:3])
	}
	return nil
}

// invertSPD inverts a symmetric positive definite matrix by its Cholesky
// factor; it reports false where the matrix is not so. The factor does not mind
// that A and D differ by many powers of ten.
func invertSPD(k, out [][6]float64) bool {
	const n = 6
	var l [n][n]float64
	for j := range n {
		d := k[j][j]
		for m := range j {
			d -= l[j][m] * l[j][m]
		}
		if !(d > 1e-14*k[j][j]) {
			return false
		}
		l[j][j] = math.Sqrt(d)
		for i := j + 1; i < n; i++ {
			v := k[i][j]
			for m := range j {
				v -= l[i][m] * l[j][m]
			}
			l[i][j] = v / l[j][j]
		}
	}
	for c := range n {
		var x [n]float64
		x[c] = 1
		for i := range n {
			for m := range i {
				x[i] -= l[i][m] * x[m]
			}
			x[i] /= l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			for m := i + 1; m < n; m++ {
				x[i] -= l[m][i] * x[m]
			}
			x[i] /= l[i][i]
		}
		for r := range n {
			out[r][c] = x[r]
		}
	}
	return true
}

// Membrane returns the moduli of the wall in its plane.
//
//	Ex = 1/(h·a₁₁)   Gxy = 1/(h·a₆₆)   νxy = −a₁₂/a₁₁,   a = A⁻¹
//
// It holds the curvature at zero: exact for a symmetric wall, and for another
// one what it has while the shape of the part keeps it from bending.
//
// Source: [kaw2006].
func (s *Stiffness) Membrane() Elastic {
	return elastic(s.planeInverse, s.Thickness)
}

// Bending returns the moduli that the wall seems to have in bending.
//
//	Ex = 12/(h³·d₁₁)  and so on,   d = D⁻¹
//
// Source: [kaw2006].
func (s *Stiffness) Bending() Elastic {
	return elastic(s.flatInverse, s.Thickness*s.Thickness*s.Thickness/12)
}

func elastic(c Matrix, size float64) Elastic {
	return Elastic{
		E1:   si.Pressure(1 / (size * c[0][0])),
		E2:   si.Pressure(1 / (size * c[1][1])),
		G12:  si.Pressure(1 / (size * c[2][2])),
		Nu12: -c[0][1] / c[0][0],
	}
}

// InPlaneExpansion returns the wall's own expansion in x, y, xy with bending
// held at zero, 1/K.
//
//	α = A⁻¹·Nᵀ
//
// Source: [kaw2006].
func (s *Stiffness) InPlaneExpansion() Vec { return s.planeInverse.Times(s.NT) }
