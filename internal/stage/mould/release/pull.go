package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// Limits of draft.
//
// Source: [trade-draft].
var (
	WantedDraft = si.Degrees(3)
	LeastDraft  = si.Degrees(1)
)

// Trifle is the area that an undercut or a steep wall needs to count, m²: a square
// centimetre, which wedges and flex of the wall get over.
const Trifle = 1e-4

// Pull is how a surface comes off along one direction.
type Pull struct {
	Dir      [3]float64 `json:"pull"`
	Undercut si.Area    `json:"undercut_area_m2"`  // leaning back
	Hidden   si.Area    `json:"hidden_area_m2"`    // leaning forward, but behind another region
	Low      si.Area    `json:"low_draft_area_m2"` // free, under 3 deg
	MinDraft si.Angle   `json:"min_draft_deg"`

	MinAt [3]float64 `json:"-"`
	Draft []float64  `json:"-"` // of each triangle, rad; negative where it leans back
	Stuck []bool     `json:"-"` // whether it leans back or lies hidden
}

// Free tells whether no more than a trifle hooks.
func (p Pull) Free() bool { return p.Undercut+p.Hidden <= Trifle }

// Locked is the area that does not come off.
func (p Pull) Locked() si.Area { return p.Undercut + p.Hidden }

// dir returns a direction as a vector.
func (p Pull) dir() r3.Vec { return vec(p.Dir) }

func vec(a [3]float64) r3.Vec   { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
func array(v r3.Vec) [3]float64 { return [3]float64{plain(v.X), plain(v.Y), plain(v.Z)} }

// plain takes the rounding off a component that is as good as 0.
func plain(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 0
	}
	return x
}

// pull judges a direction on every triangle:
//
//	δ = asin(n·e)    n: true normal to the free side, e: the way it is pulled
//
// A triangle's own normal would be off by its facets' lean, some degrees in a
// bend. Of the area, the share with the least draft is left out of the least.
func (s *surface) pull(moves side, e r3.Vec) Pull {
	return s.judge(moves, e, places{s.middle, s.normal, s.area})
}

// judge is [surface.pull] of any places.
func (s *surface) judge(moves side, e r3.Vec, on places) Pull {
	p := Pull{Dir: array(e), Draft: make([]float64, len(on.at)), Stuck: make([]bool, len(on.at))}
	each(len(on.at), func(i int) {
		p.Draft[i] = math.Asin(max(-1, min(1, r3.Dot(on.normal[i], e))))
		p.Stuck[i] = s.blocked(moves, on.at[i], on.normal[i], e)
	})
	var total float64
	for i, δ := range p.Draft {
		total += on.area[i]
		switch a := si.Area(on.area[i]); {
		case δ < -lean:
			p.Undercut += a
		case p.Stuck[i]:
			p.Hidden += a
		case δ < float64(WantedDraft)-1e-6:
			p.Low += a
		}
	}
	if worst, ok := leastOf(p.Draft, on.area, s.in.Share*total); ok {
		p.MinDraft, p.MinAt = si.Angle(p.Draft[worst]), array(on.at[worst])
	}
	return p
}

// leastOf returns which value is least, once an area of lesser ones is left out.
func leastOf(values, area []float64, leave float64) (at int, ok bool) {
	if len(values) == 0 {
		return 0, false
	}
	if leave <= 0 {
		for i, x := range values {
			if x < values[at] {
				at = i
			}
		}
		return at, true
	}
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(values[a], values[b]), a-b) })
	seen := 0.0
	for _, i := range order {
		if at = i; seen >= leave {
			break
		}
		seen += area[i]
	}
	return at, true
}
