package carve

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Hole is a dowel's hole in one board, drilled square to it.
type Hole struct {
	At       [2]float64 `json:"at_m"`
	Diameter si.Length  `json:"diameter_m"`
	Depth    si.Length  `json:"depth_m"`
	Below    bool       `json:"from_below"` // drilled from below and not through: the upper end of the dowel
	Above    bool       `json:"from_above"` // drilled from above and not through: the lower end
}

// Rules of thumb for dowels. Common practice, no source.
const (
	dowelClear = 8e-3    // m, left between a dowel and the carved surface
	holdsOn    = 0.6     // of the widest distance at a joint: as long as two dowels lie so far apart they go on up
	apartLeast = 4.0     // dowel's diameters between two of one joint
	notNear    = 3.0     // diameters between dowels of different joints in one board
	intoLast   = 2.0 / 3 // of the thickness: how deep an end goes where there is room
	intoLess   = 1.0 / 3
	intoLeast  = 1.5  // dowel's diameters: no end is shorter
	overEnd    = 3e-3 // m, of wood that stays over a dowel's end
	endPlay    = 4e-3 // m, by which a dowel is shorter than its holes
)

// run is a dowel through the boards from one to another.
type run struct {
	at       r2.Vec
	from, to int
	into     float64 // depth in the last, m
}

// dowels finds, for each joint, two places that lie inside the shape through both
// boards, as far apart as may be, and takes them on up through as many boards as
// hold them. Places lie on round measures from the datum.
func (b builder) dowels(s *Stack) {
	g := b.grid(s)
	var runs []run
	for k := 1; k < len(s.Boards); k++ {
		for q, piece := range s.Boards[k].Pieces {
			if g.held(runs, k, q) >= 2 {
				continue
			}
			found := g.pair(runs, k, q)
			if len(found) < 2 {
				s.Loose = append(s.Loose, piece.Name)
			} else if d := si.Length(r2.Norm(r2.Sub(found[0].at, found[1].at))); s.Apart == 0 || d < s.Apart {
				s.Apart = d
			}
			runs = append(runs, found...)
		}
	}
	for _, r := range runs {
		s.Dowels++
		long := -endPlay
		for k := r.from; k <= r.to; k++ {
			board := &s.Boards[k]
			h := Hole{At: [2]float64{r.at.X, r.at.Y}, Diameter: b.in.How.Dowel, Depth: si.Length(board.Thickness), Below: k == r.to, Above: k == r.from && board.Number > 0}
			if h.Below {
				h.Depth = si.Length(r.into)
			} else if h.Above {
				h.Depth *= intoLast
			}
			board.Holes = append(board.Holes, h)
			long += float64(h.Depth)
		}
		s.DowelLong += si.Length(max(0, long))
	}
}

// grid is places on round measures, and of each board which piece holds each.
type grid struct {
	at    []r2.Vec
	in    [][]int8   // of each board, by place: 1 + the piece that has room for a dowel through it, 0 for none
	begin [][]int8   // as in, of the upper part of each board, in which a dowel begins
	ends  [][]ending // of each board, the deepest first: where one may end
	step  float64
	dowel float64
	mid   [][]r2.Vec // of each board's pieces
}

// ending is how deep a dowel's end goes into a board, and where it may.
type ending struct {
	deep float64
	in   []int8
}

// gridMost is the most places looked at along a side.
const gridMost = 60

// grid looks where each board could hold a dowel.
func (b builder) grid(s *Stack) grid {
	box := b.face.bounds
	side := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	if b.in.Cavity {
		side += 2 * float64(b.in.How.Wall)
		box.Min.X, box.Max.X = box.Min.X-float64(b.in.How.Wall), box.Max.X+float64(b.in.How.Wall)
		w := max(-box.Min.Y, box.Max.Y) + float64(b.in.How.Wall)
		box.Min.Y, box.Max.Y = -w, w // it is turned over
	}
	g := grid{step: roundStep(side/gridMost, 5e-3), dowel: float64(b.in.How.Dowel)}
	for y := math.Ceil(box.Min.Y / g.step); y*g.step <= box.Max.Y; y++ {
		for x := math.Ceil(box.Min.X / g.step); x*g.step <= box.Max.X; x++ {
			g.at = append(g.at, r2.Vec{X: x * g.step, Y: y * g.step})
		}
	}
	for _, board := range s.Boards {
		foot, head := float64(board.Foot), float64(board.Head)
		g.in = append(g.in, b.rooms(g.at, board, foot, head))
		from := head - intoLast*board.Thickness - overEnd
		if board.Number == 0 {
			from = foot // it is drilled through
		}
		g.begin = append(g.begin, b.rooms(g.at, board, from, head))
		var ends []ending
		for _, deep := range []float64{intoLast * board.Thickness, intoLess * board.Thickness, intoLeast * g.dowel} {
			if deep < board.Thickness {
				ends = append(ends, ending{deep, b.rooms(g.at, board, foot, foot+deep+overEnd)})
			}
		}
		g.ends = append(g.ends, ends)
		var mids []r2.Vec
		for _, p := range board.Pieces {
			mids = append(mids, p.Outline.Outer.Bounds().Center())
		}
		g.mid = append(g.mid, mids)
	}
	return g
}

