package plies

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
)

// mostPress is how many hollows are told of in one step.
const mostPress = 6

// under returns the hollows that this piece lies over and that matter, that where
// cloth would stand off most first.
func (l *laying) under(hollows []Hollow) (out []Hollow) {
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
func (l *laying) placeOf(h Hollow) string {
	at := vec(h.At)
	v := l.Top.Mesh.NearestVertex(at, func(v int) bool { return len(l.Top.VertexFaces(v)) > 0 })
	return whereabouts(at, l.Top.Mesh.VertexNormals()[v], l.box)
}

// intoHollow returns an arrow from the seed's side into a hollow.
func (l *laying) intoHollow(h Hollow) arrow {
	at := vec(h.At)
	across, least := r3.Vec{}, math.Inf(1)
	for _, c := range h.sections {
		if d := r3.Norm2(r3.Sub(c.at, at)); d < least {
			least, across = d, c.across
		}
	}
	if r3.Dot(across, r3.Sub(l.seed, at)) < 0 {
		across = r3.Scale(-1, across)
	}
	return arrow{r3.Add(at, r3.Scale(l.long/12, across)), at}
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
