// Package flat draws the flat pieces of cloth that are cut: trim line and cut
// line, slits with their laps, knife lines and match marks.
//
// A slit has two sides: left and right seen from its tip with the free side up.
// The left one is cut wider by the lap and lies over the right one. In the flat
// the lap lies in the notch that the slit leaves; where the notch is narrower, one
// knife line parts the sides and the lap is what the notch gives: none at the
// tip. Where a cut-out ends a slit, the cloth is cut there too.
//
// Lengths are metres. Flat coordinates are u along the ply's own warp and v along
// its weft, with the seed at (0, 0), seen from the free side.
package flat
