// Package draw is the one drawing model that every encoder reads: pages of
// named layers holding paths, facets, circles and words, and the few shapes
// built from them that the documents need (charts, tables, running text,
// shaded maps and pictures of a surface).
//
// Units and axes. All coordinates are millimetres on paper. The origin is the
// page's lower left corner, x runs right and y runs UP, so a pattern keeps its
// handedness without a sign to remember; PDF and SVG turn y over in their
// encoders. Angles are radians, counter-clockwise. Text sizes alone are in
// points, because paper text is judged in points.
//
// Pen widths, dashes and text sizes are properties of the paper, not of the
// thing drawn: [Affine] moves geometry and leaves them alone.
//
// The package knows nothing about composites and writes no file. Transparency,
// pictures made of pixels and curved paths are left out: a circle is the only
// curve, everything else is polylines.
package draw
