// Package release answers how a part and its mould come apart: what hooks and
// grips along a pull, which pull is the best, where to split what one pull can't
// free, whether a plug can be dug out, how the two grow against each other, and
// about how hard it is to pull.
//
// Places are in metres, angles in radians. The part is its surface on the mould,
// turned with the free side outwards, for a plug and a cavity alike; the mould
// lies behind it. A pull is the way the part moves off a mould that stands still:
// the mould moves the other way off a part that stands still.
//
// Parts move straight and do not bend: how far a wall would have to bend is said
// as the depth of the hook. Turning a part out of its mould is not looked for.
package release
