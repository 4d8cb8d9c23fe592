package release

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// survey is what every direction of a grid frees, at places spread evenly over
// the part's area: a search asks it instead of the surface.
type survey struct {
	moves  side
	dirs   []r3.Vec
	at     []r3.Vec
	normal []r3.Vec
	share  float64     // area that each place stands for, m²
	cost   [][]float32 // by place and direction
}

// What a square metre costs in a search: one that hooks counts in full, one that
// grips a little, so that of several ways that free the part the one with the
// better draft wins.
const (
	gripCost  = 0.05
	scantCost = 0.02
)

const surveyed = 1600 // places

// survey looks along all directions from n places, which are the middles of the
// triangles that the sum of the areas falls in at equal steps.
func (s *surface) survey(moves side, dirs []r3.Vec) *survey {
	v := &survey{moves: moves, dirs: dirs, share: s.total / surveyed}
	sum := 0.0
	for f, a := range s.area {
		for sum += a; sum > (float64(len(v.at))+0.5)*v.share && len(v.at) < surveyed; {
			v.at, v.normal = append(v.at, s.middle[f]), append(v.normal, s.normal[f])
		}
	}
	v.cost = make([][]float32, len(v.at))
	each(len(v.at), func(k int) {
		v.cost[k] = make([]float32, len(dirs))
		for d, e := range dirs {
			v.cost[k][d] = float32(s.costOf(moves, v.at[k], v.normal[k], e))
		}
	})
	return v
}

// costOf weighs one place against one direction.
func (s *surface) costOf(moves side, p, n, e r3.Vec) float64 {
	switch sine := r3.Dot(n, e); {
	case s.blocked(moves, p, n, e):
		return 1
	case sine < math.Sin(float64(LeastDraft)):
		return gripCost
	case sine < math.Sin(float64(WantedDraft)):
		return scantCost
	}
	return 0
}

// along weighs a direction off the grid.
func (s *surface) along(moves side, v *survey, e r3.Vec) float64 {
	costs := make([]float64, len(v.at))
	each(len(costs), func(k int) { costs[k] = s.costOf(moves, v.at[k], v.normal[k], e) })
	var sum float64
	for _, c := range costs {
		sum += c
	}
	return sum * v.share
}
