package plydraw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// crossing names where a thread crosses a side of the mesh: the side's ends and
// the thread's number.
type crossing struct {
	a, b int32
	n    int
}

// stretch is the part of a thread in one triangle.
type stretch struct {
	key  [2]crossing
	at   [2]r3.Vec
	flat [2]r2.Vec
	face int
}

// thread is a line of constant flat coordinate on the surface: a yarn.
type thread struct {
	at   []r3.Vec
	flat []r2.Vec
	face []int // of each stretch between two points
}

// threads returns the yarns that lie at multiples of a step from the seed's:
// those along the warp, or those along the weft.
func (g *ground) threads(step float64, weft bool) []thread {
	of := func(v int32) float64 {
		if weft {
			return g.flat[v].X
		}
		return g.flat[v].Y
	}
	var all []stretch
	for f, t := range g.mesh.Triangles {
		c := [3]float64{of(t[0]), of(t[1]), of(t[2])}
		low, high := min(c[0], c[1], c[2]), max(c[0], c[1], c[2])
		for n := int(math.Ceil(low / step)); float64(n)*step <= high; n++ {
			if s, ok := g.across(f, c, float64(n)*step, n); ok {
				all = append(all, s)
			}
		}
	}
	return chained(all)
}

// across returns the part of a thread in a triangle whose corners have the
// coordinates c.
func (g *ground) across(f int, c [3]float64, level float64, n int) (s stretch, ok bool) {
	t := g.mesh.Triangles[f]
	found := 0
	for i := range 3 {
		j := (i + 1) % 3
		if (c[i] < level) == (c[j] < level) || found == 2 {
			continue
		}
		w := (level - c[i]) / (c[j] - c[i])
		a, b := t[i], t[j]
		s.key[found] = crossing{min(a, b), max(a, b), n}
		s.at[found] = r3.Add(g.mesh.Vertices[a], r3.Scale(w, r3.Sub(g.mesh.Vertices[b], g.mesh.Vertices[a])))
		s.flat[found] = r2.Add(g.flat[a], r2.Scale(w, r2.Sub(g.flat[b], g.flat[a])))
		found++
	}
	s.face = f
	return s, found == 2
}

// chained joins stretches that meet on a side of the mesh.
func chained(all []stretch) (out []thread) {
	c := chain{all: all, ends: map[crossing][]int{}, used: make([]bool, len(all))}
	for i, s := range all {
		c.ends[s.key[0]] = append(c.ends[s.key[0]], i)
		c.ends[s.key[1]] = append(c.ends[s.key[1]], i)
	}
	for i := range all {
		if !c.used[i] {
			out = append(out, c.follow(c.beginning(i)))
		}
	}
	return out
}

// chain is stretches on the way to threads.
type chain struct {
	all  []stretch
	ends map[crossing][]int // for looking up only
	used []bool
}

// next returns the stretch that meets one end of stretch i, and which of its
// ends that is; -1 where the thread ends.
func (c *chain) next(i, end int) (j, at int) {
	key := c.all[i].key[end]
	for _, j := range c.ends[key] {
		if j == i {
			continue
		}
		if c.all[j].key[0] == key {
			return j, 0
		}
		return j, 1
	}
	return -1, 0
}

// beginning walks back from a stretch to where its thread begins; a thread that
// closes on itself begins anywhere.
func (c *chain) beginning(first int) (i, end int) {
	i = first
	for {
		j, at := c.next(i, end)
		if j < 0 || j == first {
			return i, end
		}
		i, end = j, 1-at
	}
}

// follow walks a thread from one end of its first stretch to its end.
func (c *chain) follow(i, end int) thread {
	t := thread{at: []r3.Vec{c.all[i].at[end]}, flat: []r2.Vec{c.all[i].flat[end]}}
	for i >= 0 && !c.used[i] {
		c.used[i] = true
		s, far := c.all[i], 1-end
		t.at, t.flat, t.face = append(t.at, s.at[far]), append(t.flat, s.flat[far]), append(t.face, s.face)
		i, end = c.next(i, far)
	}
	return t
}
