package plies

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/drape"
	"laywright/internal/stage/slits"
)

// work is one call of [Lay]: the surface in parts that hang together, each with
// its own seed.
type work struct {
	in      Input
	top     *mesh.Topology
	areas   []float64 // of vertices
	normals []r3.Vec  // of vertices
	toward  []r3.Vec  // direction asked for at angle 0, by vertex
	parts   []slits.Part
	find    *mesh.Locator // of the surface, once pieces are put back
	room    *drape.Room   // of all sheets, while they are laid
	laid    []*sheets     // of each ply, when all are laid
	within  []int32       // of each triangle, that of the surface as it was given; nil: they are the same
}

func newWork(in Input) (*work, error) {
	top, err := mesh.NewTopology(in.Surface)
	if err != nil {
		return nil, err
	}
	if n := len(top.FlippedEdges()); n > 0 {
		return nil, &fault.Input{Field: "mould", What: fmt.Sprintf("the surface has no outside: its triangles turn round across %d sides", n),
			Do: "give a surface whose normals all look to the free side"}
	}
	parts, err := slits.Parts(in.Surface)
	return &work{in: in, top: top, areas: in.Surface.VertexAreas(), normals: in.Surface.VertexNormals(), parts: parts}, err
}

// key names plies that lie alike where they are not cut. limit is the shear over
// which they are cut, rad; it differs from locking where the record has none.
// width is the usable width of the roll less the allowance, m, drawn the cuts that
// are drawn for them.
type key struct {
	angle, locking, limit, width float64
	drawn                        string
}

// kind names plies that lie alike and are cut along the same lines.
type kind struct {
	key
	slits.Offset
}

// kinds returns the kind of each ply.
func (w *work) kinds() []kind {
	s := w.in.Spec
	offsets := slits.Stagger(len(w.in.Plies), float64(or(s.Stagger, usualStagger)), w.lap())
	out := make([]kind, len(w.in.Plies))
	for i, p := range w.in.Plies {
		locking, _ := bounds(p)
		k := key{angle: float64(p.Angle), locking: float64(p.Fabric.Locking.Or(0)), limit: locking,
			width: max(0, float64(p.Fabric.Width.Or(0)-2*p.Fabric.Selvedge.Or(0)-2*or(s.TrimAllowance, usualAllowance)))}
		for j, d := range s.Slits.Drawn {
			if d.cuts(p.Number) {
				k.drawn += fmt.Sprint(j, " ")
			}
		}
		out[i] = kind{key: k}
		if !s.Slits.None {
			out[i].Offset = offsets[i]
			out[i].Opposite = out[i].Opposite && w.tubes(locking)
		}
	}
	return out
}

// tubes tells whether any part is one, for plies that are cut over a limit.
func (w *work) tubes(limit float64) bool {
	return slices.ContainsFunc(w.parts, func(p slits.Part) bool { return p.IsTube(limit) })
}

// ask puts a kind into the words of the search for cuts on a part.
func (w *work) ask(k kind, p *slits.Part) slits.Ask {
	s := w.in.Spec
	ask := slits.Ask{Angle: k.angle, Locking: k.locking, Limit: k.limit, Width: k.width, Trifle: w.trifle(), Room: w.room,
		By: k.By, Opposite: k.Opposite, RightOver: k.RightOver, Forbid: s.Slits.None, More: s.MoreSlits}
	for j, d := range s.Slits.Drawn {
		if w.nearestPart(d.From.V) == p && containsWord(k.drawn, j) {
			ask.Drawn = append(ask.Drawn, slits.Line{From: d.From.V, To: d.To.V, Part: d.Through})
		}
	}
	for _, b := range s.KeepOff {
		ask.KeepOff = append(ask.KeepOff, slits.Ball{At: b.At.V, Radius: float64(b.Radius)})
	}
	return ask
}

func (w *work) trifle() float64 { return trifle * w.in.Surface.Area() }

func (w *work) nearestPart(at r3.Vec) *slits.Part {
	best, out := math.Inf(1), &w.parts[0]
	for i := range w.parts {
		if hit, ok := w.parts[i].Locator.Closest(at); ok && hit.Distance < best {
			best, out = hit.Distance, &w.parts[i]
		}
	}
	return out
}

// containsWord tells whether a list of numbers names n.
func containsWord(list string, n int) bool {
	return slices.Contains(strings.Fields(list), strconv.Itoa(n))
}
