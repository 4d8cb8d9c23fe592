package drape

// What a place of the net's grid holds when it holds no node.
const (
	untried = int32(-1) // no cell was tried there
	outside = int32(-2) // the yarns to it leave the surface
	shut    = int32(-3) // its cell did not close
)

// grid finds nodes by their steps from the seed. It grows with the net, row by
// row, and rows are as long as the net is there.
type grid struct{ rows []row }

// row holds the places with one J, from I = low on.
type row struct {
	low int32
	at  []int32
}

// zigzag numbers 0, −1, 1, −2, 2 ... from 0.
func zigzag(j int32) int {
	if j < 0 {
		return int(-2*j - 1)
	}
	return int(2 * j)
}

// get returns the number of the node at a place, or why there is none.
func (g *grid) get(p [2]int32) int32 {
	z := zigzag(p[1])
	if z >= len(g.rows) {
		return untried
	}
	r := &g.rows[z]
	if i := int(p[0]) - int(r.low); i >= 0 && i < len(r.at) {
		return r.at[i]
	}
	return untried
}

// set puts a node's number, or why there is none, at a place.
func (g *grid) set(p [2]int32, what int32) {
	z := zigzag(p[1])
	for z >= len(g.rows) {
		g.rows = append(g.rows, row{})
	}
	r := &g.rows[z]
	if len(r.at) == 0 {
		r.low = p[0]
	}
	if p[0] < r.low {
		more := max(int(r.low-p[0]), len(r.at)) // doubles, so that growing is cheap
		at := make([]int32, more+len(r.at))
		copy(at[more:], r.at)
		for i := range more {
			at[i] = untried
		}
		r.low, r.at = r.low-int32(more), at
	}
	for int(p[0]-r.low) >= len(r.at) {
		r.at = append(r.at, untried)
	}
	r.at[p[0]-r.low] = what
}
