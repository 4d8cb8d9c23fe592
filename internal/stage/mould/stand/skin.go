package stand

import (
	"math"

	"laywright/internal/base/si"
)

// Skin is a wall over a hollow, pressed from outside.
type Skin struct {
	Matter Matter
	Thick  si.Length
	Span   si.Length // clear width between ribs, or of the hollow itself
	Flat   bool      // it has flat fields
	Tube   si.Length // radius of its widest field curved one way; 0: none
	Ball   si.Length // radius of its widest field curved both ways; 0: none
}

// Mode is one way in which a skin gives.
type Mode struct {
	Name  string      `json:"name"`
	Bears si.Pressure `json:"bears_Pa"`
}

// What real shells bear of what perfect ones do.
const (
	// tubeShare: cylinders under outer pressure. Source: [nasa-sp8007].
	tubeShare = 0.75
	// ballShare: caps built in a shop; tests scatter from 0.15 to 0.7.
	// Source: [nasa-sp8032] for the scatter, the value is our judgement.
	ballShare = 0.2
)

// Modes lists what each kind of field bears at a temperature, for hours. Stiffness
// and strength fall alike; those that are not known are left out.
func (s Skin) Modes(at si.Temperature) (out []Mode) {
	m := s.Matter
	share := m.Share(at)
	e := si.Pressure(float64(m.E) * share)
	if s.Flat && m.Bending > 0 {
		σ := si.Pressure(float64(m.Bending) * share * m.Lasting)
		out = append(out, Mode{"its flat fields break in bending", StripBears(σ, s.Span, s.Thick)})
	}
	if s.Tube > 0 && m.E > 0 {
		out = append(out, Mode{"its round fields buckle", TubeBuckles(e, m.Nu, s.Tube, s.Thick, s.Span) * tubeShare})
	}
	if s.Ball > 0 && m.E > 0 {
		out = append(out, Mode{"its domed fields buckle", BallBuckles(e, m.Nu, s.Ball, s.Thick) * ballShare})
	}
	return out
}

// StripBears returns the pressure at which a long flat strip, clamped along both
// sides, reaches a stress at its edge.
//
//	p = 2·σ·(t/b)²    from M = p·b²/12, σ = 6M/t²
//
// A field as long as wide bears 1.6 times as much. Small deflections only.
//
// Source: [timoshenko1959].
func StripBears(σ si.Pressure, span, thick si.Length) si.Pressure {
	r := float64(thick / span)
	return si.Pressure(2 * float64(σ) * r * r)
}

// mostWaves is how many waves round a tube are tried: more than thin short ones
// have.
const mostWaves = 60

// TubeBuckles returns the pressure at which a perfect cylinder between two stiff
// rings buckles, pressed from outside on wall and ends.
//
//	p = Et/R / (n² − 1 + λ²/2) · { (n²/λ² + 1)⁻² + t²/(12R²(1 − ν²))·(n² − 1 + λ²)² }
//	λ = πR/L
//
// the least over the number n ≥ 2 of waves round it; for a long tube
// E·t³/(4·R³·(1 − ν²)). Thin elastic walls on rings that hold them round but do
// not clamp them.
//
// Source: [vonmises1929], as [windenburg-trilling1934] give it.
func TubeBuckles(e si.Pressure, nu float64, radius, thick, long si.Length) si.Pressure {
	r, t := float64(radius), float64(thick)
	λ2 := math.Pow(math.Pi*r/float64(long), 2)
	bend := t * t / (12 * r * r * (1 - nu*nu))
	least := math.Inf(1)
	for n := 2; n <= mostWaves; n++ {
		n2 := float64(n * n)
		k := n2 - 1 + λ2
		least = min(least, (math.Pow(n2/λ2+1, -2)+bend*k*k)/(n2-1+λ2/2))
	}
	return si.Pressure(least * float64(e) * t / r)
}

// BallBuckles returns the pressure at which a perfect sphere buckles, pressed from
// outside.
//
//	p = 2·E·(t/R)² / √(3·(1 − ν²))
//
// Source: [zoelly1915].
func BallBuckles(e si.Pressure, nu float64, radius, thick si.Length) si.Pressure {
	x := float64(thick / radius)
	return si.Pressure(2 * float64(e) * x * x / math.Sqrt(3*(1-nu*nu)))
}
