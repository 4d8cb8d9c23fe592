package slits

// Offset says where a ply's seams run beside the best lines.
type Offset struct {
	By        float64 // to the left of the best lines, m
	Opposite  bool    // a tube is opened across from where it is usually
	RightOver bool    // the right side of a cut lies over the left one
}

// Stagger returns the offsets of n plies, one after the other in the stack, that
// are slit along the same best lines. Two are moved to either side by half the
// distance; more take three lines in turn, at −s, 0 and s, with s the larger of
// stagger and lap. A lap lies on one side of its seam, within s of it, so that of
// any three plies in a row no two laps lie over the same place. Where s is twice
// the lap or more, every other round of three laps to the other side, and six
// plies share a place no more than three do. Tubes are opened on two sides in turn.
//
//	ply 1   ▂▂|
//	ply 2        ▂▂|
//	ply 3             ▂▂|
//	     −s−lap  −s   0    s
func Stagger(n int, stagger, lap float64) []Offset {
	out := make([]Offset, n)
	s := max(stagger, lap)
	switch {
	case n < 2 || stagger <= 0:
		return out
	case n == 2:
		out[0].By, out[1].By = -s/2, s/2
	default:
		for i := range out {
			out[i].By, out[i].RightOver = float64(i%3-1)*s, s >= 2*lap && i/3%2 == 1
		}
	}
	for i := range out {
		out[i].Opposite = i%2 == 1
	}
	return out
}
