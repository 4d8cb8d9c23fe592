package flat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// Tolerances of drawn curves, m.
const (
	smooth  = 5e-5 // how far a drawn line may leave its curve: half of what a knife follows
	bulge   = 2e-4 // how far a curve may leave the chords of a rim whose turns don't tell of an arc
	fullest = 1e-3 // and where they do: no mesh of a curved rim is coarser
	nearest = 3e-4 // rim vertices nearer together say nothing of the curve's direction
)

// Turns at rim vertices, rad.
const (
	// A vertex is a corner where the rim turns by more than cornerTurn, and the
	// turning a length there is over cornerPeak times that at both its neighbours,
	// or where it turns by more than sharpTurn.
	cornerTurn = 12 * math.Pi / 180
	cornerPeak = 4.0
	sharpTurn  = 60 * math.Pi / 180
	// Between vertices that turn by no more than arcTurn, and alike within
	// arcAlike, the rim is taken for an arc.
	arcTurn  = 45 * math.Pi / 180
	arcAlike = 2.0
)

// smoothed returns a smooth curve through the vertices of a rim, with values
// given at them, as a row of points. Vertices lie on the rim; between them the mesh
// cuts it short by the sagitta h²/8R. The curve is made of cubics with a common
// tangent where two meet, but for corners; on a circle the tangent is the circle's,
// and the error falls with h⁴; elsewhere with h³. A closed row ends with its first point.
func smoothed(at []r2.Vec, f []float64, closed bool) ([]r2.Vec, []float64) {
	at, f = spaced(at, f)
	c := newCurve(at, closed)
	points, values := []r2.Vec{at[0]}, []float64{f[0]}
	for i := 0; i+1 < len(at); i++ {
		start, end := c.slopes(i)
		n := pieces(r2.Norm(r2.Sub(at[i+1], at[i])), start, end)
		for k := 1; k <= n; k++ {
			t := float64(k) / float64(n)
			points = append(points, cubic(at[i], at[i+1], start, end, t))
			values = append(values, f[i]+t*(f[i+1]-f[i]))
		}
	}
	return thinned(points, values, smooth)
}

// spaced drops vertices that lie too near to the one before to tell a direction.
func spaced(at []r2.Vec, f []float64) (p []r2.Vec, q []float64) {
	for _, i := range telling(at) {
		p, q = append(p, at[i]), append(q, f[i])
	}
	return p, q
}

// telling returns which vertices of a row are kept: its ends, and those apart from
// the one before and from the last.
func telling(at []r2.Vec) []int {
	out, last := []int{0}, len(at)-1
	for i := 1; i < last; i++ {
		if r2.Norm(r2.Sub(at[i], at[out[len(out)-1]])) >= nearest && r2.Norm(r2.Sub(at[i], at[last])) >= nearest {
			out = append(out, i)
		}
	}
	return append(out, last)
}

// cornersOf returns which vertices of a row are corners; the ends of an open row are.
func cornersOf(at []r2.Vec, closed bool) (out []int) {
	keep := telling(at)
	row := make([]r2.Vec, len(keep))
	for k, i := range keep {
		row[k] = at[i]
	}
	for k, is := range newCurve(row, closed).corners {
		if is {
			out = append(out, keep[k])
		}
	}
	return out
}

// curve holds what is known of a row of vertices: by vertex the turn, rad, and the
// turning a length, rad/m; 0 at the ends of an open row, which are corners.
type curve struct {
	closed  bool
	n       int // vertices, the repeated one of a closed row left out
	length  []float64
	turn    []float64
	bend    []float64
	corners []bool
}

func newCurve(at []r2.Vec, closed bool) *curve {
	last := len(at) - 1
	c := &curve{closed: closed, n: last + 1, length: make([]float64, last)}
	if closed {
		c.n = last
	}
	for i := range last {
		c.length[i] = r2.Norm(r2.Sub(at[i+1], at[i]))
	}
	c.turn, c.bend, c.corners = make([]float64, c.n), make([]float64, c.n), make([]bool, c.n)
	for i := range c.turn {
		if !closed && (i == 0 || i == last) {
			c.corners[i] = true
			continue
		}
		before := (i + last - 1) % last
		a, b := r2.Sub(at[i], at[before]), r2.Sub(at[i+1], at[i])
		c.turn[i] = math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
		c.bend[i] = 2 * c.turn[i] / (c.length[before] + c.length[i])
	}
	for i := range c.corners {
		turn, bend := math.Abs(c.turn[i]), math.Abs(c.bend[i])
		if turn > sharpTurn || turn > cornerTurn && bend > cornerPeak*math.Abs(c.bendAt(i-1)) && bend > cornerPeak*math.Abs(c.bendAt(i+1)) {
			c.corners[i] = true
		}
	}
	return c
}

