// Package geom holds plane polygons: measures, hulls, simplification, offsets
// and the Boolean operations that patterns, drawings and moulds need.
//
// Coordinates are bare float64 in metres, angles in radians, anticlockwise
// from the x axis. A [Polygon] is one closed ring, a [Region] a ring with
// holes. The functions keep the ring's sense of travel unless they say
// otherwise; the Boolean operations return outer rings anticlockwise and holes
// clockwise.
//
// It does not snap coordinates to a grid, knows no curves (an arc is a chain
// of chords) and has no opinion on what a polygon stands for.
package geom
