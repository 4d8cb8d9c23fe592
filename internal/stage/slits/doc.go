// Package slits answers where a ply of cloth must be cut so that it lies down: it
// lays the cloth, finds the places where it locks, lies over itself or is too wide
// for the roll, and cuts there with few and short cuts.
//
// Shear behind a place is the curvature that it encloses. So a corner that holds
// more than the locking angle gets one slit from its middle to the rim, through the
// foot of the corner, where the surface opens again. What would fill a hole counts
// as well ([holesOf]): a tube is opened from rim to rim, on the side away from the
// seed. What is left before the tip is enclosed by what lies behind, and locks it: such
// slits are deepened before others are added. Where curvature is spread, a slit is tried in the middle of each locked
// place, led over what locks beside it, lengthened, and at last shortened as far as
// nothing gets worse. Where slits do not do, the worst piece is parted in two along
// the best of some lines from rim to rim, each piece gets a seed of its own, and so
// on. A layout of cuts is judged by what it costs ([pieceCost] and those below it).
//
// The best lines are found once for all plies that lie alike ([planKey]), on a
// coarse copy of the part where that is fine, and a ply's own cuts run beside them
// ([Stagger]). On the part itself they are then mended where cloth still locks. The
// work of a search is bounded by [mostWork]; what it has come to by then stands, and
// its beds say what is left over.
//
// Lengths are metres, angles radians. Left and right of a cut are as seen from where
// it begins, a slit at its tip, with the free side up.
//
// It does not choose the part's seed, draw laps, or cover the gap on the mould that
// a cut leaves where the flat piece lies over itself ([Bed.Doubled]).
package slits
