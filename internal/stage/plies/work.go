package plies

import (
	"context"
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/drape"
)

// work is one call of [Lay]: the surface in parts that hang together, each with
// its own seed.
type work struct {
	in    Input
	top   *mesh.Topology
	areas []float64 // of vertices
	parts []part
}

// part is a piece of the surface that hangs together.
type part struct {
	top      *mesh.Topology
	vertices []int32 // its own vertices' numbers in the whole surface
	locator  *mesh.Locator
	area     float64
	seed     mesh.Point
	warp     r3.Vec // for angle 0, in the surface at the seed
	normal   r3.Vec // there
}

func newWork(in Input) (*work, error) {
	top, err := mesh.NewTopology(in.Surface)
	if err != nil {
		return nil, err
	}
	w := &work{in: in, top: top, areas: in.Surface.VertexAreas()}
	of, count := top.Components()
	for c := range count {
		p, err := partOf(in.Surface, of, int32(c))
		if err != nil {
			return nil, err
		}
		if len(p.top.RimEdges()) == 0 {
			return nil, &fault.Input{Field: "part.trim", What: "the surface is closed, and no cloth lies flat on it uncut", Do: "give a trim line or a flange"}
		}
		w.parts = append(w.parts, p)
	}
	return w, nil
}

func partOf(m *mesh.Mesh, of []int32, c int32) (part, error) {
	number := make([]int32, len(m.Vertices))
	sub := &mesh.Mesh{}
	p := part{}
	for f, t := range m.Triangles {
		if of[f] != c {
			continue
		}
		var u [3]int32
		for k, v := range t {
			if number[v] == 0 {
				sub.Vertices = append(sub.Vertices, m.Vertices[v])
				p.vertices = append(p.vertices, v)
				number[v] = int32(len(sub.Vertices))
			}
			u[k] = number[v] - 1
		}
		sub.Triangles = append(sub.Triangles, u)
	}
	top, err := mesh.NewTopology(sub)
	p.top, p.locator, p.area = top, mesh.NewLocator(sub), sub.Area()
	return p, err
}

// key names plies that lie alike.
type key struct{ angle, locking float64 }

// sheets is what the solver found for one key, by part.
type sheets struct {
	laid   *Laid
	flat   [][]r2.Vec
	closed int // cells of the kinematic net that collapsed
	err    error
}

// hands is how many plies are solved at the same time; the result does not
// depend on it.
const hands = 2

// layAll solves each kind of ply once.
func (w *work) layAll(ctx context.Context) ([]*sheets, error) {
	found := map[key]*sheets{}
	var order []key
	out := make([]*sheets, len(w.in.Plies))
	for i, p := range w.in.Plies {
		k := key{float64(p.Angle), float64(p.Fabric.Locking.Or(0))}
		if found[k] == nil {
			found[k] = &sheets{}
			order = append(order, k)
		}
		out[i] = found[k]
	}
	var group sync.WaitGroup
	room := make(chan struct{}, hands)
	for _, k := range order {
		group.Add(1)
		go func(s *sheets) {
			defer group.Done()
			room <- struct{}{}
			s.err = w.lay(ctx, k, s)
			<-room
		}(found[k])
	}
	group.Wait()
	for i, p := range w.in.Plies {
		if err := out[i].err; err != nil {
			return nil, fmt.Errorf("ply %d, %s at %.0f°: %w", p.Number, p.Name, p.Angle.Degrees(), err)
		}
	}
	return out, nil
}

// lay solves one kind of ply on all parts.
func (w *work) lay(ctx context.Context, k key, s *sheets) error {
	n := len(w.in.Surface.Vertices)
	s.laid = &Laid{Flat: make([]r2.Vec, n), Shear: make([]float64, n), Warp: make([]r3.Vec, n), Weft: make([]r3.Vec, n)}
	for _, p := range w.parts {
		r, err := drape.Solve(ctx, drape.Input{Surface: p.top, Seed: p.seed, Warp: p.turned(k.angle), Locking: si.Angle(k.locking)})
		if err != nil {
			return err
		}
		for i, v := range p.vertices {
			s.laid.Flat[v], s.laid.Shear[v] = r.Flat[i], r.Shear[i]
			s.laid.Warp[v], s.laid.Weft[v] = r.Warp[i], r.Weft[i]
		}
		s.laid.Steps += r.Steps
		s.laid.Residual = max(s.laid.Residual, si.Length(r.Residual))
		s.closed += r.Net.Collapsed
		s.flat = append(s.flat, r.Flat)
	}
	return nil
}

// turned returns the direction of the warp of a ply at an angle, rad.
func (p *part) turned(angle float64) r3.Vec {
	sin, cos := math.Sincos(angle)
	return r3.Add(r3.Scale(cos, p.warp), r3.Scale(sin, r3.Cross(p.normal, p.warp)))
}
