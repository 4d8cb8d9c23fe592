package plies

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/relay"
	"laywright/internal/stage/seed"
	"laywright/internal/stage/slits"
)

// Place is where a doubler lies: one piece, or several where it is slit.
type Place struct {
	Pieces []string   `json:"pieces"`
	What   string     `json:"what"` // where it lies, for people: "at fastener 1"
	At     [3]float64 `json:"at_m"` // its seed
	Size   si.Length  `json:"size_m"`
	Area   si.Area    `json:"area_m2"` // on the part
}

// everywhere lists the plies that are no doublers.
func everywhere(all []PlyIn) (out []PlyIn) {
	for _, p := range all {
		if p.Within == nil {
			out = append(out, p)
		}
	}
	return out
}

// local is what doublers need to know of the whole part.
type local struct {
	box    r3.Box
	what   []string                              // where each part of the doublers' ground lies
	edge   [][2]r3.Vec                           // where cloth ends inside the part
	middle []r3.Vec                              // of the areas
	asked  func(at r3.Vec, angle float64) r3.Vec // direction asked for there
}

// place sets the seed of a part into the middle of the first area that lies there, where
// that is no hole, and its warp as it is asked for there.
func (l *local) place(p *slits.Part) {
	p.Seed = seed.Middle(p)
	for _, at := range l.middle {
		if hit, ok := p.Locator.Closest(at); ok && hit.Distance < 1e-6 {
			p.Seed = hit.Point
			break
		}
	}
	p.Along = l.asked(p.Top.Mesh.At(p.Seed), 0)
	seed.Aim(p, p.Along)
}

// ends finds the sides of a doubler's piece at which it ends inside the part, and how
// long it lies at the part's edge, m: one that only just reaches that needs no more
// allowance than half as much.
func (w *work) ends(b bed) (out map[[2]int32]bool, atTrim float64) {
	if w.in.local == nil {
		return nil, math.Inf(1)
	}
	const on = 1e-9 // m
	out = map[[2]int32]bool{}
	at := b.Top.Mesh.Vertices
	for h, twin := range b.Top.Twin {
		if twin >= 0 {
			continue
		}
		from, to := b.Top.From(h), b.Top.To(h)
		middle := r3.Scale(0.5, r3.Add(at[from], at[to]))
		if slices.ContainsFunc(w.in.local.edge, func(e [2]r3.Vec) bool { return fromSide(middle, e) < on }) {
			out[[2]int32{from, to}] = true
		} else {
			atTrim += r3.Norm(r3.Sub(at[from], at[to]))
		}
	}
	return out, atTrim
}

// fromSide is how far a point lies from the line between two.
func fromSide(p r3.Vec, s [2]r3.Vec) float64 {
	side := r3.Sub(s[1], s[0])
	t := max(0, min(1, r3.Dot(r3.Sub(p, s[0]), side)/max(r3.Norm2(side), math.SmallestNonzeroFloat64)))
	return r3.Norm(r3.Sub(p, r3.Add(s[0], r3.Scale(t, side))))
}

// group is the doublers that lie in the same places, laid.
type group struct {
	which  []int // among all plies
	ground *ground
	work   *work
	Result
}

// double lays the doublers among all plies and puts them between the others.
func (w *work) double(ctx context.Context, out *Result, all []PlyIn) error {
	w.find = mesh.NewLocator(w.in.Surface)
	var groups []group
	for i, p := range all {
		if p.Within == nil || slices.ContainsFunc(groups, func(g group) bool { return slices.Contains(g.which, i) }) {
			continue
		}
		g, err := w.layWithin(ctx, all, i)
		if err != nil {
			return err
		}
		groups = append(groups, g)
	}
	plies, laid := make([]Ply, len(all)), make([]relay.Doubler, len(all))
	for _, g := range groups {
		for k, i := range g.which {
			plies[i] = g.ply(k, len(out.Relaid.Stack.Thickness))
			laid[i] = g.relaid(k, all[i])
		}
		out.ClothArea += g.ClothArea
		out.LapArea += g.LapArea
		out.Findings = append(out.Findings, g.Findings...)
	}
	lie, doublers := out.Plies, []relay.Doubler{}
	for i := range all {
		if all[i].Within == nil {
			plies[i], lie = lie[0], lie[1:]
		} else {
			doublers = append(doublers, laid[i])
		}
	}
	out.Plies = plies
	out.Relaid.Double(w.top, w.within, doublers)
	out.judgeEdges(groups, all)
	return nil
}

// layWithin lays the doubler i with all that lie where it does.
func (w *work) layWithin(ctx context.Context, all []PlyIn, i int) (g group, err error) {
	if g.ground, err = w.cutOut(all[i].Within); err != nil {
		return g, err
	}
	in := Input{Spec: w.in.Spec, Surface: g.ground.mesh, Mirrored: w.in.Mirrored,
		local: &local{box: w.in.Surface.Bounds(), what: g.ground.what(all[i].Within), edge: g.ground.edge, middle: g.ground.middle, asked: w.askedAt}}
	in.Spec.Slits.Drawn = nil
	for k, p := range all[i:] {
		if slices.EqualFunc(p.Within, all[i].Within, Area.same) {
			g.which, in.Plies = append(g.which, i+k), append(in.Plies, p)
		}
	}
	g.Result, g.work, err = lay(ctx, in)
	return g, err
}

