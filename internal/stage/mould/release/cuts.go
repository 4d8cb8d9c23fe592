package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// How many of the cheapest cuts of a survey are made on the surface itself, and
// how many of those are cut once more. On a fine mesh the first alone is.
const (
	mostMade  = 8
	mostAgain = 3
	fineMesh  = 200_000 // triangles
)

func (s *surface) made(most int) int {
	if len(s.part.Triangles) > fineMesh {
		return 1
	}
	return most
}

// cutOnce returns the best cuts by one plane, best first.
func (s *surface) cutOnce(of Of, v *survey) []Split {
	all := make([]int, len(v.at))
	for k := range all {
		all[k] = k
	}
	return s.cutBy(of, v, all, Split{Of: of, Flat: true, patches: []patch{s.whole()}, Pieces: make([]Piece, 1)}, 0, s.made(mostMade))
}

// cutTwice cuts one piece of each of the best single cuts again.
func (s *surface) cutTwice(of Of, v *survey, once []Split) (out []Split) {
	for _, first := range once[:min(len(once), s.made(mostAgain))] {
		worst := 0
		if first.Pieces[1].Locked() > first.Pieces[0].Locked() {
			worst = 1
		}
		var there []int
		beyond := first.sideOf(worst, first.Planes[0])
		for k, p := range v.at {
			if first.Planes[0].side(p)*beyond > 0 {
				there = append(there, k)
			}
		}
		if len(there) > 0 {
			out = append(out, s.cutBy(of, v, there, first, worst, s.made(mostAgain))...)
		}
	}
	return out
}

