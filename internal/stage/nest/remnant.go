package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Remnant is a leftover worth keeping. Its outline starts at the corner of its box;
// x runs along the warp.
type Remnant struct {
	Name    string       `json:"name"`
	Lot     string       `json:"lot,omitempty"`
	Area    si.Area      `json:"area_m2"`
	X       si.Length    `json:"x_m"` // of its box's corner on the roll
	Y       si.Length    `json:"y_m"`
	Outline [][2]float64 `json:"outline_m"`
}

// What is worth keeping, in metres: a patch is cut from a hand's breadth by two.
// Common practice, no source.
const (
	leastWide   = 0.10
	leastArea   = 0.03
	inside      = 1e-3 // what a remnant keeps off the pieces beside half the gap
	mostRounded = 1e-3 // how far its outline may stand inside the true one
)

// keep works out what is bought, what is worth keeping and what is waste. kept is how
// many remnants have a name already.
func (r Roll) keep(l *Laid, kept int) []fault.Finding {
	if l.Stock == "" {
		l.Bought = l.Length
		if r.SoldBy > 0 {
			l.Bought = r.SoldBy * si.Length(math.Ceil(float64(l.Length/r.SoldBy)-1e-9))
		}
		if l.Rest = l.Bought - l.Length; l.Rest < leastWide {
			l.Rest = 0
		}
	}
	whole := float64((max(l.Length, l.Bought) - l.Rest) * l.Width)
	goods := geom.Rect(0, float64(l.Edge), float64(l.Length), float64(l.Width-l.Edge))
	if len(l.Outline) > 0 {
		goods = polygon(l.Outline)
		whole = goods.Area()
	}
	used := 0.0
	var taken []geom.Region
	for i, ring := range r.rings(*l) {
		used += math.Abs(ring.Area())
		if r.Remnant == "" {
			continue
		}
		grown, err := geom.Offset(geom.SimplifyOutward(ring.Anticlockwise(), inside), float64(r.Gap)/2+inside)
		if err != nil {
			return []fault.Finding{noRemnants(l.Placements[i].Piece, err)}
		}
		for _, g := range grown {
			taken = append(taken, g.Region())
		}
	}
	l.Waste = si.Area(whole - used)
	if r.Remnant == "" {
		return nil
	}
	for _, d := range l.Defects {
		taken = append(taken, d.Region())
	}
	parts, err := opened(goods, taken)
	if err != nil {
		return []fault.Finding{noRemnants(l.Material, err)}
	}
	for _, p := range parts {
		corner := p.Bounds().Min
		m := Remnant{Name: r.Remnant + "-" + fmt.Sprint(kept+len(l.Left)+1), Lot: l.Lot, Area: si.Area(p.Area()), X: si.Length(corner.X), Y: si.Length(corner.Y), Outline: pairs(p.Shift(r2.Scale(-1, corner)))}
		l.Left = append(l.Left, m)
		l.Waste -= m.Area
	}
	return nil
}

func noRemnants(what string, err error) fault.Finding {
	return fault.Finding{Stage: "roll", Severity: fault.Note, Code: "remnants-not-found", What: "The leftovers are not worked out.",
		Why: fmt.Sprintf("at %s: %v", what, err), Do: "keep what looks worth keeping, and measure it by hand"}
}

// rings are the outlines where they lie.
func (r Roll) rings(l Laid) (out []geom.Polygon) {
	byName := map[string]geom.Polygon{}
	for _, p := range r.Pieces {
		byName[p.Name] = p.Outline
	}
	for _, at := range l.Placements {
		out = append(out, laid(byName[at.Piece], float64(at.Turn), at.Flipped).Shift(r2.Vec{X: float64(at.X), Y: float64(at.Y)}))
	}
	return out
}

// opened is what is left of goods without what is taken, as far as a disc of the least
// width rolls; the largest first.
func opened(goods geom.Polygon, taken []geom.Region) (out []geom.Polygon, err error) {
	free, err := geom.Difference([]geom.Region{goods.Region()}, taken)
	if err == nil {
		free, err = parted(free)
	}
	if err != nil {
		return nil, err
	}
	for _, f := range free {
		if f.Area() < leastArea {
			continue
		}
		core, err := geom.OffsetRegion(f, -leastWide/2)
		if err != nil {
			return nil, err
		}
		for _, c := range core {
			back, err := geom.OffsetRegion(c, leastWide/2-mostRounded)
			if err != nil {
				return nil, err
			}
			for _, b := range back {
				if p := geom.Simplify(b.Outer, mostRounded); p.Area() >= leastArea && p.Valid() == nil {
					out = append(out, p)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b geom.Polygon) int { return cmp.Compare(b.Area(), a.Area()) })
	return out, nil
}

// parted cuts regions with holes across the goods through each hole, so that every part
// has one border.
func parted(free []geom.Region) ([]geom.Region, error) {
	var cuts []geom.Region
	for _, f := range free {
		box := f.Outer.Bounds()
		for _, h := range f.Holes {
			x := h.Bounds().Center().X
			cuts = append(cuts, geom.Rect(x-hair, box.Min.Y-1, x+hair, box.Max.Y+1).Region())
		}
	}
	if len(cuts) == 0 {
		return free, nil
	}
	return geom.Difference(free, cuts)
}

// shelf is what is in the shop once all is cut: stock that was not touched, the rest of
// rolls that were, and the leftovers worth keeping.
func (r Roll) shelf(of []Laid) (out []Stock) {
	cut := map[string]Laid{}
	for _, l := range of {
		if l.Stock != "" {
			cut[l.Stock] = l
		}
	}
	for _, s := range r.Stock {
		l, touched := cut[s.Name]
		if touched && s.Outline != nil {
			continue
		}
		if touched {
			s.Length -= l.Length
			if s.Length < leastWide {
				continue
			}
			rest := s.shiftedDefects(r2.Vec{X: -float64(l.Length)})
			s.Defects = slices.DeleteFunc(rest, func(d [][2]float64) bool { return polygon(d).Bounds().Max.X <= 0 })
		}
		out = append(out, s)
	}
	for _, l := range of {
		if l.Rest > 0 {
			out = append(out, Stock{Name: r.Remnant + "-end", Material: r.Material, Lot: l.Lot, Width: l.Width, Length: l.Rest})
		}
		for _, m := range l.Left {
			out = append(out, Stock{Name: m.Name, Material: r.Material, Lot: m.Lot, Outline: m.Outline})
		}
	}
	return out
}
