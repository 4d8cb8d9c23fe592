package flat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
)

// Plane is a plane whose trace on the mould the builder pencils there: all points p
// with Normal · p = Off, m.
type Plane struct {
	Label  string
	Normal r3.Vec
	Off    float64
}

// SeedPlanes returns the two planes through a seed that stand across the mould's own
// axes and steepest on the surface there, whose normal is given: for a seed on
// level ground x = seed.x and y = seed.y. Labels give millimetres.
func SeedPlanes(seed, normal r3.Vec) []Plane {
	axes := []Plane{{"x", r3.Vec{X: 1}, seed.X}, {"y", r3.Vec{Y: 1}, seed.Y}, {"z", r3.Vec{Z: 1}, seed.Z}}
	flattest := 0
	for i, a := range axes {
		if math.Abs(r3.Dot(a.Normal, normal)) >= math.Abs(r3.Dot(axes[flattest].Normal, normal)) {
			flattest = i
		}
	}
	var out []Plane
	for i, a := range axes {
		if i != flattest {
			a.Label = fmt.Sprintf("%s %.0f", a.Label, math.Round(1000*a.Off)+0)
			out = append(out, a)
		}
	}
	return out
}

// Path is a line on the mould that is drawn on pieces.
type Path struct {
	Kind, Label string
	Points      []r3.Vec
}

// Measures of alignment marks, m.
const (
	alignIn    = 0.01  // how far a tick runs in from the trim line; outwards it runs over the allowance
	alignNear  = 0.008 // two of the same label nearer than this are one
	seamSmooth = 2e-3  // how far the seam on a patch may be drawn off its path
	pathStep   = 0.003 // between the places of a path
	offMould   = 0.003 // a path farther from the sheet is not on it
)

// align draws a tick where each pencilled line leaves the piece over its trim line,
// and the paths that run over it.
func (d *drawing) align(out *Piece) {
	sides := d.sides()
	for _, p := range d.cloth.Pencilled {
		var seen []r2.Vec
		for _, h32 := range d.outerLoop() {
			h := int(h32)
			s, is := sides[[2]int32{d.Top.From(h), d.Top.To(h)}]
			if !is {
				s = trim
			}
			if s.slit >= 0 {
				continue
			}
			if m, at, ok := d.tick(p, h, d.beyond(s)); ok && !within(at, seen, alignNear) {
				out.Marks, seen = append(out.Marks, m), append(seen, at)
			}
		}
	}
	if len(d.cloth.Drawn) == 0 {
		return
	}
	locator := mesh.NewLocator(d.Top.Mesh)
	for _, p := range d.cloth.Drawn {
		for _, run := range d.laidFlat(p.Points, locator) {
			if p.Kind == SeamLine { // a path over the mesh, not a drawn line
				run, _ = thinned(run, make([]float64, len(run)), seamSmooth)
			}
			out.Marks = append(out.Marks, Mark{Kind: p.Kind, Label: p.Label, Line: pairs(run)})
		}
	}
}

// outerLoop returns the half-edges of the rim that encloses most in the flat.
func (d *drawing) outerLoop() (out []int32) {
	most := -1.0
	for _, loop := range d.Top.RimLoops() {
		if a := math.Abs(geom.Polygon(d.places(d.Top.LoopVertices(loop))).Area()); a > most {
			most, out = a, loop
		}
	}
	return out
}

// tick returns the mark where a plane crosses half-edge h of the rim. It lies along
// the plane's trace in the triangle there, so far out over what is cut beyond.
func (d *drawing) tick(p Plane, h int, out float64) (m Mark, at r2.Vec, ok bool) {
	off := func(v int32) float64 { return r3.Dot(p.Normal, d.Top.Mesh.Vertices[v]) - p.Off }
	a, b := d.Top.From(h), d.Top.To(h)
	if (off(a) >= 0) == (off(b) >= 0) {
		return m, at, false
	}
	between := func(a, b int32) (r2.Vec, r3.Vec) {
		t := off(a) / (off(a) - off(b))
		return r2.Add(r2.Scale(1-t, d.Flat[a]), r2.Scale(t, d.Flat[b])),
			r3.Add(r3.Scale(1-t, d.Top.Mesh.Vertices[a]), r3.Scale(t, d.Top.Mesh.Vertices[b]))
	}
	at, mould := between(a, b)
	c := d.Top.To(mesh.Next(h)) // the triangle's third corner
	if (off(c) >= 0) == (off(a) >= 0) {
		a = b
	}
	far, _ := between(c, a)
	in := r2.Sub(far, at)
	if r2.Norm(in) == 0 {
		return m, at, false
	}
	in = r2.Unit(in)
	line := []r2.Vec{r2.Sub(at, r2.Scale(out, in)), r2.Add(at, r2.Scale(alignIn, in))}
	return Mark{Kind: Alignment, Label: p.Label, Line: pairs(line), Mould: &[3]float64{mould.X, mould.Y, mould.Z}}, at, true
}

func within(at r2.Vec, of []r2.Vec, d float64) bool {
	for _, p := range of {
		if r2.Norm(r2.Sub(at, p)) < d {
			return true
		}
	}
	return false
}

// laidFlat returns where a line on the mould lies in the flat: in runs, since it may
// leave the sheet or pass over a slit.
func (d *drawing) laidFlat(line []r3.Vec, locator *mesh.Locator) (out [][]r2.Vec) {
	var run []r2.Vec
	end := func() {
		if len(run) > 1 {
			run, _ = thinned(run, make([]float64, len(run)), smooth)
			out = append(out, run)
		}
		run = nil
	}
	var last r3.Vec
	for i, p := range line {
		n := 1.0
		if i > 0 {
			n = math.Ceil(r3.Norm(r3.Sub(p, last))/pathStep) + 1
		}
		for k := 1.0; k <= n; k++ {
			q := p
			if i > 0 {
				q = r3.Add(r3.Scale(1-k/n, last), r3.Scale(k/n, p))
			}
			hit, ok := locator.ClosestWithin(q, offMould)
			if !ok {
				end()
				continue
			}
			var at r2.Vec
			for c, v := range d.Top.Mesh.Triangles[hit.Face] {
				at = r2.Add(at, r2.Scale(hit.Bary[c], d.Flat[v]))
			}
			if len(run) > 0 && r2.Norm(r2.Sub(at, run[len(run)-1])) > 3*pathStep {
				end()
			}
			run = append(run, at)
		}
		last = p
	}
	end()
	return out
}
