package bag

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

const (
	// shallow is the depth, m, up to which a bag is drawn into a hollow by itself: film
	// stretches by some per cent. Judgement.
	shallow     = 0.010
	mostHollows = 12 // that are listed, the deepest first
)

// Hollow is a place that a film drawn tight over the mould would stand off from.
type Hollow struct {
	At   [3]float64 `json:"at_m"` // where it is deepest
	Deep si.Length  `json:"depth_m"`
	Area si.Area    `json:"area_m2"` // deeper than a film reaches by itself
}

// hollows finds the places of a face that lie below a string drawn tight over it along
// x or along y.
func hollows(m *mesh.Mesh, both [2][]cut) []Hollow {
	deep := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		for way, all := range both {
			deep[i] = max(deep[i], below(all, axis(way), v))
		}
	}
	group := joined(m, func(v int32) bool { return deep[v] > shallow })
	var out []Hollow
	found := map[int32]int{} // of out, by group
	for f, t := range m.Triangles {
		if deep[t[0]] <= shallow || deep[t[1]] <= shallow || deep[t[2]] <= shallow {
			continue
		}
		root := group(t[0])
		if _, known := found[root]; !known {
			found[root] = len(out)
			out = append(out, Hollow{})
		}
		h := &out[found[root]]
		h.Area += si.Area(m.FaceArea(f))
		for _, v := range t {
			if d := si.Length(deep[v]); d > h.Deep {
				h.Deep, h.At = d, [3]float64{m.Vertices[v].X, m.Vertices[v].Y, m.Vertices[v].Z}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Hollow) int { return cmp.Compare(b.Deep, a.Deep) })
	return out[:min(len(out), mostHollows)]
}

// below is how far a place lies below the strings of the two cuts beside it; 0 where
// it does not.
func below(all []cut, way axis, v r3.Vec) float64 {
	along, across := way.split(v)
	i, _ := slices.BinarySearchFunc(all, across, func(c cut, y float64) int { return cmp.Compare(c.at, y) })
	if i == 0 || i == len(all) {
		return 0
	}
	a, okA := all[i-1].depth(along, v.Z)
	b, okB := all[i].depth(along, v.Z)
	if !okA || !okB {
		return 0
	}
	s := (across - all[i-1].at) / (all[i].at - all[i-1].at)
	return max(0, (1-s)*a+s*b)
}

// joined groups the vertices that pass by the triangles that have them, and returns
// the group of each.
func joined(m *mesh.Mesh, pass func(v int32) bool) func(int32) int32 {
	to := make([]int32, len(m.Vertices))
	for i := range to {
		to[i] = int32(i)
	}
	root := func(v int32) int32 {
		for to[v] != v {
			to[v] = to[to[v]]
			v = to[v]
		}
		return v
	}
	for _, t := range m.Triangles {
		if pass(t[0]) && pass(t[1]) && pass(t[2]) {
			to[root(t[1])] = root(t[0])
			to[root(t[2])] = root(t[0])
		}
	}
	return root
}

// tellHollows says what to do about hollows.
func tellHollows(r *Result) {
	if len(r.Hollows) == 0 {
		return
	}
	h := r.Hollows[0]
	r.tell(fault.Finding{Severity: fault.Note, Code: "bag-reaches-in",
		What: fmt.Sprintf("The bag must reach into %s of the mould, the deepest %.0f mm deep.", fault.Count(len(r.Hollows), "hollow", "hollows"), 1000*float64(h.Deep)),
		Why:  "film that is drawn tight across a hollow bridges it, and leaves resin and air under it or bursts",
		Do:   "put the pleats where they are marked, draw a little vacuum, push the slack into every inside corner by hand, and only then draw all of it"}.
		Against(1000*float64(h.Deep), 1000*shallow, "mm"))
}
