package plies

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
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
// width is the usable width of the roll less the allowance, m, drawn the cuts that are drawn for them.
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
		}
	}
	return out
}

// ask puts a kind into the words of the search for cuts on a part.
func (w *work) ask(k kind, p *slits.Part) slits.Ask {
	s := w.in.Spec
	ask := slits.Ask{Angle: k.angle, Locking: k.locking, Limit: k.limit, Width: k.width, Lap: w.lap(), Trifle: w.trifle(),
		By: k.By, RightOver: k.RightOver, Forbid: s.Slits.None}
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

// sheets is what was found for one kind: a bed for each piece of cloth.
type sheets struct {
	laid *Laid
	beds []bed
	err  error
}

// bed is one piece of cloth as it lies on its part.
type bed struct {
	*slits.Bed
	part *slits.Part
}

// cut tells whether the kind of ply is cut anywhere.
func (s *sheets) cut() bool {
	for _, b := range s.beds {
		if len(b.Slits) > 0 {
			return true
		}
	}
	return false
}

// hands is how many kinds are solved at the same time; the result does not
// depend on it.
const hands = 2

// layAll solves each kind of ply once: whole first, and then cut.
func (w *work) layAll(ctx context.Context) ([]*sheets, error) {
	kinds := w.kinds()
	for i := range w.parts {
		for _, k := range kinds {
			w.parts[i].Prepare(k.limit)
		}
	}
	plain := make([]kind, len(kinds))
	for i, k := range kinds {
		plain[i] = kind{key: k.key}
	}
	whole, err := w.each(plain, func(k kind) *sheets { return w.layWhole(ctx, k) })
	if err != nil {
		return nil, err
	}
	found, err := w.each(kinds, func(k kind) *sheets { return w.layCut(ctx, k, whole[kind{key: k.key}]) })
	if err != nil {
		return nil, err
	}
	out := make([]*sheets, len(kinds))
	for i, k := range kinds {
		out[i] = found[k]
		w.gather(out[i])
	}
	return out, nil
}

// each works on the distinct kinds, [hands] at a time.
func (w *work) each(kinds []kind, work func(kind) *sheets) (map[kind]*sheets, error) {
	found := map[kind]*sheets{}
	var order []kind
	for _, k := range kinds {
		if _, known := found[k]; !known {
			found[k] = nil
			order = append(order, k)
		}
	}
	results := make([]*sheets, len(order))
	var group sync.WaitGroup
	room := make(chan struct{}, hands)
	for i, k := range order {
		group.Go(func() {
			room <- struct{}{}
			results[i] = work(k)
			<-room
		})
	}
	group.Wait()
	for i, k := range order {
		found[k] = results[i]
	}
	for i, p := range w.in.Plies {
		if err := found[kinds[i]].err; err != nil {
			return nil, fmt.Errorf("ply %d, %s at %.0f°: %w", p.Number, p.Name, p.Angle.Degrees(), err)
		}
	}
	return found, nil
}

// layWhole lays a kind of ply without cuts; parts on which it is sure to be cut
// are left out.
func (w *work) layWhole(ctx context.Context, k kind) *sheets {
	s := &sheets{beds: make([]bed, len(w.parts))}
	for i := range w.parts {
		p := &w.parts[i]
		s.beds[i].part = p
		if k.drawn != "" || !w.in.Spec.Slits.None && p.SureToLock(k.limit) {
			continue
		}
		bed, err := p.Lay(ctx, cut.Uncut(p.Top), w.ask(k, p))
		var none *fault.NoSolution
		switch {
		case err == nil:
			s.beds[i].Bed = bed
		case w.in.Spec.Slits.None || !errors.As(err, &none):
			s.err = err
			return s
		} // what does not lie whole may lie cut
	}
	return s
}

// layCut lays a kind of ply with cuts where it needs them.
func (w *work) layCut(ctx context.Context, k kind, whole *sheets) *sheets {
	s := &sheets{}
	for _, b := range whole.beds {
		beds, err := b.part.Beds(ctx, w.ask(k, b.part), b.Bed)
		if err != nil {
			s.err = err
			return s
		}
		for _, laid := range beds {
			s.beds = append(s.beds, bed{laid, b.part})
		}
	}
	return s
}
