package bag

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
)

// pleatHigh is the tallest pleat that stands and seals well. Common practice, no source.
const pleatHigh = tapePerPleat

// Pleat is a fold of the film at its taped edge.
type Pleat struct {
	At   [3]float64 `json:"at_m"`     // on the line of the tape
	High si.Length  `json:"height_m"` // of the fold: it takes twice that of film
}

// film is the bag's film along one axis.
type film struct {
	way       axis
	cut       cut        // the longest
	path      float64    // over it
	low, high float64    // ends of the tape line along
	sides     [2]float64 // and where it runs across
	down      float64    // its height
	drop      [2]float64 // from the ends of the cut down to it
}

// taut measures the film along an axis over a face that fills a box. A bag over a
// plug is taped at the height of its foot, one over a cavity at its rim.
func taut(all []cut, way axis, low, high r3.Vec, cavity bool) film {
	f := film{way: way, down: low.Z}
	f.cut, f.path = longest(all)
	f.low, f.sides[0] = way.split(low)
	f.high, f.sides[1] = way.split(high)
	f.low, f.sides[0] = f.low-bagLand, f.sides[0]-bagLand
	f.high, f.sides[1] = f.high+bagLand, f.sides[1]+bagLand
	if cavity {
		f.down = high.Z
	} else {
		f.drop = f.cut.ends()
		f.drop[0], f.drop[1] = f.drop[0]-low.Z, f.drop[1]-low.Z
	}
	return f
}

// ends returns the heights at which a cut ends on both sides.
func (c *cut) ends() (z [2]float64) {
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range c.parts {
		for _, q := range []struct{ x, z float64 }{{p.a.X, p.a.Y}, {p.b.X, p.b.Y}} {
			if q.x < least || q.x == least && q.z < z[0] {
				least, z[0] = q.x, q.z
			}
			if q.x > most || q.x == most && q.z < z[1] {
				most, z[1] = q.x, q.z
			}
		}
	}
	return z
}

// long is the film's length: the way over the face, down to the tape's height, over
// the land at both ends, and a string's margin.
func (f *film) long() float64 { return f.path + f.drop[0] + f.drop[1] + 2*bagLand + stringMargin }

// spare is what the film is longer than the line it is taped to.
func (f *film) spare() float64 { return f.long() - (f.high - f.low) }

// slack is film to be gathered at a place along.
type slack struct{ at, film float64 }

// gathers lists where the film is longer than the tape line: on what is steep, at the
// drops, and by its margin all along.
func (f *film) gathers() (out []slack) {
	for _, p := range f.cut.parts {
		run := math.Abs(p.b.X - p.a.X)
		out = append(out, slack{(p.a.X + p.b.X) / 2, math.Hypot(run, p.b.Y-p.a.Y) - run})
	}
	out = append(out, slack{f.low + bagLand, f.drop[0]}, slack{f.high - bagLand, f.drop[1]})
	const bits = 32
	for i := range bits {
		out = append(out, slack{f.low + (f.high-f.low)*(float64(i)+0.5)/bits, stringMargin / bits})
	}
	slices.SortFunc(out, func(a, b slack) int { return cmp.Compare(a.at, b.at) })
	return out
}

// pleats gathers the spare film along both sides that run this way: n folds of height
// h, 2·n·h of film, no fold taller than stands well and none farther from the next
// than practice has it. Each stands where its share of the spare film is needed, so
// that they come to the feet of walls and to both ends of a hollow.
func (f *film) pleats() (out []Pleat) {
	spare := f.spare()
	n := max(1, math.Ceil(spare/(2*pleatHigh)), math.Ceil((f.high-f.low)/pleatEvery))
	all, total := f.gathers(), 0.0
	for _, s := range all {
		total += s.film
	}
	k, sum := 0.5, 0.0
	for _, s := range all {
		sum += s.film
		for ; k < n && sum >= k/n*total; k++ {
			for _, side := range f.sides {
				p := f.way.place(s.at, side, f.down)
				out = append(out, Pleat{At: [3]float64{p.X, p.Y, p.Z}, High: si.Length(spare / (2 * n))})
			}
		}
	}
	return out
}
