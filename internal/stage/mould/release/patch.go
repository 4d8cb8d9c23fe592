package release

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// patch is a share of the part's surface, cut out of it.
type patch struct {
	mesh *mesh.Mesh
	face []int32 // triangle of the part that each one lies in
}

func (s *surface) whole() patch {
	p := patch{mesh: s.part, face: make([]int32, len(s.part.Triangles))}
	for f := range p.face {
		p.face[f] = int32(f)
	}
	return p
}

// cut parts a patch where d, given at its vertices, changes its sign, and returns
// the lines of the cut as well; ok is false where one side is empty.
func (p patch) cut(d []float64, o mesh.ClipOptions) (over, under patch, lines [][]r3.Vec, ok bool) {
	t, err := mesh.NewTopology(p.mesh)
	if err != nil {
		return over, under, nil, false
	}
	a, err := t.Clip(d, o)
	if err != nil || len(a.Mesh.Triangles) == 0 {
		return over, under, nil, false
	}
	back := make([]float64, len(d))
	for v, x := range d {
		back[v] = -x
	}
	if distance := o.Distance; distance != nil {
		o.Distance = func(q r3.Vec) float64 { return -distance(q) }
	}
	b, err := t.Clip(back, o)
	if err != nil || len(b.Mesh.Triangles) == 0 {
		return over, under, nil, false
	}
	return p.taken(a), p.taken(b), cutLines(a), true
}

func (p patch) taken(c mesh.Clipped) patch {
	out := patch{mesh: c.Mesh, face: make([]int32, len(c.Face))}
	for f, of := range c.Face {
		out.face[f] = p.face[of]
	}
	return out
}

// cutLines returns the runs of the rim that lie on the cut; a closed one ends
// where it begins.
func cutLines(c mesh.Clipped) (out [][]r3.Vec) {
	t, err := mesh.NewTopology(c.Mesh)
	if err != nil {
		return nil
	}
	for _, loop := range t.RimLoops() {
		vs := t.LoopVertices(loop)
		n := len(vs)
		first := 0
		for i := range vs { // begin where the cut begins
			if c.OnCut[vs[i]] && !c.OnCut[vs[(i+n-1)%n]] {
				first = i
				break
			}
		}
		var run []r3.Vec
		for i := range n + 1 {
			v := vs[(first+i)%n]
			if c.OnCut[v] && (i < n || len(run) == n) {
				run = append(run, c.Mesh.Vertices[v])
				continue
			}
			if len(run) > 1 {
				out = append(out, run)
			}
			run = nil
		}
		if len(run) > 1 {
			out = append(out, run)
		}
	}
	return out
}

func length(lines [][]r3.Vec) (sum float64) {
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			sum += r3.Norm(r3.Sub(l[i], l[i-1]))
		}
	}
	return sum
}

// mostJudged is how many triangles of a piece are looked at while splits are
// compared: every so many stand for the others.
const mostJudged = 2500

// places are middles of triangles with their normals and the areas they stand for.
type places struct {
	at, normal []r3.Vec
	area       []float64
}

// places returns every so many of a patch's triangles.
func (s *surface) places(p patch, step int) (out places) {
	for f := 0; f < len(p.face); f += step {
		c := p.mesh.Centroid(f)
		out.at, out.normal = append(out.at, c), append(out.normal, s.in.Normal(int(p.face[f]), c))
		out.area = append(out.area, p.mesh.FaceArea(f)*float64(step))
	}
	return out
}

// piece judges a patch along the best of the pulls offered, and if wanted of the one
// with the greatest least draft.
func (s *surface) piece(of Of, p patch, open bool, offered []r3.Vec) Piece {
	on := s.places(p, 1+len(p.face)/mostJudged)
	if open {
		offered = openest(on, offered)
	}
	return Piece{Pull: s.bestOf(of, on, offered), Area: si.Area(p.mesh.Area()), Mesh: p.mesh}
}

// openest adds the direction with the greatest least draft to those offered,
// behind the axes, which are plainer, and before the others.
func openest(on places, offered []r3.Vec) []r3.Vec {
	e, _, ok := widest(on.normal)
	if !ok {
		return offered
	}
	at := 0
	for at < len(offered) && square(offered[at]) {
		at++
	}
	return slices.Insert(slices.Clone(offered), at, e)
}

// judged returns a split with its pieces judged on every triangle.
func (s *surface) judged(sp Split) Split {
	sp.Pieces = slices.Clone(sp.Pieces)
	for i, p := range sp.patches {
		q := &sp.Pieces[i]
		q.Pull = s.bestOf(sp.Of, s.places(p, 1), []r3.Vec{q.dir()})
		q.Hidden += q.face
	}
	return sp
}

// bestOf judges the directions offered; a later one must be better by more than a
// hair.
func (s *surface) bestOf(of Of, on places, offered []r3.Vec) (best Pull) {
	for i, e := range offered {
		if p := s.judge(of.moves(), e, on); i == 0 || weight(p) < weight(best)-plainer {
			best = p
		}
	}
	return best
}

// plainer is what a less plain direction must be better by, m².
const plainer = 5e-5
