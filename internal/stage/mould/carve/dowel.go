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
	Below    bool       `json:"from_below"` // drilled from below and not through: the upper end of the dowel
	Above    bool       `json:"from_above"` // drilled from above and not through: the lower end
}

// Rules of thumb for dowels. Common practice, no source.
const (
	dowelClear = 8e-3    // m, left between a dowel and the carved surface
	holdsOn    = 0.6     // of the widest distance at a joint: as long as two dowels lie so far apart they go on up
	apartLeast = 4.0     // dowel's diameters between two of one joint
	notNear    = 3.0     // diameters between dowels of different joints in one board
	intoLast   = 2.0 / 3 // of the thickness: how deep an end goes
	endPlay    = 4e-3    // m, by which a dowel is shorter than its holes
)

// run is a dowel through the boards from one to another.
type run struct {
	at       r2.Vec
	from, to int
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
			h := Hole{At: [2]float64{r.at.X, r.at.Y}, Diameter: b.in.How.Dowel, Below: k == r.to, Above: k == r.from && board.Number > 0}
			board.Holes = append(board.Holes, h)
			if h.Below || h.Above {
				long += intoLast * board.Thickness
			} else {
				long += board.Thickness
			}
		}
		s.DowelLong += si.Length(max(0, long))
	}
}

// grid is places on round measures, and of each board which piece holds each.
type grid struct {
	at    []r2.Vec
	in    [][]int8 // of each board, by place: 1 + the piece that has room for a dowel there, 0 for none
	step  float64
	dowel float64
	mid   [][]r2.Vec // of each board's pieces
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
		in := make([]int8, len(g.at))
		for i, q := range g.at {
			in[i] = b.room(board, q)
		}
		g.in = append(g.in, in)
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

// room tells which piece, counted from 1, of a board holds a dowel at a place with
// wood round it after carving; 0 for none.
func (b builder) room(board Board, q r2.Vec) int8 {
	clear := float64(b.in.How.Dowel)/2 + dowelClear
	for i, p := range board.Pieces {
		if !p.Outline.Contains(q) || nearer(p.Outline, q, clear) {
			continue
		}
		for _, l := range board.sure {
			if !b.keeps(l.Cut, q, clear) {
				return 0
			}
		}
		return int8(min(i+1, math.MaxInt8))
	}
	return 0
}

// keeps tells whether a place stays in the wood of a slice, clear of its border.
func (b builder) keeps(cut []geom.Region, q r2.Vec, clear float64) bool {
	for _, r := range cut {
		if r.Contains(q) {
			return !b.in.Cavity && !nearer(r, q, clear)
		}
		if b.in.Cavity && nearer(r, q, clear) {
			return false
		}
	}
	return b.in.Cavity
}

// nearer tells whether a region's border comes nearer to q than d.
func nearer(r geom.Region, q r2.Vec, d float64) bool {
	if ringNearer(r.Outer, q, d) {
		return true
	}
	return slices.ContainsFunc(r.Holes, func(h geom.Polygon) bool { return ringNearer(h, q, d) })
}

func ringNearer(p geom.Polygon, q r2.Vec, d float64) bool {
	a := p[len(p)-1]
	for _, b := range p {
		if min(a.X, b.X) < q.X+d && max(a.X, b.X) > q.X-d && min(a.Y, b.Y) < q.Y+d && max(a.Y, b.Y) > q.Y-d &&
			geom.SegmentDistance(q, a, b) < d {
			return true
		}
		a = b
	}
	return false
}

// held counts the dowels that already join a piece to the board below.
func (g grid) held(runs []run, k, q int) (n int) {
	for _, r := range runs {
		if r.from < k && k <= r.to && g.pieceAt(k, r.at) == q+1 {
			n++
		}
	}
	return n
}

func (g grid) pieceAt(k int, at r2.Vec) int {
	i := slices.Index(g.at, at)
	return int(g.in[k][i])
}

// pair finds the two dowels of a piece; one, or none, where there is no room.
func (g grid) pair(runs []run, k, q int) (out []run) {
	var places []r2.Vec
	for i, at := range g.at {
		if int(g.in[k][i]) == q+1 && g.in[k-1][i] > 0 && g.clear(runs, k, at) {
			places = append(places, at)
		}
	}
	best := farthest(places)
	if len(best) < 2 || r2.Norm(r2.Sub(best[0], best[1])) < apartLeast*g.dowel {
		if len(places) > 0 {
			out = []run{{places[len(places)/2], k - 1, k}}
		}
		return out
	}
	wide, last := r2.Norm(r2.Sub(best[0], best[1])), k
	for last+1 < len(g.in) {
		kept := slices.DeleteFunc(slices.Clone(places), func(at r2.Vec) bool { return g.pieceAt(last+1, at) == 0 })
		next := farthest(kept)
		if len(next) < 2 || r2.Norm(r2.Sub(next[0], next[1])) < max(holdsOn*wide, apartLeast*g.dowel) {
			break
		}
		places, best, last = kept, next, last+1
	}
	best = g.uneven(places, best, g.mid[k][q])
	return []run{{best[0], k - 1, last}, {best[1], k - 1, last}}
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
