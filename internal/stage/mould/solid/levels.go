package solid

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// level is what some solids make together with joints of one radius, as a solid
// among others.
type level struct {
	joined  *Joined
	members []int // solids in it, in order
}

// At returns the Euclidean distance outside.
func (l *level) At(p r3.Vec) (float64, r3.Vec) { return l.joined.rolled(p, Field.At) }

// Crisp is At with faces that go on past sharp edges.
func (l *level) Crisp(p r3.Vec) (float64, r3.Vec) { return l.joined.rolled(p, crisp) }

// mostLevels bounds the groups of solids that joints of unlike radii make.
const mostLevels = 64

// Fill joins solids with a radius of its own for each pair, as a shop lays
// filler: the largest radius first, each smaller one into what is there by then.
// With the radii ρ₁ > ρ₂ > … of the pairs, at each ρ a ball rolls over every group
// of solids whose joints are all of ρ or more, and over the larger fillets
// within the group. Pairs that name 0 stay sharp. It refuses what falls into
// more groups than can be worked out.
func Fill(parts []Field, radius func(i, j int) float64) (*Joined, error) {
	radii := []float64{}
	for i := range parts {
		for j := range i {
			if r := radius(i, j); r > 0 && !slices.Contains(radii, r) {
				radii = append(radii, r)
			}
		}
	}
	slices.SortFunc(radii, func(a, b float64) int {
		if a > b {
			return -1
		}
		return 1
	})
	out := &Joined{Parts: parts}
	if len(radii) > 0 {
		out.Radius = radii[0]
	}
	var made []*level
	for _, ρ := range radii {
		before := made
		for _, g := range cliques(len(parts), func(i, j int) bool { return radius(i, j) >= ρ }) {
			within := slices.DeleteFunc(slices.Clone(before), func(l *level) bool { return !subset(l.members, g) })
			if slices.ContainsFunc(within, func(l *level) bool { return len(l.members) == len(g) }) {
				continue // a larger ball has rolled over all of it
			}
			if len(made) == mostLevels {
				return nil, fmt.Errorf("the joints fall into more than %d groups", mostLevels)
			}
			made = append(made, &level{&Joined{Radius: ρ, Parts: tops(parts, g, within)}, g})
		}
	}
	if len(made) == 1 && len(made[0].members) == len(parts) {
		return out, nil // one radius for all
	}
	all := make([]int, len(parts))
	for i := range all {
		all[i] = i
	}
	out.filled = tops(parts, all, made)
	return out, nil
}

// tops returns what makes the surface of some solids: the groups made of them
// that are within no other one, and the solids in no group.
func tops(parts []Field, of []int, made []*level) (out []Field) {
	for _, i := range of {
		if !slices.ContainsFunc(made, func(l *level) bool { return slices.Contains(l.members, i) }) {
			out = append(out, parts[i])
		}
	}
	for k, l := range made {
		if !slices.ContainsFunc(made[k+1:], func(m *level) bool { return subset(l.members, m.members) }) {
			out = append(out, l)
		}
	}
	return out
}

func subset(a, of []int) bool {
	for _, x := range a {
		if !slices.Contains(of, x) {
			return false
		}
	}
	return true
}

// cliques returns the largest groups of two or more in which all are joined.
//
// Source: [bron-kerbosch1973].
func cliques(n int, joined func(i, j int) bool) (out [][]int) {
	var grow func(in, may, done []int)
	grow = func(in, may, done []int) {
		if len(out) > mostLevels {
			return
		}
		if len(may) == 0 && len(done) == 0 && len(in) > 1 {
			out = append(out, slices.Sorted(slices.Values(in)))
		}
		for len(may) > 0 {
			v := may[0]
			beside := func(list []int) (near []int) {
				for _, w := range list {
					if w != v && joined(max(v, w), min(v, w)) {
						near = append(near, w)
					}
				}
				return near
			}
			grow(append(slices.Clone(in), v), beside(may), beside(done))
			may, done = may[1:], append(done, v)
		}
	}
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	grow(nil, all, nil)
	return out
}