// roundStep is the least of 1, 2, 5 times a power of ten that is no less than x.
func roundStep(x, least float64) float64 {
	x = max(x, least)
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, f := range []float64{1, 2, 5} {
		if f*p >= x*(1-1e-9) {
			return f * p
		}
	}
	return 10 * p
}

// held counts the dowels that already join a piece to the board below.
func (g grid) held(runs []run, k, q int) (n int) {
	for _, r := range runs {
		if r.from < k && k <= r.to && g.mayEnd(k, r.at) == q+1 {
			n++
		}
	}
	return n
}

// mayEnd is the piece of a board in which a dowel at a place may end at least.
func (g grid) mayEnd(k int, at r2.Vec) (piece int) {
	i := slices.Index(g.at, at)
	for _, e := range g.ends[k] {
		piece = max(piece, int(e.in[i]))
	}
	return piece
}

// widest finds the two of some places farthest apart at which a dowel may end in a
// board, in its piece q or, for −1, in any; and how deep.
func (g grid) widest(of []r2.Vec, k, q int) (places, pair []r2.Vec, deep float64) {
	for _, e := range g.ends[k] {
		places = places[:0:0]
		for _, at := range of {
			if p := int(e.in[slices.Index(g.at, at)]); p > 0 && (q < 0 || p == q+1) {
				places = append(places, at)
			}
		}
		if pair = farthest(places); len(pair) == 2 && r2.Norm(r2.Sub(pair[0], pair[1])) >= apartLeast*g.dowel {
			return places, pair, e.deep
		}
		deep = e.deep
	}
	return places, nil, deep
}

// pair finds the two dowels of a piece; one, or none, where there is no room.
func (g grid) pair(runs []run, k, q int) []run {
	var inside []r2.Vec
	for i, at := range g.at {
		if g.begin[k-1][i] > 0 && g.clear(runs, k, at) {
			inside = append(inside, at)
		}
	}
	places, best, deep := g.widest(inside, k, q)
	if len(best) < 2 {
		if len(places) > 0 {
			return []run{{places[len(places)/2], k - 1, k, deep}}
		}
		return nil
	}
	wide, last := r2.Norm(r2.Sub(best[0], best[1])), k
	for last+1 < len(g.in) {
		inside = slices.DeleteFunc(inside, func(at r2.Vec) bool {
			in := int(g.in[last][slices.Index(g.at, at)])
			return in == 0 || last == k && in != q+1
		})
		more, next, into := g.widest(inside, last+1, -1)
		if len(next) < 2 || r2.Norm(r2.Sub(next[0], next[1])) < holdsOn*wide {
			break
		}
		places, best, deep, last = more, next, into, last+1
	}
	best = g.uneven(places, best, g.mid[k][q])
	return []run{{best[0], k - 1, last, deep}, {best[1], k - 1, last, deep}}
}

// clear tells whether a place keeps off the dowels that end in the boards of a joint.
func (g grid) clear(runs []run, k int, at r2.Vec) bool {
	for _, r := range runs {
		if r.to >= k-1 && r2.Norm(r2.Sub(r.at, at)) < notNear*g.dowel {
			return false
		}
	}
	return true
}

// uneven moves the second of two places where they lie even about the piece's
// middle: then a board laid the wrong way round would go on all the same.
func (g grid) uneven(places, pair []r2.Vec, mid r2.Vec) []r2.Vec {
	even := func(q r2.Vec) bool {
		return r2.Norm(r2.Sub(r2.Add(pair[0], q), r2.Scale(2, mid))) < 2*g.step
	}
	if !even(pair[1]) {
		return pair
	}
	out, wide := pair, 0.0
	for _, q := range places {
		if d := r2.Norm(r2.Sub(q, pair[0])); d > wide && !even(q) && d >= apartLeast*g.dowel {
			wide, out = d, []r2.Vec{pair[0], q}
		}
	}
	return out
}

// farthest returns the two places farthest apart; fewer than two where there are.
func farthest(of []r2.Vec) []r2.Vec {
	hull := geom.Hull(of)
	if len(hull) < 2 {
		return hull
	}
	out, wide := []r2.Vec(nil), -1.0
	for i, p := range hull {
		for _, q := range hull[i+1:] {
			if d := r2.Norm2(r2.Sub(p, q)); d > wide+1e-12 {
				wide, out = d, []r2.Vec{p, q}
			}
		}
	}
	slices.SortFunc(out, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	return out
}
