// Package slits answers where a ply of cloth must be cut so that it lies down: it
// lays the cloth, finds the places where it locks, and cuts from there to the rim.
//
// Shear behind a place is the curvature that it encloses, so a corner that holds
// more than the locking angle gets one slit from its middle to the rim, the
// nearest way, or into a cut-out where that is near; at the foot of the corner
// the surface opens again, and the slit leads through there. Where curvature is
// spread, the slit starts at the inner end of the locked place. Then the cloth is
// laid anew, tips that still lock are moved on, and slits added, until nothing is
// over the limit or nothing helps. Cells of the kinematic net must not straddle a
// tip, so that a tip may lie one triangle beyond a sharp corner.
//
// Lengths are metres, angles radians. Left and right of a slit are as seen from
// its tip with the free side up.
package slits