// cutBy cuts one piece of a split by the cheapest planes over the places of the
// survey that lie on it.
func (s *surface) cutBy(of Of, v *survey, there []int, from Split, which, most int) (out []Split) {
	p := from.patches[which]
	box := p.mesh.Bounds()
	var centre r3.Vec
	for _, k := range there {
		centre = r3.Add(centre, r3.Scale(1/float64(len(there)), v.at[k]))
	}
	ks := v.knives(there)
	for _, k := range ks[:min(len(ks), most)] {
		if math.IsInf(k.cost, 1) {
			break
		}
		k = v.settled(k, there, r3.Scale(0.5, r3.Add(box.Min, box.Max)), centre)
		d := make([]float64, len(p.mesh.Vertices))
		for i, q := range p.mesh.Vertices {
			d[i] = k.plane.side(q)
		}
		over, under, lines, ok := p.cut(d, mesh.ClipOptions{Distance: k.plane.side})
		if !ok {
			continue
		}
		next := from
		next.Planes = append(slices.Clone(from.Planes), k.plane)
		next.Lines = append(slices.Clone(from.Lines), lines...)
		next.Seam = si.Length(length(next.Lines))
		next.patches = slices.Replace(slices.Clone(from.patches), which, which+1, over, under)
		m := r3.Scale(float64(of.moves()), vec(k.plane.Normal)) // of a mould's piece that goes along the normal, the part's pull is the other way
		above, below := v.dirs[k.over], v.dirs[k.under]
		for _, open := range []bool{true, false} { // the plain knife's pulls are those that have an order
			a, b := []r3.Vec{above}, []r3.Vec{below}
			if open {
				a, b = []r3.Vec{m, above}, []r3.Vec{r3.Scale(-1, m), below}
			}
			next.Pieces = slices.Replace(slices.Clone(from.Pieces), which, which+1, s.piece(of, over, open, a), s.piece(of, under, open, b))
			if of == TheMould && !s.in.Cavity {
				s.checkFace(&next, which, lines)
			}
			if of == ThePart || next.inOrder() {
				out = append(out, next)
				break
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Split) int { return cmp.Compare(a.weight(), b.weight()) })
	return out
}

// checkFace counts the share of a cut's face through a plug as locked that can't
// follow its piece out: the surface alone does not say that it runs into the part.
func (s *surface) checkFace(sp *Split, which int, lines [][]r3.Vec) {
	face, within := s.face(lines)
	for i := which; i <= which+1; i++ {
		e := sp.Pieces[i].dir()
		met := 0
		for _, q := range within {
			if s.meets(mouldMoves, q, r3.Scale(-1, e)) {
				met++
			}
		}
		sp.Pieces[i].face = si.Area(face * float64(met) / float64(max(1, len(within))))
		sp.Pieces[i].Hidden += sp.Pieces[i].face
	}
}

// face returns the area of the cut through a plug that lines on its surface bound,
// as a fan from their middle, and places on it. What of the fan lies outside the
// plug, as over a flange, is left out, as nearly as places on it tell.
func (s *surface) face(lines [][]r3.Vec) (area float64, within []r3.Vec) {
	var middle r3.Vec
	n := 0.0
	for _, l := range lines {
		for _, q := range l {
			middle, n = r3.Add(middle, q), n+1
		}
	}
	middle = r3.Scale(1/max(1, n), middle)
	for _, l := range lines {
		step := max(1, len(l)/24)
		for i := 0; i < len(l); i += step {
			a, b := l[i], l[min(len(l)-1, i+step)]
			if i+step >= len(l) { // an open line ends where the mould stands on its base
				b = l[0]
			}
			part := r3.Norm(r3.Cross(r3.Sub(a, middle), r3.Sub(b, middle))) / 2
			inside := 0
			for _, share := range []float64{0.2, 0.4, 0.6, 0.8} {
				q := r3.Add(middle, r3.Scale(share, r3.Sub(r3.Scale(0.5, r3.Add(a, b)), middle)))
				if s.inMould(q) {
					within = append(within, q)
					inside++
				}
			}
			area += part * float64(inside) / 4
		}
	}
	return area, within
}

// inMould tells whether a place lies on the mould's side of the part.
func (s *surface) inMould(q r3.Vec) bool {
	hit, ok := s.onPart.Closest(q)
	return ok && r3.Dot(r3.Sub(q, hit.At), s.in.Normal(hit.Face, hit.At)) < 0
}

// mostTurns is how many pairs of pulls are tried along the line where the surface
// turns from one to the other.
const mostTurns = 4

// cutAlongTurn parts the surface where its normals turn from one pull to another,
// along the line of places with n·a = n·b, which for opposite pulls is the outline
// seen along them.
func (s *surface) cutAlongTurn(of Of, v *survey) (out []Split) {
	p := s.whole()
	normals := s.part.VertexNormals()
	for _, pair := range v.pairs()[:s.made(mostTurns)] {
		a, b := v.dirs[pair[0]], v.dirs[pair[1]]
		d := make([]float64, len(normals))
		for i, n := range normals {
			d[i] = r3.Dot(n, r3.Sub(a, b))
		}
		over, under, lines, ok := p.cut(d, mesh.ClipOptions{})
		if !ok {
			continue
		}
		out = append(out, Split{Of: of, Lines: lines, Seam: si.Length(length(lines)), patches: []patch{over, under},
			Pieces: []Piece{s.piece(of, over, true, []r3.Vec{a}), s.piece(of, under, true, []r3.Vec{b})}})
	}
	slices.SortStableFunc(out, func(a, b Split) int { return cmp.Compare(a.weight(), b.weight()) })
	return out
}

// pairs returns the pairs of directions in the order of what they leave locked.
func (v *survey) pairs() [][2]int {
	n := len(v.dirs)
	all := make([][2]int, 0, n*(n-1)/2)
	for a := range n {
		for b := a + 1; b < n; b++ {
			all = append(all, [2]int{a, b})
		}
	}
	cost := make([]float64, len(all))
	each(len(all), func(i int) {
		for _, c := range v.cost {
			cost[i] += float64(min(c[all[i][0]], c[all[i][1]]))
		}
	})
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(cost[a], cost[b]), a-b) })
	out := make([][2]int, len(all))
	for i, o := range order {
		out[i] = all[o]
	}
	return out
}
