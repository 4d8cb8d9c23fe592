// Package nest lays flat pieces on roll goods: given outlines, how often each
// is needed and which ways it may lie, it finds a place for every copy on a
// roll of fixed width and tries to use as little length as it can. It knows
// polygons and rolls, not plies.
//
// x runs along the roll from its start, y across it from one edge; all lengths
// are in metres. A placement turns the piece's own outline about its origin
// (after flipping it about the x axis where it lies face down), then shifts it.
//
// How it works. Every outline is grown by half the gap, relieved of needless
// corners (outward only) and cut into convex parts. Two pieces overlap exactly
// where the shift between them lies in the Minkowski sum of a part of one and
// the mirrored part of the other; a table for each pair of poses answers that
// in a few operations (pair.go), or the parts themselves where pieces are so many
// and unlike that tables would fill the memory (direct.go).
//
// A bottom-left layout comes first (start.go). Then the roll is shortened a
// little at a time: pieces overlap for the moment and are freed by guided local
// search, moving one after another to the best of many places tried, with
// growing weights on pairs that stay stubborn (search.go, separate.go,
// explore.go). Where copies are much alike, some of those places repeat how
// others lie beside each other (echo.go). At the end pieces slide towards the
// start until they touch (slide.go), and a check that shares nothing with the
// search proves the layout on the outlines as given (verify.go).
// Source: [gardeyn2025], [egeblad2007]
//
// Goods have rules: defects, section lines of a cutting table and what a remnant
// lacks of its box are bodies that do not move (lane.go); stock goes first, filled with
// whole sets of pieces that must come from one lot (sets.go, fill.go); cut by hand each
// group has a blank of its own (blanks.go); what is left worth keeping is outlined
// (remnant.go).
//
// The search is bounded by work and not by a clock, so that one job gives one
// layout; the seed is part of the input. (Processor families that fuse a
// product and a sum into one rounding may come to another layout, as good and
// as well checked.) Whoever watches may end it with the best layout so far
// (watch.go). It finds good layouts, not the best. Turns are the ones listed:
// none is free.
package nest
