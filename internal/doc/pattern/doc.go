// Package pattern draws what goes to the cutting table: each flat piece at full
// size on one sheet (for a cutter or plotter), the same piece on pages of
// ordinary paper to be joined, and the layout of the pieces on the roll.
//
// It is given finished outlines and changes none of them: no allowance is
// added, no corner rounded, no point dropped. Outlines come in metres, y up,
// seen from the free side of the part (the side away from the mould); the
// drawings are in millimetres at full size with the same handedness.
//
// Layers: cut holds only closed lines round the piece and its holes; knife the slits
// and snips inside; lap the lines to which edges of laid cloth come; mark the trim
// line, match marks, the rounds at the tips of slits and the seed; carrier the film
// that the piece is wet out in; warp the thread directions; text the words and the
// 100 mm check square. What belongs to a printed page alone is on paper.
package pattern
