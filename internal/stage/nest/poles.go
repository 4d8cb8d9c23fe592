package nest

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// disc is a circle inside a piece.
type disc struct {
	c r2.Vec
	r float64
}

// Limits of the set of discs that stands for a piece in the overlap measure.
const (
	maxPoles  = 14
	poleCover = 0.88 // share of the area after which no more are sought
	poleLeast = 0.10 // smallest radius against the first
	poleGrid  = 40   // places tried along the longer side
)

// poles fills a ring with discs, largest first: each is the largest that fits
// beside the border and the ones before, found on a grid and then refined.
// Source: [gardeyn2025]
func poles(p geom.Polygon) []disc {
	b := p.Bounds()
	step := max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y) / poleGrid
	var spots []disc // centre and clearance left there
	for x := b.Min.X + step/2; x < b.Max.X; x += step {
		for y := b.Min.Y + step/2; y < b.Max.Y; y += step {
			if c := (r2.Vec{X: x, Y: y}); p.Contains(c) {
				spots = append(spots, disc{c, p.Distance(c)})
			}
		}
	}
	if len(spots) == 0 { // thinner than the grid anywhere
		return []disc{{p.Centroid(), p.Area() / p.Perimeter()}}
	}
	var out []disc
	area, covered := math.Abs(p.Area()), 0.0
	for len(out) < maxPoles && covered < poleCover*area {
		best := spots[0]
		for _, s := range spots {
			if s.r > best.r {
				best = s
			}
		}
		d := refine(p, out, best, step)
		if d.r <= 0 || len(out) > 0 && d.r < poleLeast*out[0].r {
			break
		}
		out = append(out, d)
		covered += math.Pi * d.r * d.r
		for i, s := range spots {
			spots[i].r = min(s.r, r2.Norm(r2.Sub(s.c, d.c))-d.r)
		}
	}
	return out
}

// refine climbs from a grid place to the largest free disc nearby.
func refine(p geom.Polygon, taken []disc, d disc, step float64) disc {
	room := func(c r2.Vec) float64 {
		if !p.Contains(c) {
			return -1
		}
		r := p.Distance(c)
		for _, t := range taken {
			r = min(r, r2.Norm(r2.Sub(c, t.c))-t.r)
		}
		return r
	}
	d.r = room(d.c)
	for h := step / 2; h > step/200; {
		better := false
		for _, v := range [...]r2.Vec{{X: h}, {X: -h}, {Y: h}, {Y: -h}, {X: h, Y: h}, {X: h, Y: -h}, {X: -h, Y: h}, {X: -h, Y: -h}} {
			if c := r2.Add(d.c, v); room(c) > d.r {
				d, better = disc{c, room(c)}, true
			}
		}
		if !better {
			h /= 2
		}
	}
	return d
}

// nearShare is the depth, against the larger piece, at which the measure of
// two discs passes from linear to fading.
const nearShare = 0.01

// discOverlap measures the overlap of two poses by their discs: for each pair
// of discs with depth δ = r₁ + r₂ − distance and ε = 0.01 of the larger piece,
//
//	δ' = δ for δ ≥ ε, else ε² / (2ε − δ)
//	measure = √(Σ δ' · 2 min(r₁, r₂)) · √(√H₁ √H₂),  H the hull areas
//
// It falls smoothly as the pieces part and never reaches 0, so that a search
// always feels which way is out. Source: [gardeyn2025]
func discOverlap(a, b *pose, d r2.Vec) float64 {
	eps := nearShare * max(a.diameter, b.diameter)
	var sum float64
	for _, u := range a.discs {
		for _, v := range b.discs {
			dx, dy := v.c.X+d.X-u.c.X, v.c.Y+d.Y-u.c.Y
			depth := u.r + v.r - math.Sqrt(dx*dx+dy*dy)
			if depth < eps {
				depth = eps * eps / (2*eps - depth)
			}
			sum += depth * 2 * min(u.r, v.r)
		}
	}
	return math.Sqrt(sum) * math.Sqrt(a.weight*b.weight)
}
