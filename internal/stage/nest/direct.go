package nest

import "gonum.org/v1/gonum/spatial/r2"

// tablesMost is the memory in bytes that the tables of pairs may take. Where the
// pieces are so many and unlike that they would take more, every pair test is
// worked out anew.
const tablesMost = 150e6

// directWork is the work of a pair test without a table, in tests with one.
const directWork = 20

// tableSize is about how many bytes the table of two poses takes.
func tableSize(a, b *pose) float64 {
	planes := 0
	for i := range a.parts {
		planes += len(a.parts[i].sides) * len(b.parts)
	}
	for i := range b.parts {
		planes += len(b.parts[i].sides) * len(a.parts)
	}
	return 8*cells*cells + 56*float64(len(a.parts)*len(b.parts)) + 24*float64(planes)
}

// overlapAt is the overlap of pose a with pose b shifted by (dx, dy) from it,
// without a table.
func overlapAt(a, b *pose, dx, dy float64) float64 {
	if !a.meets(b, dx, dy) {
		return 0
	}
	return discOverlap(a, b, r2.Vec{X: dx, Y: dy})
}

// fewDiscs is how many discs of each pose are asked before its parts: the large
// ones, which settle most overlaps.
const fewDiscs = 3

// meets reports whether b shifted by (dx, dy) overlaps a.
func (a *pose) meets(b *pose, dx, dy float64) bool {
	for _, u := range a.discs[:min(fewDiscs, len(a.discs))] {
		for _, v := range b.discs[:min(fewDiscs, len(b.discs))] {
			x, y, r := v.c.X+dx-u.c.X, v.c.Y+dy-u.c.Y, u.r+v.r-2*touch
			if x*x+y*y < r*r {
				return true
			}
		}
	}
	near := make([]int, 0, 64) // parts of b that reach into a's box
	for k := range b.parts {
		if b.parts[k].reaches(-dx, -dy, a) {
			near = append(near, k)
		}
	}
	for i := range a.parts {
		u := &a.parts[i]
		if !u.reaches(dx, dy, b) {
			continue
		}
		for _, k := range near {
			if u.meets(&b.parts[k], dx, dy) {
				return true
			}
		}
	}
	return false
}

// reaches reports whether the part reaches into the box of pose p shifted by
// (dx, dy).
func (u *part) reaches(dx, dy float64, p *pose) bool {
	return u.box.Min.X < dx+p.hx && u.box.Max.X > dx-p.hx && u.box.Min.Y < dy+p.hy && u.box.Max.Y > dy-p.hy
}

// sumsAt calls f with each sum of the parts of poses a and b that holds some
// shift with that dy.
func (st *state) sumsAt(a, b int32, dy float64, f func(s *sum, sign float64)) {
	if !st.direct {
		t, sign := st.pair(a, b)
		for k := range t.sums {
			if s := &t.sums[k]; s.box.Min.Y < sign*dy && sign*dy < s.box.Max.Y {
				f(s, sign)
			}
		}
		return
	}
	p, q := st.poses[a], st.poses[b]
	for i := range p.parts {
		u := &p.parts[i]
		if u.box.Min.Y >= q.hy+dy || u.box.Max.Y <= dy-q.hy {
			continue
		}
		for k := range q.parts {
			v := &q.parts[k]
			if u.box.Min.Y-v.box.Max.Y < dy && dy < u.box.Max.Y-v.box.Min.Y {
				st.scratch.set(u, v)
				f(&st.scratch, 1)
			}
		}
	}
}
