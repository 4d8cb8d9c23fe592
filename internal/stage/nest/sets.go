package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// set is copies that must come from one lot: the pieces of one ply of one part, or
// a single copy of a piece without group.
type set struct {
	kinds []int // of each copy
	group string
	area  float64
	alike string // the same for sets of the same pieces
}

// sets parts the copies of a roll. A group whose pieces are all wanted equally often
// makes so many sets; any other group is one.
func (r Roll) sets() (out []set) {
	seen := map[string]bool{}
	for kind, p := range r.Pieces {
		switch {
		case p.Group == "":
			for range p.Count {
				out = append(out, r.set([]int{kind}))
			}
		case !seen[p.Group]:
			seen[p.Group] = true
			out = append(out, r.groupSets(p.Group)...)
		}
	}
	return out
}

func (r Roll) groupSets(group string) (out []set) {
	var once, all []int
	count, even := 0, true
	for kind, p := range r.Pieces {
		if p.Group != group {
			continue
		}
		once = append(once, kind)
		for range p.Count {
			all = append(all, kind)
		}
		even = even && (count == 0 || p.Count == count)
		count = p.Count
	}
	if !even {
		return []set{r.set(all)}
	}
	for range count {
		out = append(out, r.set(once))
	}
	return out
}

func (r Roll) set(kinds []int) set {
	s := set{kinds: kinds, group: r.Pieces[kinds[0]].Group, alike: fmt.Sprint(kinds)}
	for _, k := range kinds {
		s.area += math.Abs(r.Pieces[k].Outline.Area())
	}
	return s
}

// kindsOf lists the copies of all sets.
func kindsOf(sets []set) (out []int) {
	for _, s := range sets {
		out = append(out, s.kinds...)
	}
	return out
}

// largestFirst sorts sets by their area.
func largestFirst(sets []set) []set {
	out := slices.Clone(sets)
	slices.SortStableFunc(out, func(a, b set) int { return cmp.Compare(b.area, a.area) })
	return out
}
