package nest

import (
	"math"
	"math/rand/v2"
)

// How a place for a copy is sought. Source: [gardeyn2025]
const (
	wideTries  = 50    // places tried anywhere on the roll
	nearTries  = 25    // places tried about where the copy lies
	refined    = 3     // best places that are refined
	apart      = 0.05  // least distance between those, of the smaller side
	coarseFrom = 0.25  // first step of refinement, of the smaller side
	coarseTo   = 0.02  // last
	fineFrom   = 0.01  // first step of the last refinement
	fineTo     = 0.001 // last
	grow       = 1.1   // step after a success
	shrink     = 0.5   // step after a failure
)

// try is a spot and its weighted overlap.
type try struct {
	spot
	loss float64
}

// best keeps the few best tries that lie apart from each other.
type best struct {
	kept [refined]try
	n    int
}

// limit is what a try must undercut to be kept.
func (b *best) limit() float64 {
	if b.n < refined {
		return math.Inf(1)
	}
	return b.kept[b.n-1].loss
}

func (b *best) offer(t try, far float64) {
	for k := range b.n {
		o := b.kept[k]
		if o.pose == t.pose && math.Abs(o.x-t.x) < far && math.Abs(o.y-t.y) < far {
			if t.loss >= o.loss {
				return
			}
			copy(b.kept[k:b.n-1], b.kept[k+1:b.n])
			b.n--
			break
		}
	}
	if b.n < refined {
		b.n++
	} else if t.loss >= b.kept[b.n-1].loss {
		return
	}
	k := b.n - 1
	for ; k > 0 && b.kept[k-1].loss > t.loss; k-- {
		b.kept[k] = b.kept[k-1]
	}
	b.kept[k] = t
}

// seek is the best place found for copy i, at worst where it lies.
func (st *state) seek(i int32, rng *rand.Rand) try {
	here := st.at[i]
	far := apart * st.poses[here.pose].small
	var b best
	b.offer(try{here, st.weigh(i, here, math.Inf(1))}, far)
	consider := func(s spot) {
		if loss := st.weigh(i, s, b.limit()); loss < b.limit() {
			b.offer(try{s, loss}, far)
		}
	}
	ways := st.ways[i]
	for k := range nearTries + wideTries {
		p := ways[rng.IntN(len(ways))]
		x0, x1, y0, y1 := st.room(p)
		if x1 < x0 || y1 < y0 {
			continue
		}
		if k < nearTries {
			h := st.poses[p]
			x0, x1 = around(here.x, h.hx, x0, x1)
			y0, y1 = around(here.y, h.hy, y0, y1)
		}
		consider(spot{p, x0 + (x1-x0)*rng.Float64(), y0 + (y1-y0)*rng.Float64()})
	}
	for range st.echoes() {
		if s, ok := st.echo(i, rng); ok {
			consider(s)
		}
	}
	found := b.kept[0]
	for _, t := range b.kept[:b.n] {
		if found.loss == 0 {
			return found
		}
		if t = st.descend(i, t, coarseFrom, coarseTo, rng); t.loss < found.loss {
			found = t
		}
	}
	return st.descend(i, found, fineFrom, fineTo, rng)
}

// around is the range of h either way of x within lo to hi.
func around(x, h, lo, hi float64) (float64, float64) {
	a, b := max(lo, x-h), min(hi, x+h)
	if b < a {
		return lo, hi
	}
	return a, b
}

// descend improves a try by steps along x, y or a diagonal drawn by lot. The
// step grows after a success and shrinks after a failure.
func (st *state) descend(i int32, t try, from, to float64, rng *rand.Rand) try {
	small := st.poses[t.pose].small
	sx, sy := from*small, from*small
	x0, x1, y0, y1 := st.room(t.pose)
	for t.loss > 0 && (sx > to*small || sy > to*small) {
		axis := rng.IntN(4)
		dx, dy := [4]float64{sx, 0, sx, sx}[axis], [4]float64{0, sy, sy, -sy}[axis]
		was := t.loss
		for _, sign := range [2]float64{1, -1} {
			s := spot{t.pose, max(x0, min(t.x+sign*dx, x1)), max(y0, min(t.y+sign*dy, y1))}
			if s == t.spot {
				continue
			}
			if loss := st.weigh(i, s, t.loss); loss < t.loss {
				t = try{s, loss}
				break
			}
		}
		f := shrink
		if t.loss < was {
			f = grow
		}
		switch axis {
		case 0:
			sx *= f
		case 1:
			sy *= f
		default:
			sx, sy = sx*math.Sqrt(f), sy*math.Sqrt(f)
		}
	}
	return t
}
