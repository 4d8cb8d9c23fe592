package plies

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Limits of the search for hollows.
const (
	// leastBend is the turn at an edge below which it is flat for the cloth;
	// one of sharpBend or more at a single edge is a sharp corner, whatever the
	// size of its triangles.
	leastBend = 0.5 * math.Pi / 180
	sharpBend = 40 * math.Pi / 180
	// leastTurn is the turn of a whole hollow below which cloth lies across it.
	leastTurn = 10 * math.Pi / 180
	// thin is the height of a triangle over an edge, against the mean side,
	// below which its plane is no more than rounding.
	thin = 0.02
	// widestReach is the hollow radius, m, above which none is looked for.
	widestReach = 0.06
	// A hollow is cut across at places apart by the mean side times
	// sectionEdges, or the diagonal over sectionsAlong, whichever is more.
	sectionEdges  = 4
	sectionsAlong = 40
	mostSections  = 240 // of all hollows
	mostHollows   = 24
	// longestArm is how far the line across a hollow is followed, m: beyond,
	// friction holds cloth at more than widestReach.
	longestArm = widestReach / friction
)

// Hollow is a place where the part bends inwards, seen from the free side. Tight
// numbers are those of cloth that is laid straight across and then drawn down by
// the vacuum ([stand]).
type Hollow struct {
	At     [3]float64 `json:"at_m"`     // where cloth would stand off most
	Length si.Length  `json:"length_m"` // along the hollow
	Radius si.Length  `json:"radius_m"` // there; 0: a sharp edge
	Turn   si.Angle   `json:"turn_deg"` // through which the surface turns there
	Tight  si.Length  `json:"tight_radius_m"`
	Gap    si.Length  `json:"tight_gap_m"`    // in its middle
	Feed   si.Length  `json:"tight_feed_m"`   // cloth that must come in from the sides to close it
	Resin  si.Mass    `json:"tight_resin_kg"` // that would fill all of it

	sections []section
	spans    []float64 // of the hollow that each section stands for, m
	beyond   float64   // cloth beyond the rim, m
}

// hollows finds the hollow places, the one where tight cloth stands off most
// first.
func (w *work) hollows() []Hollow {
	reach := friction * w.in.Surface.Diagonal()
	for _, p := range w.in.Plies {
		reach = max(reach, float64(p.Fabric.MinRadius.Or(0)))
	}
	h := w.bendsInwards(min(reach, widestReach))
	var out []Hollow
	left := mostSections
	for _, group := range h.groups(w.top) {
		if found, ok := w.cutUp(h, group, &left); ok {
			out = append(out, found)
		}
	}
	out = slices.DeleteFunc(out, func(h Hollow) bool { return h.Gap <= 0 && float64(h.Radius) > w.tightFor() })
	slices.SortStableFunc(out, func(a, b Hollow) int {
		return cmp.Or(cmp.Compare(b.Gap, a.Gap), cmp.Compare(a.Radius, b.Radius))
	})
	return out[:min(len(out), mostHollows)]
}

// tightFor returns the radius below which a hollow may be too tight for the last
// of the plies.
func (w *work) tightFor() (radius float64) {
	under := 0.0
	for _, p := range w.in.Plies {
		radius = max(radius, under+float64(p.Fabric.MinRadius.Or(0)))
		under += thickness(p)
	}
	return radius
}

// inwards is the hollow bending gathered at vertices.
type inwards struct {
	normals []r3.Vec // of triangles
	upright []r3.Vec // normals at vertices
	rim     []bool

	edge, diagonal float64              // of the surface, m
	along          map[int32][]weighted // hollow sides at a vertex
	order          []int32              // vertices with such, tightest first
	tight          map[int32]float64    // their least radius, m
}

// weighted is a unit vector along a side, and half of its length times turn, m.
type weighted struct {
	dir    r3.Vec
	weight float64
}

// bendsInwards gathers the sides at which the surface bends inwards on a radius
// below reach: the mean height of the two triangles over the side, over the angle
// between them.
func (w *work) bendsInwards(reach float64) *inwards {
	m := w.in.Surface
	area, edge := m.FaceAreas(), m.MeanEdge()
	h := &inwards{normals: m.FaceNormals(), upright: m.VertexNormals(), rim: w.top.RimVertices(), edge: edge, diagonal: m.Diagonal(), along: map[int32][]weighted{}, tight: map[int32]float64{}}
	for k, twin := range w.top.Twin {
		if int(twin) < k {
			continue
		}
		f, g := k/3, int(twin)/3
		u, v := w.top.From(k), w.top.To(k)
		e := r3.Sub(m.Vertices[v], m.Vertices[u])
		long := r3.Norm(e)
		if long == 0 || 2*min(area[f], area[g])/long < thin*edge {
			continue
		}
		// seen along the edge the normal turns to the left over a ridge, to the right in a hollow
		θ := math.Atan2(-r3.Dot(r3.Cross(h.normals[f], h.normals[g]), e)/long, r3.Dot(h.normals[f], h.normals[g]))
		radius := (area[f] + area[g]) / long / θ
		if θ > sharpBend {
			radius = 0
		}
		if θ < leastBend || radius > reach {
			continue
		}
		side := weighted{r3.Scale(1/long, e), long * θ / 2}
		for _, x := range [2]int32{u, v} {
			if least, ok := h.tight[x]; !ok || radius < least {
				h.tight[x] = radius
			}
			h.along[x] = append(h.along[x], side)
		}
	}
	for v := range h.along {
		h.order = append(h.order, v)
	}
	slices.SortFunc(h.order, func(a, b int32) int { return cmp.Or(cmp.Compare(h.tight[a], h.tight[b]), cmp.Compare(a, b)) })
	return h
}

