// Package cutting draws what the person at the cutting table reads, from a plan:
// the pieces and the rolls as package pattern takes them, the sheet for cutting by
// hand with a knife and a straight edge, and a label for each piece.
//
// The cutting sheet measures in the roll's own axes: along the roll from its start,
// and across from the selvedge that is near as it is drawn. It tells corners by those
// two lengths, straight sides by their length, and a curved side by a straight edge
// laid from corner to corner: every 25 mm along it (every inch where the job shows
// US units), so far square to it. Lengths are rounded to what a rule shows: half a
// millimetre or a thirty-second of an inch. Between two marks a knife that follows
// the straight line leaves the outline by no more than [mostSag].
package cutting
