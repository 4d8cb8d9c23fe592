package strength

import (
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// column is one motion that what is judged is put together from: under a unit
// load, or under a whole case with large motions.
type column struct {
	small *shell.Motion
	far   *shell.Moved
	free  shell.Free // that strains the plies besides
}

// stress returns a ply's at height z in a wall of thickness h, from the strain there.
func (c *column) stress(ply *wall.Gauge, strain wall.Vec, z, h float64) wall.Vec {
	besides, dT := c.free.At(z, h)
	for i := range strain {
		strain[i] += besides[i]
	}
	return ply.Stress(strain, dT)
}

// mix is what is judged: how much of each column's stress is held while the load
// grows, and how much is the load.
type mix struct {
	blend      int
	held, load []float64 // by column; columns beyond are not in it
	times      float64   // the load over the case's own
}

// of adds up the stresses of the columns.
func (m *mix) of(stress []wall.Vec) (held, load wall.Vec) {
	for k := range m.held {
		for i, s := range stress[k] {
			held[i] += m.held[k] * s
			load[i] += m.load[k] * s
		}
	}
	return held, load
}

// answers are triangle f's, one for each column.
func (j *judging) answers(f int) []shell.Answer {
	var small []shell.Motion
	for i := range j.columns {
		if c := &j.columns[i]; c.small != nil {
			small = append(small, *c.small)
		}
	}
	out := j.solver.Strains(f, small...)
	for i := range j.columns {
		if c := &j.columns[i]; c.far != nil {
			out = append(out, c.far.Strains(f))
		}
	}
	return out
}

// small sets up judging by the unit loads: every blend, with heat held while the
// rest grows. Where there is heat alone, heat is the load.
func (j *judging) small() {
	var of []int // each column's unit load
	for u, l := range j.unit {
		if l == nil {
			continue
		}
		c := column{small: &l.Motion, free: freeOf(u, 1)}
		j.columns, of = append(j.columns, c), append(of, u)
	}
	for i := range j.blends {
		b := &j.blends[i]
		m := mix{blend: i, held: make([]float64, len(of)), load: make([]float64, len(of)), times: 1}
		for k, u := range of {
			if warms(u) && b.mechanical() {
				m.held[k] = b.share[u]
			} else {
				m.load[k] = b.share[u]
			}
		}
		j.mixes = append(j.mixes, m)
	}
}
