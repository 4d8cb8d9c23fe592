package drape

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Trials lays nets on one surface from many seeds, and prepares it once. Several
// may ask at the same time.
type Trials struct {
	s      *surface
	tracer *mesh.Tracer
}

// NewTrials prepares a surface, which hangs together and has a rim.
func NewTrials(t *mesh.Topology) (*Trials, error) {
	if err := check(Input{Surface: t}); err != nil {
		return nil, err
	}
	s, err := newSurface(t).overHoles()
	if err != nil {
		return nil, err
	}
	s.long = longestLine(s)
	return &Trials{s, mesh.NewTracer(s.topology, rounding(s.topology, len(t.Mesh.Triangles), len(s.Triangles)))}, nil
}

// Net lays the net from a seed along a direction, with the given step, m.
func (t *Trials) Net(seed mesh.Point, warp r3.Vec, step float64) (*Net, error) {
	return newNetOn(t.s, t.tracer, seed, warp, step)
}
