package slits

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// Closeness tells how near the seams of one ply come to those of another.
type Closeness struct {
	Least  float64 // over the surface, m
	At     r3.Vec  // where that is
	Long   float64 // length of the first ply's seams, m
	Near   float64 // of that, nearer than the stagger
	Forced float64 // of that, since both must pass the same place that closes in
}

// forcedReach is how far from a place that both plies are cut through their seams
// may run within the stagger of each other, in staggers: they part there at the
// slope of [ramp] each.
const forcedReach = 1 / ramp

// drawn is how exactly a line is drawn and cut, m.
const drawn = 1e-4

// Closeness measures how near the seams of ply a come to those of ply b over the
// part's surface, by roads along sides and across pairs of triangles, which are a
// few per cent longer than the straightest at the most. False where either has
// none.
func (p *Part) Closeness(a, b []*Bed, stagger float64) (Closeness, bool) {
	out := Closeness{Least: math.Inf(1)}
	near := p.distance(b)
	if near == nil {
		return out, false
	}
	shared := p.shares(a, b)
	for _, bed := range a {
		m := bed.Top.Mesh
		for _, s := range bed.Slits {
			for _, side := range [2][]int32{s.Left, s.Right} {
				for i, v := range side {
					x := m.Vertices[v]
					d := near(x)
					if d < out.Least {
						out.Least, out.At = d, x
					}
					if i == 0 {
						continue
					}
					step := cut.Length(m, v, side[i-1]) / 2 // each seam has two sides
					out.Long += step
					if d < stagger-drawn {
						out.Near += step
						if withinReach(shared, x, forcedReach*stagger) {
							out.Forced += step
						}
					}
				}
			}
		}
	}
	return out, out.Long > 0
}

func withinReach(places []r3.Vec, x r3.Vec, reach float64) bool {
	for _, t := range places {
		if r3.Norm2(r3.Sub(t, x)) <= reach*reach {
			return true
		}
	}
	return false
}

// shares returns the places at which slits of both plies begin or through which
// both must run, within a side of a triangle of each other.
func (p *Part) shares(a, b []*Bed) (out []r3.Vec) {
	places := func(beds []*Bed) (list []r3.Vec) {
		for _, bed := range beds {
			list = append(list, bed.Pinned...)
			for _, s := range bed.Slits {
				if s.Tip() {
					list = append(list, bed.Top.Mesh.Vertices[s.Left[0]])
				}
			}
		}
		return list
	}
	others := places(b)
	for _, x := range places(a) {
		if withinReach(others, x, p.Top.Mesh.MeanEdge()) {
			out = append(out, x)
		}
	}
	return out
}

// distance returns the function that tells how far places on the part are from the
// seams of some beds; nil where these have none.
func (p *Part) distance(beds []*Bed) func(r3.Vec) float64 {
	m := p.Top.Mesh
	start := map[int32]float64{}
	on := map[int][]r3.Vec{} // places of seams by triangle
	for _, bed := range beds {
		for _, s := range bed.Slits {
			for _, side := range [2][]int32{s.Left, s.Right} {
				for _, v := range side {
					x := bed.Top.Mesh.Vertices[v]
					hit, ok := p.Locator.Closest(x)
					if !ok {
						continue
					}
					on[hit.Face] = append(on[hit.Face], x)
					for _, u := range m.Triangles[hit.Face] {
						d := r3.Norm(r3.Sub(m.Vertices[u], x))
						if was, ok := start[u]; !ok || d < was {
							start[u] = d
						}
					}
				}
			}
		}
	}
	if len(start) == 0 {
		return nil
	}
	from := slices.Sorted(maps.Keys(start))
	r := cut.RoadsOn(p.Top, from, cut.Terms{Head: func(v int32) float64 { return start[v] }})
	return func(x r3.Vec) float64 {
		hit, _ := p.Locator.Closest(x)
		best := math.Inf(1)
		for _, u := range m.Triangles[hit.Face] {
			best = min(best, r.Far[u]+r3.Norm(r3.Sub(m.Vertices[u], x)))
		}
		for _, y := range on[hit.Face] {
			best = min(best, r3.Norm(r3.Sub(x, y)))
		}
		return best
	}
}
