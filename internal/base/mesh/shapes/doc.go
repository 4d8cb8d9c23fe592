// Package shapes makes surfaces on which a program that lays cloth may stumble:
// closed and one-sided ones, sheets that cross themselves, surfaces full of
// holes, thin fingers and scans with noise, beside the plain moulds of a bench.
// Each comes from a few measures in metres, and where chance plays a part from a
// seed number, so that the same call gives the same triangles.
//
// Unless a function says otherwise, triangles run counter-clockwise seen from
// outside or above, vertices are shared by the triangles that meet there, and
// all vertices lie on the true surface.
//
// It mends nothing and judges nothing; [Corpus] only says of each surface
// whether an answer can be asked for.
package shapes