func (c *curve) wrap(i int) int { return (i + c.n) % c.n }

// bendAt is 0 beyond the ends of an open row.
func (c *curve) bendAt(i int) float64 {
	if !c.closed && (i < 0 || i >= c.n) {
		return 0
	}
	return c.bend[c.wrap(i)]
}

// slopes returns the angles from the chord after vertex i to the curve's tangents
// at its two ends, rad. At a vertex the turn is shared between the chords by what
// the vertices beyond tell, so that a circle stays one and a straight stretch stays
// straight up to where an arc begins. At a corner the arc goes on to it.
func (c *curve) slopes(i int) (start, end float64) {
	j := c.wrap(i + 1)
	start, end = -c.share(i, true), c.share(i+1, false)
	switch {
	case c.corners[i] && c.corners[j]:
		return 0, 0
	case c.corners[i]:
		start = -end
	case c.corners[j]:
		end = -start
	}
	off := math.Abs(start-end) * c.length[i] / 8 // of the cubic's middle from the chord
	if off > bulge && !(off <= fullest && c.isArc(i, j, start, end)) {
		return start * bulge / off, end * bulge / off
	}
	return start, end
}

// share returns the part of the turn at vertex i that falls to the chord after it,
// or to the one before, rad. The turning at the far end of a chord tells how much of
// an arc the chord is; what it says counts the more, the more alike the two chords
// there are in length.
func (c *curve) share(i int, after bool) float64 {
	v := c.wrap(i)
	if c.corners[v] {
		return 0
	}
	chords := len(c.length)
	before, next := c.length[(i+chords-1)%chords], c.length[i%chords]
	turn := c.turn[v]
	half := turn * next / (before + next) // as on a circle
	b, wb := c.told(i-1, before)
	n, wn := c.told(i+1, next)
	if wb+wn > 0 {
		half = (wn*n + wb*(turn-b)) / (wn + wb)
	}
	half = min(max(half, min(0, turn)), max(0, turn))
	if after {
		return half
	}
	return turn - half
}

// told returns half the turn of a chord from what its end at vertex i tells, and how
// much that counts, up to 1.
func (c *curve) told(i int, chord float64) (half, weight float64) {
	if c.cornerAt(i) {
		return 0, 0
	}
	chords := len(c.length)
	p, q := c.length[(c.wrap(i)+chords-1)%chords], c.length[c.wrap(i)]
	alike := min(p, q) / max(p, q)
	return c.bendAt(i) * chord / 2, alike * alike
}

func (c *curve) cornerAt(i int) bool {
	return !c.closed && (i < 0 || i >= c.n) || c.corners[c.wrap(i)]
}

// isArc tells whether the chord between two vertices is that of an arc: it turns
// alike at both ends, or at the one that is no corner, and not by much.
func (c *curve) isArc(i, j int, start, end float64) bool {
	a, b := math.Abs(start), math.Abs(end)
	if start*end >= 0 || 2*max(a, b) > arcTurn || max(a, b) > arcAlike*min(a, b) {
		return false
	}
	return !c.corners[i] || !c.corners[j]
}

// cubic returns the point at share t of the cubic from a to b that leaves the chord
// by the angles given.
func cubic(a, b r2.Vec, start, end, t float64) r2.Vec {
	d := r2.Sub(b, a)
	up := r2.Vec{X: -d.Y, Y: d.X}
	off := math.Tan(start)*t*(1-t)*(1-t) - math.Tan(end)*t*t*(1-t)
	return r2.Add(a, r2.Add(r2.Scale(t, d), r2.Scale(off, up)))
}

// pieces returns how many chords a cubic needs to be true within half of smooth.
func pieces(long, start, end float64) int {
	sag := long * max(math.Abs(start), math.Abs(end)) / 2 // h²·bend/8, with a bend of no more than 4·slope/h
	return min(64, max(1, int(math.Ceil(math.Sqrt(sag/(smooth/2))))))
}

// thinned drops points of an open line, with their values, that lie within tol of
// the chord between those kept (Douglas and Peucker).
func thinned(line []r2.Vec, values []float64, tol float64) ([]r2.Vec, []float64) {
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	var split func(i, j int)
	split = func(i, j int) {
		worst, at := tol, -1
		for k := i + 1; k < j; k++ {
			if d := geom.SegmentDistance(line[k], line[i], line[j]); d > worst {
				worst, at = d, k
			}
		}
		if at >= 0 {
			keep[at] = true
			split(i, at)
			split(at, j)
		}
	}
	split(0, len(line)-1)
	var p []r2.Vec
	var q []float64
	for i, is := range keep {
		if is {
			p, q = append(p, line[i]), append(q, values[i])
		}
	}
	return slices.Clip(p), slices.Clip(q)
}
