package plies

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/si"
	"laywright/internal/stage/hollow"
)

// mostPress is how many hollows are told of in one step.
const mostPress = 6

// under returns the hollows that this piece lies over and that matter, that where
// cloth would stand off most first.
func (l *laying) under(hollows []hollow.Hollow) (out []hollow.Hollow) {
	edge := l.Top.Mesh.MeanEdge()
	for _, h := range hollows {
		if len(out) == mostPress || h.Gap <= standsOff {
			break
		}
		at := vec(h.At)
		for _, v := range l.Top.Mesh.Vertices {
			if r3.Norm2(r3.Sub(v, at)) < edge*edge {
				out = append(out, h)
				break
			}
		}
	}
	return out
}

// placeOf says where a hollow lies.
func (l *laying) placeOf(h hollow.Hollow) string {
	at := vec(h.At)
	v := l.Top.Mesh.NearestVertex(at, func(v int) bool { return len(l.Top.VertexFaces(v)) > 0 })
	return whereabouts(at, l.Top.Mesh.VertexNormals()[v], l.box)
}

// intoHollow returns an arrow from the seed's side into a hollow.
func (l *laying) intoHollow(h hollow.Hollow) arrow {
	at := vec(h.At)
	across := h.Across()
	if r3.Dot(across, r3.Sub(l.seed, at)) < 0 {
		across = r3.Scale(-1, across)
	}
	return arrow{r3.Add(at, r3.Scale(l.long/12, across)), at}
}

// mostEase is how many places are told of where cloth resists.
const mostEase = 4

// ease tells how to get the cloth down where it comes near to locking: drawn out
// along the bias towards which its yarns close, and pushed together across it.
// Places a triangle or two wide beside slits are left out: the edge is free there.
func (l *laying) ease() {
	places, _ := l.LockedAndTight(l.warning, trifle*l.part.Area)
	if len(places) == 0 {
		return
	}
	first := places[0]
	at := l.Top.Mesh.Vertices[first.At]
	normals := l.Top.Mesh.VertexNormals()
	what := fmt.Sprintf("It resists most %s: draw it out along the bias there (%s) and push it together across that, from both sides, a little at a time and nearer to the seed first.",
		whereabouts(at, normals[first.At], l.box), l.outwards(first.At))
	switch n := len(places) - 1; {
	case n == 1:
		what += " There is one more place like it."
	case n > 1:
		what += fmt.Sprintf(" There are %s more places like it.", countOf(n))
	}
	if first.Worst > l.locking {
		what += " It locks there: do not force it; snip it from the rim and let the sides lap."
	}
	var arrows []arrow
	for _, p := range places[:min(len(places), mostEase)] {
		along := l.bias(p.At)
		across := r3.Scale(l.long/20, r3.Cross(normals[p.At], along))
		x := l.Top.Mesh.Vertices[p.At]
		arrows = append(arrows, arrow{r3.Add(x, across), x}, arrow{r3.Sub(x, across), x})
	}
	l.add(AdviceStep{Kind: stepEase, What: what, Shear: si.Angle(first.Worst)}, arrows...)
}

// bias returns the direction at a vertex midway between the yarns that close:
// along it cloth grows longer and across it narrower.
func (l *laying) bias(v int) r3.Vec {
	d := r3.Add(l.Warp[v], l.Weft[v])
	if l.Shear[v] < 0 {
		d = r3.Sub(l.Warp[v], l.Weft[v])
	}
	if r3.Norm(d) == 0 {
		return l.warp
	}
	return r3.Unit(d)
}

// outwards names the bias at a vertex, the way that leads away from the seed.
func (l *laying) outwards(v int) string {
	d := l.bias(v)
	if r3.Dot(d, r3.Sub(l.Top.Mesh.Vertices[v], l.seed)) < 0 {
		d = r3.Scale(-1, d)
	}
	return towards(d)
}

// close tells of slits, and of joins with the pieces before.
func (l *laying) close(lap float64) {
	var slits, joins []arrow
	rights, lefts := 0, 0
	for _, s := range l.Slits {
		a, ok := l.lineOf(s)
		switch {
		case !ok:
		case s.Left == nil || s.Right == nil:
			joins = append(joins, a)
		default:
			slits = append(slits, a)
			if s.RightOver {
				rights++
			} else {
				lefts++
			}
		}
	}
	over := fmt.Sprintf("; the side with the lap goes over the other by %s", millimetres(lap))
	switch {
	case lap == 0:
		over = "; the sides meet without a lap"
	case rights == 0:
		over = fmt.Sprintf("; seen from its tip the left side goes over by %s", millimetres(lap))
	case lefts == 0:
		over = fmt.Sprintf("; seen from its tip the right side goes over by %s", millimetres(lap))
	}
	if n := len(slits); n > 0 {
		what := "Close the slit"
		if n > 1 {
			what = fmt.Sprintf("Close the %s slits, each", countOf(n))
		}
		l.add(AdviceStep{Kind: stepClose, What: what + " from its tip outwards" + over + "."}, slits...)
	}
	if n := len(joins); n > 0 {
		over = "lay it over or under the next piece as its lap says"
		if lap == 0 {
			over = "its edge meets the next piece without a lap"
		}
		l.add(AdviceStep{Kind: stepClose, What: fmt.Sprintf("At the join, %s; the match marks meet.", over)}, joins...)
	}
}

// lineOf returns the arrow along a slit, from its tip to the rim.
func (l *laying) lineOf(s cut.Slit) (arrow, bool) {
	side := s.Left
	if len(side) == 0 {
		side = s.Right
	}
	if len(side) < 2 {
		return arrow{}, false
	}
	m := l.Top.Mesh
	return arrow{m.Vertices[side[0]], m.Vertices[side[len(side)-1]]}, true
}

// patches tells of the strips that are laid over seams; false where there are none.
func (p *Ply) patches() (AdviceStep, bool) {
	l := laying{}
	var names []string
	var arrows []arrow
	for i, piece := range p.Pieces {
		if piece.Patch && i < len(p.Sheets) {
			names = append(names, piece.Name)
			arrows = append(arrows, lengthwise(p.Sheets[i].Top.Mesh.Vertices))
		}
	}
	switch len(names) {
	case 0:
		return AdviceStep{}, false
	case 1:
		l.add(AdviceStep{Kind: stepPatch, What: "Lay the patch " + names[0] + " over its seam, the seam in its middle."}, arrows...)
	default:
		l.add(AdviceStep{Kind: stepPatch, What: "Lay the patches " + strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1] +
			" over their seams, the seam in the middle of each."}, arrows...)
	}
	return l.steps[0], true
}

// lengthwise returns an arrow along a strip, from one end to the other.
func lengthwise(places []r3.Vec) arrow {
	far := func(from r3.Vec) (at r3.Vec) {
		most := -1.0
		for _, x := range places {
			if d := r3.Norm2(r3.Sub(x, from)); d > most {
				most, at = d, x
			}
		}
		return at
	}
	a := far(places[0])
	return arrow{a, far(a)}
}