// groups parts the vertices into those that hang together, each tightest first,
// the group with the most bending first.
func (h *inwards) groups(top *mesh.Topology) [][]int32 {
	of := map[int32]int{}
	count := 0
	for _, first := range h.order {
		if _, seen := of[first]; seen {
			continue
		}
		of[first] = count
		for list := []int32{first}; len(list) > 0; {
			v := list[len(list)-1]
			list = list[:len(list)-1]
			for _, e := range top.VertexEdges(int(v)) {
				u := int32(top.Other(int(e), int(v)))
				if _, seen := of[u]; !seen && h.along[u] != nil {
					of[u] = count
					list = append(list, u)
				}
			}
		}
		count++
	}
	out := make([][]int32, count)
	for _, v := range h.order {
		out[of[v]] = append(out[of[v]], v)
	}
	much := func(group []int32) (sum float64) {
		for _, v := range group {
			sum += h.weight(v)
		}
		return sum
	}
	slices.SortStableFunc(out, func(a, b []int32) int { return cmp.Compare(much(b), much(a)) })
	return out
}

func (h *inwards) weight(v int32) (sum float64) {
	for _, s := range h.along[v] {
		sum += s.weight
	}
	return sum
}

// cutUp cuts a group across in places spread along it, no more than are left;
// false where it turns by too little to matter.
func (w *work) cutUp(h *inwards, group []int32, left *int) (Hollow, bool) {
	m := w.in.Surface
	apart := max(sectionEdges*h.edge, h.diagonal/sectionsAlong)
	seats, of := spreadSeats(m, group, h.rim, apart, *left)
	*left -= len(seats)
	if len(seats) == 0 {
		return Hollow{}, false
	}
	share := make([][]weighted, len(seats))
	for i, v := range group {
		share[of[i]] = append(share[of[i]], h.along[v]...)
	}
	out := Hollow{beyond: float64(or(w.in.Spec.TrimAllowance, usualAllowance))}
	for i, v := range seats {
		weight := 0.0
		for _, s := range share[i] {
			weight += s.weight
		}
		across := r3.Cross(h.upright[v], lineOf(share[i]))
		c, ok := cutAcross(w.top, h.normals, int(v), across, min(h.diagonal, longestArm))
		if !ok || c.turn < leastTurn {
			continue
		}
		// the sum of length times turn over a hollow's sides is its length times its whole turn
		out.sections, out.spans = append(out.sections, c), append(out.spans, weight/c.turn)
	}
	return out, out.sum()
}

// spreadSeats picks vertices of the group at least that far apart, in its order,
// none of them at the rim, where a line across may leave at once, and tells which
// of them is nearest to each.
func spreadSeats(m *mesh.Mesh, group []int32, rim []bool, apart float64, most int) (seats []int32, of []int) {
	near := make([]float64, len(group))
	of = make([]int, len(group))
	for i := range near {
		near[i] = math.Inf(1)
	}
	for i, v := range group {
		if near[i] < apart || rim[v] || len(seats) == most {
			continue
		}
		for j, u := range group {
			if d := r3.Norm(r3.Sub(m.Vertices[u], m.Vertices[v])); d < near[j] {
				near[j], of[j] = d, len(seats)
			}
		}
		seats = append(seats, v)
	}
	return seats, of
}

// lineOf returns the direction in which a hollow runs: the one along which the
// weighted sides have most of their squares.
func lineOf(sides []weighted) r3.Vec {
	d := sides[0].dir
	best := 0.0
	for _, s := range sides {
		if s.weight > best {
			best, d = s.weight, s.dir
		}
	}
	for range 20 {
		var next r3.Vec
		for _, s := range sides {
			next = r3.Add(next, r3.Scale(s.weight*r3.Dot(s.dir, d), s.dir))
		}
		if n := r3.Norm(next); n > 0 {
			d = r3.Scale(1/n, next)
		}
	}
	return d
}

// tightAt is how cloth laid straight across stands in section i: it slides in
// from the arm that holds less.
func (h *Hollow) tightAt(i int) standing {
	c := &h.sections[i]
	R := min(c.arms[0].hold(h.beyond), c.arms[1].hold(h.beyond))
	return stand(R, c.radius, c.turn, min(c.arms[0].flat, c.arms[1].flat))
}

// sum adds up the sections; false where there are none.
func (h *Hollow) sum() bool {
	worst := -1.0
	for i, c := range h.sections {
		s := h.tightAt(i)
		h.Length += si.Length(h.spans[i])
		h.Resin += si.Mass(resinRho * s.void * h.spans[i])
		if s.gap > worst || s.gap == worst && si.Length(c.radius) < h.Radius {
			worst = s.gap
			h.At, h.Radius, h.Turn = triple(c.at), si.Length(c.radius), si.Angle(c.turn)
			h.Tight, h.Gap, h.Feed = si.Length(s.radius), si.Length(s.gap), si.Length(s.feed)
		}
	}
	return len(h.sections) > 0
}
