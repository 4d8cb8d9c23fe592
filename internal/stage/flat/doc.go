// Package flat draws the flat pieces of cloth that are cut: outline with trim and
// lap allowance, knife lines, laps, match and alignment marks, and what is written on
// a piece. It needs a surface opened along its slits, the flat place of every vertex,
// and the widths that are asked.
//
// Rims. The trim line is a smooth curve through the rim's vertices. The two sides of
// a slit are moved off the mesh's own zigzag by the same way on the mould, so that
// they still meet.
//
// Widths hold on the mould: a strip is drawn w·f wide, with f the flat length per
// mould length across the rim there.
//
// Slits. One side lies over the other and is cut wider by the lap. In the flat the
// lap lies in the notch that the slit leaves; where the notch is narrower, one knife
// line along the other side parts the two, and the lap is what the notch gives: none
// at the tip. Where the sides overlap in the flat, since the slit opens on the mould,
// the knife follows the side that lies under, and the cloth that the other lacks is
// reported ([Gap]). At a parting each piece has one side of the seam.
//
// Marks. Match marks of one label meet when the cloth lies, on two pieces or on the
// two sides of a slit. Alignment marks lie on lines that the builder pencils on the
// mould.
//
// A cut-out is cut in the cloth only where a slit ends in it; else it is a mark.
//
// Lengths are metres. Flat coordinates are u along the ply's own warp and v along
// its weft, with the seed at (0, 0), seen from the free side: the marked face of a
// piece looks away from the mould. Left and right of a seam are as seen from where
// it begins, with the free side up.
//
// It does not find slits, lay cloth, or say whether a lap is wide enough when the
// piece is put back on the mould: package relay measures that.
package flat