// same tells whether two areas are the same place.
func (a Area) same(b Area) bool {
	return a.At == b.At && a.Axis == b.Axis && a.Radius == b.Radius && a.Past == b.Past && slices.Equal(a.Ring, b.Ring)
}

// ply returns doubler k of the group as a ply of the whole part, of whose vertices there
// are n.
func (g *group) ply(k, n int) Ply {
	out := g.Plies[k]
	number := func(v int32) int32 {
		if v >= 0 {
			v = g.ground.vertex[v]
		}
		if int(v) >= n {
			return -1
		}
		return v
	}
	for _, s := range out.Sheets {
		for j, v := range s.Vertices {
			s.Vertices[j] = number(v)
		}
	}
	from := out.Laid
	out.Laid = &Laid{Flat: make([]r2.Vec, n), Shear: make([]float64, n), Warp: make([]r3.Vec, n), Weft: make([]r3.Vec, n),
		Off: Off{make([]float64, n), make([]float64, n)}, Steps: from.Steps, Residual: from.Residual}
	for j := range from.Flat {
		if v := number(int32(j)); v >= 0 {
			to := out.Laid
			to.Flat[v], to.Shear[v], to.Warp[v], to.Weft[v] = from.Flat[j], from.Shear[j], from.Warp[j], from.Weft[j]
			to.Off.Warp[v], to.Off.Weft[v] = from.Off.Warp[j], from.Off.Weft[j]
		}
	}
	out.Beside, out.Within = g.ground.beside, g.places(k)
	return out
}

// places lists where doubler k lies.
func (g *group) places(k int) []Place {
	out := make([]Place, len(g.work.parts))
	for i := range g.work.parts {
		part := &g.work.parts[i]
		place := Place{What: g.work.in.local.what[i], At: triple(part.Top.Mesh.At(part.Seed)), Area: si.Area(part.Area)}
		for j, b := range g.work.laid[k].beds {
			if b.part == part {
				piece := g.Plies[k].Pieces[j]
				size := flat.Polygon(piece.Net).Bounds().Size()
				place.Pieces = append(place.Pieces, piece.Name)
				place.Size = max(place.Size, si.Length(max(size.X, size.Y)))
			}
		}
		out[i] = place
	}
	return out
}

// what says where each part of the ground lies, by the areas that are on it.
func (g *ground) what(areas []Area) (out []string) {
	var more []int
	for j, i := range g.part {
		if i == len(out) {
			out, more = append(out, areas[j].What), append(more, 0)
		} else {
			more[i]++
		}
	}
	for i, n := range more {
		if n > 0 {
			out[i] += fmt.Sprintf(" and %d more", n)
		}
	}
	return out
}

// relaid returns doubler k as it was put back on its ground.
func (g *group) relaid(k int, p PlyIn) relay.Doubler {
	out := relay.Doubler{Index: g.which[k], Covered: g.Relaid.Plies[k], Cloth: g.Relaid.Cloth[k], Ground: g.work.in.Surface, Thickness: float64(p.Thickness)}
	out.Cloth.Butts = slices.Clone(out.Cloth.Butts) // plies that are cut alike share them
	for i, b := range out.Cloth.Butts {
		out.Cloth.Butts[i].Face = g.ground.face[b.Face]
	}
	out.Face = g.ground.face
	if in := g.work.within; in != nil {
		out.Face = make([]int32, len(in))
		for f, of := range in {
			out.Face[f] = g.ground.face[of]
		}
	}
	return out
}

// dropRatio is how far the edge of one doubler is set back from that of another, in
// thicknesses of the thicker, so that the wall grows in steps and not in one. Common
// practice, no source.
const dropRatio = 20

// judgeEdges tells where edges of doublers come to lie on each other.
func (r *Result) judgeEdges(groups []group, all []PlyIn) {
	worst, short := fault.Finding{}, 0.0
	look := func(i, j int, apart float64, at r3.Vec) {
		limit := dropRatio * float64(max(all[i].Thickness, all[j].Thickness))
		if lacks := limit - apart; lacks > short {
			short = lacks
			worst = fault.Finding{Stage: "plies", Severity: fault.Caution, Code: "doubler-edges-together",
				What: fmt.Sprintf("The edges of doublers %d and %d come within %.1f mm of each other at %s.", all[i].Number, all[j].Number, 1e3*apart, mm(at)),
				Why:  fmt.Sprintf("where several plies end together the load leaves them in one step, and they peel; edges a good %d thicknesses apart share it (common practice)", dropRatio),
				Do:   "Draw the places of one of them larger or smaller, so that they step down one by one."}.Against(1e3*apart, 1e3*limit, "mm")
		}
	}
	for a, g := range groups {
		if len(g.which) > 1 && len(g.ground.edge) > 0 {
			look(g.which[0], g.which[1], 0, g.ground.edge[0][0])
		}
		for _, h := range groups[a+1:] {
			apart, at := g.ground.apart(h.ground)
			look(g.which[0], h.which[0], apart, at)
		}
	}
	if short > 0 {
		r.Findings = append(r.Findings, worst)
	}
}

// apart returns the least distance between the edges of two grounds, and where that is.
func (g *ground) apart(h *ground) (least float64, at r3.Vec) {
	least = math.Inf(1)
	for _, e := range g.edge {
		for _, s := range h.edge {
			if d := fromSide(e[0], s); d < least {
				least, at = d, e[0]
			}
		}
	}
	return least, at
}
