// Package cut opens a triangle surface along paths over it: slits that run from
// inside to the rim, and cuts from rim to rim that open a tube or part a surface
// in two. It finds the shortest ways for such paths and follows straight ones.
//
// Lengths are metres. Left and right of a path are as seen with the surface's
// normals up.
//
// It does not know cloth, nor where a cut is wanted.
package cut
