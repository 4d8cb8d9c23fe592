package scan

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/facet"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Recut says with what triangles the surface is covered anew: by their side, or,
// with Auto, as long as the tightest bend allows; none stands off the surface by
// more than Within.
type Recut struct {
	Auto   bool
	Side   float64 // m
	Within float64 // m
}

// Recutting tells what covering anew did.
type Recutting struct {
	Side     float64 // wanted, m
	Was, Now int     // triangles
	Off      float64 // most that the new surface stands off the given one, m
	Back     float64 // and the given one off the new, m
	At       r3.Vec  // where that is most
	Bend     float64 // the radius that set the side, m; 0 where nothing did
}

// How fine Auto is. Common practice of this program: fewer than a thousand
// triangles tell a drape too little, many more than twenty thousand nothing more.
const (
	fewest, plenty = 1_000.0, 20_000.0
	perSide        = 4 / 1.7320508075688772 // triangles of side L on an area A: 4A/(√3·L²)
	tries          = 5
	finer          = 0.75              // of the side, from try to try
	thinTo         = 1.3               // times the vertices wanted that thinning leaves to choose from
	leastSide      = 0.7               // of the given sides: finer ones tell more of its facets than of the shape
	facetTurn      = 4 * math.Pi / 180 // a bend that counts as an edge where triangles become finer than given
	mostRecut      = 500_000
)

// DefaultWithin is how far new triangles may stand off, m, where it isn't said:
// less than a layer of light cloth is thick.
const DefaultWithin = 0.1e-3

// recut covers the surface with new triangles and measures how far each surface
// stands off the other; where that is too far it tries again with finer ones.
func (w *work) recut() error {
	r := w.o.Recut
	if !r.Auto && r.Side == 0 {
		return nil
	}
	if r.Within == 0 {
		r.Within = DefaultWithin
	}
	t, err := w.topology()
	if err != nil {
		return err
	}
	given := mesh.NewLocator(w.m)
	side, bend := r.Side, 0.0
	if r.Auto {
		side, bend = sideFor(t, r.Within)
	}
	if n := perSide * w.m.Area() / (side * side); !(n <= mostRecut) {
		return &fault.Input{Field: "mould.import.triangles", What: fmt.Sprintf("sides of %.3g mm take %.2g triangles, more than %d", 1e3*side, n, mostRecut), Do: "write longer sides, or check mould.unit"}
	}
	least := leastSide * w.m.MeanEdge()
	var done Recutting
	for try := 0; try < tries && (try == 0 || side >= least); try++ {
		m := recutTo(t, given, w.o.Edge, side, r.Within)
		if done = w.measure(given, m, side); done.Off <= r.Within && done.Back <= r.Within {
			done.Bend = bend
			w.take(given, m, done)
			return nil
		}
		side *= finer
	}
	off := max(done.Off, done.Back)
	return &fault.Input{Field: "mould.import.within", What: fmt.Sprintf("triangles with sides of %.3g mm stand off the surface by %.3g mm at %s", 1e3*done.Side, 1e3*off, place(done.At)), Do: fmt.Sprintf("allow %.2g mm or more, smooth first, or leave triangles out", math.Ceil(1e4*off)/10)}
}

// sideFor returns the side at which a triangle's side stands off the tightest bend
// by half of within, of which the tightest five in a hundred are left out, as noise:
//
//	L = √(8·R·e)
//
// held between what makes plenty and what makes few triangles.
func sideFor(t *mesh.Topology, within float64) (side, bend float64) {
	area := t.Mesh.Area()
	longest, shortest := math.Sqrt(perSide*area/fewest), math.Sqrt(perSide*area/plenty)
	bends := t.Bends(0)
	var tight []float64
	for _, b := range bends {
		if k := max(math.Abs(b.Max), math.Abs(b.Min)); b.OK && k > 0 {
			tight = append(tight, k)
		}
	}
	if len(tight) == 0 {
		return longest, 0
	}
	k := quantile(tight, 0.95)
	side = math.Sqrt(8 / k * within / 2)
	switch {
	case side > longest:
		return longest, 0
	case side < shortest:
		return shortest, 0
	}
	return side, 1 / k
}

// recutTo thins the mesh to about as many vertices as the side needs, then evens
// its triangles out on the given surface.
func recutTo(t *mesh.Topology, given *mesh.Locator, edge, side, within float64) *mesh.Mesh {
	if edge == 0 {
		edge = DefaultEdge
	}
	if side < t.Mesh.MeanEdge() { // finer than given: the given facets are the shape
		edge = min(edge, facetTurn)
	}
	var lines []int32
	for e := range t.Edges {
		if len(t.EdgeFaces(e)) != 2 || math.Abs(t.Turning(e)) > edge {
			lines = append(lines, int32(e))
		}
	}
	rim := mesh.NewLocator(t.Segments(lines))
	onto := func(l *mesh.Locator) func(r3.Vec) r3.Vec {
		return func(p r3.Vec) r3.Vec {
			if hit, ok := l.Closest(p); ok {
				return hit.At
			}
			return p
		}
	}
	thin := t
	if most := int(thinTo * perSide * t.Mesh.Area() / (side * side) / 2); most < len(t.Mesh.Vertices) {
		if coarse, err := mesh.NewTopology(t.Coarsen(most).Mesh); err == nil {
			thin = coarse
		}
	}
	return facet.Recut(thin, facet.Goal{Side: side, Crease: edge, Stray: within / 4, Onto: onto(given), OntoRim: onto(rim)})
}

func (w *work) measure(given *mesh.Locator, m *mesh.Mesh, side float64) Recutting {
	off := facet.StrayFrom(given, m, side/4)
	back := facet.StrayFrom(mesh.NewLocator(m), w.m, side/4)
	r := Recutting{Side: side, Was: len(w.m.Triangles), Now: len(m.Triangles), Off: off.Most, Back: back.Most, At: off.At}
	if back.Most > off.Most {
		r.At = back.At
	}
	return r
}

// take puts the new triangles in the place of the old; one is filled where the old
// one at its middle was.
func (w *work) take(given *mesh.Locator, m *mesh.Mesh, done Recutting) {
	filled := make([]bool, len(m.Triangles))
	for f := range filled {
		if hit, ok := given.Closest(m.Centroid(f)); ok {
			filled[f] = w.filled[hit.Face]
		}
	}
	change := m.Area() - w.m.Area()
	w.m, w.filled, w.out.Recut = m, filled, &done
	w.did(Repair{What: fmt.Sprintf("triangles in the place of %d, their sides about %.1f mm", done.Was, 1e3*done.Side), Count: done.Now, At: done.At, Moved: max(done.Off, done.Back), Area: change})
}
