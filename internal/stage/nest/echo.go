package nest

import (
	"math"
	"math/rand/v2"
)

// Places that echo others are drawn where copies are much alike.
const (
	echoTries = 20 // draws for each copy sought
	alikeFrom = 12 // copies to a kind, on the whole
)

// echoes is how many such places are drawn.
func (s *strip) echoes() int {
	if s.free < alikeFrom*len(s.alike) {
		return 0
	}
	return echoTries
}

// echo is a place for copy i beside some copy c, just as copies like the two lie
// beside each other elsewhere, perhaps half a turn round: good neighbours are
// repeated. False where the lot drew no such pair.
func (st *state) echo(i int32, rng *rand.Rand) (spot, bool) {
	like := st.alike[st.poses[st.at[i].pose].kind]
	b := like[rng.IntN(len(like))]
	r := st.span[b]
	col := st.cols[r[0]+int32(rng.IntN(int(r[1]-r[0])+1))]
	a := col[rng.IntN(len(col))]
	if a == b || a == i || b == i || int(a) >= st.free {
		return spot{}, false
	}
	p, q := &st.body[a], &st.body[b]
	dx, dy := q.x-p.x, q.y-p.y
	if math.Abs(dx) > p.hx+q.hx || math.Abs(dy) > p.hy+q.hy {
		return spot{}, false
	}
	beside := st.alike[st.poses[p.pose].kind]
	c := beside[rng.IntN(len(beside))]
	o := st.at[c]
	s := spot{q.pose, o.x + dx, o.y + dy}
	switch {
	case c == a || c == i:
		return spot{}, false
	case o.pose == p.pose:
	case int(o.pose) == st.poses[p.pose].twin && st.poses[q.pose].twin >= 0:
		s = spot{int32(st.poses[q.pose].twin), o.x - dx, o.y - dy}
	default:
		return spot{}, false
	}
	x0, x1, y0, y1 := st.room(s.pose)
	return s, x0 <= s.x && s.x <= x1 && y0 <= s.y && s.y <= y1
}
