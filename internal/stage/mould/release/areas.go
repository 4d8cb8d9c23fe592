package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Kind is what is wrong with an area.
type Kind string

// The kinds of area that a pull meets.
const (
	Undercut Kind = "undercut"  // leans back or lies behind another region
	NoDraft  Kind = "no draft"  // under 1 deg
	LowDraft Kind = "low draft" // under 3 deg
)

// Area is a region of the part that hooks or grips, in one piece.
type Area struct {
	Kind     Kind       `json:"kind"`
	Area     si.Area    `json:"area_m2"`
	Length   si.Length  `json:"length_m"` // the diagonal of the box round it
	At       [3]float64 `json:"at_m"`     // a place on it, near its middle
	MinDraft si.Angle   `json:"min_draft_deg"`

	// Of an undercut: how far the wall must give way sideways until it comes past,
	// where that is most, and which way; absent where it is shut in all round.
	Hook   *si.Length  `json:"hook_m,omitempty"`
	HookAt *[3]float64 `json:"hook_at_m,omitempty"`
	Flex   *[3]float64 `json:"flex,omitempty"`

	Faces []int32 `json:"-"` // triangles of the part
}

// mostAreas is how many areas of a pull are listed, and mostHooks at how many
// places of an area the hook is measured.
const (
	mostAreas = 12
	mostHooks = 80
)

// areas lists the regions that hook or grip along a pull, undercuts first, then by
// their size. Those under a trifle are left out, and so are those beyond mostAreas.
func (s *surface) areas(t *mesh.Topology, p Pull) (out []Area) {
	kind := make([]Kind, len(p.Draft))
	for f, δ := range p.Draft {
		switch {
		case p.Stuck[f]:
			kind[f] = Undercut
		case δ < float64(LeastDraft)-1e-6:
			kind[f] = NoDraft
		case δ < float64(WantedDraft)-1e-6:
			kind[f] = LowDraft
		}
	}
	seen := make([]bool, len(kind))
	for f, k := range kind {
		if k == "" || seen[f] {
			continue
		}
		faces := t.Region(f, func(h int) bool { g := t.Twin[h]; return g >= 0 && kind[g/3] == k })
		for _, g := range faces {
			seen[g] = true
		}
		if a := s.areaOf(k, faces, p); a.Area > Trifle {
			out = append(out, a)
		}
	}
	rank := map[Kind]int{Undercut: 0, NoDraft: 1, LowDraft: 2}
	slices.SortStableFunc(out, func(a, b Area) int {
		return cmp.Or(rank[a.Kind]-rank[b.Kind], cmp.Compare(b.Area, a.Area))
	})
	out = out[:min(len(out), mostAreas)]
	for i := range out {
		if out[i].Kind == Undercut {
			s.measureHook(&out[i], p.dir())
		}
	}
	return out
}

func (s *surface) areaOf(k Kind, faces []int32, p Pull) Area {
	a := Area{Kind: k, MinDraft: math.Pi / 2, Faces: faces}
	var middle r3.Vec
	inf := math.Inf(1)
	low, high := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for _, f := range faces {
		a.Area += si.Area(s.area[f])
		a.MinDraft = min(a.MinDraft, si.Angle(p.Draft[f]))
		middle = r3.Add(middle, r3.Scale(s.area[f], s.middle[f]))
		for _, v := range s.part.Triangles[f] {
			q := s.part.Vertices[v]
			low = r3.Vec{X: min(low.X, q.X), Y: min(low.Y, q.Y), Z: min(low.Z, q.Z)}
			high = r3.Vec{X: max(high.X, q.X), Y: max(high.Y, q.Y), Z: max(high.Z, q.Z)}
		}
	}
	a.Length = si.Length(r3.Norm(r3.Sub(high, low)))
	middle = r3.Scale(1/max(float64(a.Area), 1e-30), middle)
	best := inf
	for _, f := range faces {
		if d := r3.Norm(r3.Sub(s.middle[f], middle)); d < best {
			best, a.At = d, array(s.middle[f])
		}
	}
	return a
}

// measureHook finds the deepest hook of an area among its corners, every so many
// of them.
func (s *surface) measureHook(a *Area, e r3.Vec) {
	type corner struct {
		p, n r3.Vec
	}
	var all []corner
	known := map[int32]bool{}
	for _, f := range a.Faces {
		for _, v := range s.part.Triangles[f] {
			if !known[v] {
				known[v] = true
				// A hair inside its triangle, lest it lie in the face beside an edge.
				p := r3.Add(s.part.Vertices[v], r3.Scale(cornerIn, r3.Sub(s.middle[f], s.part.Vertices[v])))
				all = append(all, corner{p, s.in.Normal(int(f), p)})
			}
		}
	}
	step := max(1, len(all)/mostHooks)
	n := (len(all) + step - 1) / step
	depth, way := make([]float64, n), make([]r3.Vec, n)
	each(n, func(i int) { depth[i], way[i] = s.hook(all[i*step].p, all[i*step].n, e) })
	worst := 0
	for i, d := range depth {
		if d > depth[worst] {
			worst = i
		}
	}
	if d := depth[worst]; !math.IsInf(d, 1) && d > 0 {
		l, at, flex := si.Length(d), array(all[worst*step].p), array(way[worst])
		a.Hook, a.HookAt, a.Flex = &l, &at, &flex
	}
}

// compass is how many ways sideways are tried besides the wall's own: the least
// of them is at most 1/cos(π/16), 2 %, above the true least.
const compass = 16

// hook returns how far a place must go sideways, across the pull e, until nothing
// of the mould is in its way, and which way that is; infinite where no way out is
// found within the mould's size.
//
//	h = min over u ⟂ e of the least s with p + s·u free along e
//
// The wall's own way, its normal across the pull, is tried first; on a surface of
// revolution it is the exact answer.
func (s *surface) hook(p, n, e r3.Vec) (depth float64, way r3.Vec) {
	ways := around(e, compass)
	if own := r3.Sub(n, r3.Scale(r3.Dot(n, e), e)); r3.Norm(own) > 1e-3 {
		ways = append([]r3.Vec{r3.Unit(own)}, ways...)
	}
	depth = math.Inf(1)
	free := func(u r3.Vec, d float64) bool {
		return !s.meets(partMoves, r3.Add(p, r3.Add(r3.Scale(hair, n), r3.Scale(d, u))), e)
	}
	for _, u := range ways {
		held, most := 0.0, min(depth, s.span)
		for d := 4 * hair; held < most; d = min(1.4*d, most) {
			if !free(u, d) {
				held = d
				continue
			}
			for range 20 {
				if mid := (held + d) / 2; free(u, mid) {
					d = mid
				} else {
					held = mid
				}
			}
			if d < depth {
				depth, way = d, u
			}
			break
		}
	}
	return depth, way
}

// cornerIn is the share of the way to a triangle's middle at which its corner is
// asked about.
const cornerIn = 0.01

// hair is how far off the surface a place is set before its hook is measured, m.
const hair = 2e-5
