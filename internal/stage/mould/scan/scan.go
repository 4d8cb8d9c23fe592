// Package scan makes a surface that cloth can be laid on of an imported mesh: put
// in its place, mended, freed of noise, its holes filled, cut, covered with
// triangles of a fit size, and thickened to a solid. It lists all that it did:
// what, how often, where, and how far anything moved.
//
// Places are in metres, angles in radians. Triangles run counter-clockwise seen
// from outside. The order of work is that of [Take]; what an option does not ask
// for is left alone, but for the mending that moves nothing.
//
// It guesses no shape that was not measured beyond a filled hole, joins no two
// scans into one, and knows no cloth: the caller says what side its triangles
// need.
package scan

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Options say what is done. A zero field leaves its step out.
type Options struct {
	File   string // named in what is said
	Place  Place
	Join   float64 // how far apart the two sides of a seam may lie, m; 0: a millionth of the diagonal
	Piece  Piece
	Smooth float64 // most that a place moves, m
	Edge   float64 // sides that bend by more are edges of the shape, rad
	Fill   float64 // holes up to so wide are filled, m
	Cuts   []Cut
	Recut  Recut
}

// Repair is one thing that was done.
type Repair struct {
	What  string  // what was done, for the bench
	Count int     // how often
	At    r3.Vec  // the first place, or where it moved most
	Moved float64 // most that a place of the surface moved, m
	Area  float64 // that it added, or took off where negative, m²
}

// Taken is a mesh made ready.
type Taken struct {
	Mesh     *mesh.Mesh
	Filled   []bool // of each triangle: nobody measured it
	Closed   bool
	Mirrored bool
	Repairs  []Repair
	Holes    []Hole // that stay open, widest first; not the outer rim of an open surface
	Rims     int
	Smooth   *Smoothed // nil: not asked for
	Recut    *Recutting
	Crossing []mesh.Crossing // that remain
	Uneasy   bool            // triangles lie so thick that not every crossing was looked for
}

// Hole is a rim that nothing fills.
type Hole struct {
	At   r3.Vec
	Wide float64 // greatest distance between two of its vertices, m
	Why  string  // it stays open
}

// mostCrossings is how many crossings are looked for: one is enough to refuse.
const mostCrossings = 1000

// Take makes a mesh ready: places it, mends it, chooses one piece, smooths, fills
// holes, cuts, and covers it with other triangles, in that order. An error says
// where it can't be mended and what to do.
func Take(m *mesh.Mesh, o Options) (Taken, error) {
	w := work{o: o}
	w.m = w.place(ordered(m))
	for _, step := range []func() error{w.mend, w.uncross, w.smooth, w.fill, w.cut, w.recut} {
		if err := step(); err != nil {
			return Taken{}, err
		}
	}
	return w.out, w.finish()
}

// work is a mesh on its way; filled goes with its triangles.
type work struct {
	o      Options
	m      *mesh.Mesh
	filled []bool
	top    *mesh.Topology // of m, once it was needed
	out    Taken
}

// topology returns what touches what in the mesh as it is now.
func (w *work) topology() (*mesh.Topology, error) {
	if w.top == nil || w.top.Mesh != w.m {
		t, err := mesh.NewTopology(w.m)
		if err != nil {
			return nil, err
		}
		w.top = t
	}
	return w.top, nil
}

func (w *work) did(r Repair) {
	if r.Count > 0 {
		w.out.Repairs = append(w.out.Repairs, r)
	}
}

func (w *work) finish() error {
	t, err := w.topology()
	if err != nil {
		return err
	}
	w.out.Mesh, w.out.Filled, w.out.Closed = w.m, w.filled, t.Closed()
	w.out.Rims = len(t.RimLoops())
	return nil
}

// place says where something is, in millimetres.
func place(p r3.Vec) string {
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", 1e3*p.X+0, 1e3*p.Y+0, 1e3*p.Z+0)
}
