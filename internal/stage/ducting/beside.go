package ducting

import (
	"math"

	"laywright/internal/base/fault"
)

// join sets a duct beside the last piece of the chain. field is its path.
func (c *Chain) join(s section, d Duct, field string) error {
	n := len(c.inside)
	switch {
	case n == 0:
		return &fault.Input{Field: field + ".beside", What: "has no duct before it in the list", Do: "list it behind the one that it stands beside"}
	case d.Place != "" && (d.Place == Before) != c.ahead:
		return &fault.Input{Field: field + ".place", What: "is another than that of the duct it stands beside", Do: "leave it out"}
	}
	last := c.inside[n-1]
	if last.ways == nil {
		last.ways = []section{last}
	}
	last.ways = append(last.ways, s)
	last.area, last.widest = last.area+s.area, max(last.widest, s.widest)
	for _, w := range last.ways {
		if w.slender == 0 && w.turns == 0 {
			return &fault.Input{Field: field, What: "stands beside, or is, a duct of no length", Do: "give the length of each"}
		}
	}
	c.inside[n-1] = last
	return nil
}

// own returns K of a duct's friction and bends at a mass flux over viscosity, 1/m.
func (s section) own(flux float64) float64 {
	return s.friction(flux*s.hydraulic)*s.slender + s.turns
}

// The parting of air among ducts side by side: tolerance of the fluxes, and limit.
const (
	besideTolerance = 1e-12
	mostBesides     = 200
)

// coefficient returns K of a piece on the head of its whole area. ends is K of how
// it begins and ends, flux the mean mass flux over viscosity, 1/m.
//
// Through ducts side by side the air parts so that all lose the same:
//
//	Δp = K_i·G_i²/2ρ    G_i = G·A·K_i^−½/Σ A_j·K_j^−½    K = (A/Σ A_j·K_j^−½)²
//
// A is the area, G the mass flux. K_i falls a little with G_i in smooth tubes, so
// the parting is found by repetition. Every way has the ends of the whole.
//
// Source: [idelchik], ducts in parallel.
func (s section) coefficient(ends, flux float64) (float64, error) {
	if s.ways == nil {
		return s.own(flux) + ends, nil
	}
	last, miss := math.Inf(1), math.Inf(1)
	fluxes := make([]float64, len(s.ways))
	for i := range fluxes {
		fluxes[i] = flux
	}
	for range mostBesides {
		sum := 0.0
		roots := make([]float64, len(s.ways))
		for i, w := range s.ways {
			roots[i] = 1 / math.Sqrt(w.own(fluxes[i])+ends)
			sum += w.area * roots[i]
		}
		k := s.area * s.area / (sum * sum)
		if miss = math.Abs(last/k - 1); miss <= besideTolerance {
			return k, nil
		}
		last = k
		for i := range fluxes {
			fluxes[i] = flux * math.Sqrt(k) * roots[i]
		}
	}
	return last, &fault.NoSolution{What: "how the air parts among ducts side by side", Steps: mostBesides, Residual: miss, Limit: besideTolerance,
		Do: "make the ducts more alike"}
}
