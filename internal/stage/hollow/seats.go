package hollow

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// A hollow is cut across at places apart by the mean side times sectionEdges, or
// the diagonal over sectionsAlong, whichever is more. longestArm is how far the
// line across it is followed, m: beyond, friction holds cloth at more than
// widestReach.
const (
	sectionEdges  = 4
	sectionsAlong = 40
	longestArm    = widestReach / friction
)

// cutUp cuts a group across in places spread along it, no more than are left. A
// group that lies wholly on the rim has none.
func (h *inwards) cutUp(group []int32, left *int) (out Hollow) {
	m := h.top.Mesh
	apart := max(sectionEdges*h.edge, h.diagonal/sectionsAlong)
	seats, of := spreadSeats(m, group, h.rim, apart, *left)
	if len(seats) == 0 {
		return Hollow{}
	}
	*left -= len(seats)
	share := make([][]weighted, len(seats))
	for i, v := range group {
		share[of[i]] = append(share[of[i]], h.along[v]...)
	}
	for i, v := range seats {
		weight := 0.0
		for _, s := range share[i] {
			weight += s.weight
		}
		across := r3.Cross(h.upright[v], lineOf(share[i]))
		c, ok := cutAcross(h.top, h.normals, int(v), across, min(h.diagonal, longestArm))
		if !ok || c.turn < leastTurn {
			continue
		}
		// the sum of length times turn over a hollow's sides is its length times its whole turn
		out.sections, out.spans = append(out.sections, c), append(out.spans, weight/c.turn)
	}
	return out
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
