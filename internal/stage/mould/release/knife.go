package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/si"
)

// knife is a plane found on a survey, with the pull of each side as its number
// among the survey's directions.
type knife struct {
	plane       Plane
	over, under int
	cost        float64 // m²
}

// slots is how many places a plane is tried at along each normal, and leastSide
// the share of the area that must lie on either side of it.
const (
	slots     = 40
	leastSide = 0.02
)

// knives returns for each normal the plane that costs least over the places of,
// cheapest first. For a normal m the places are sorted into slots along it, and the
// costs of each direction added up from both ends: a plane between two slots costs
//
//	min over d of Σ below c(d) + min over d of Σ above c(d) + seam
//
// with the seam taken from the area that lies in the two slots beside it.
func (v *survey) knives(of []int) []knife {
	normals := append(v.axes(of), halfOf(v.dirs)...)
	out := make([]knife, len(normals))
	each(len(normals), func(i int) { out[i] = v.knife(of, normals[i]) })
	slices.SortStableFunc(out, func(a, b knife) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

func (v *survey) knife(of []int, m r3.Vec) knife {
	low, high := v.extent(of, m)
	width := (high - low) / slots
	best := knife{plane: Plane{Normal: array(m)}, cost: math.Inf(1)}
	if !(width > 0) {
		return best
	}
	var count [slots]int
	sums := make([][]float64, slots+1) // below the foot of each slot
	for j := range sums {
		sums[j] = make([]float64, len(v.dirs))
	}
	for _, k := range of {
		j := min(slots-1, int((r3.Dot(v.at[k], m)-low)/width))
		count[j]++
		for d, c := range v.cost[k] {
			sums[j+1][d] += float64(c)
		}
	}
	for j := range slots {
		for d := range v.dirs {
			sums[j+1][d] += sums[j][d]
		}
	}
	perSeam := seamCost
	if !square(m) {
		perSeam += slantCost
	}
	away := make([]float64, len(v.dirs)) // how a piece's own way goes along m
	for d, e := range v.dirs {
		away[d] = float64(v.moves) * r3.Dot(e, m)
	}
	below := 0
	for j := 1; j < slots; j++ {
		if below += count[j-1]; float64(min(below, len(of)-below)) < leastSide*float64(len(of)) {
			continue
		}
		under := v.cheapest(sums[j], nil, away, -1)
		over := v.cheapest(sums[slots], sums[j], away, 1)
		seam := float64(count[j-1]+count[j]) * v.share / (2 * width)
		for _, pair := range [2][2]pick{{over.any, under.away}, {over.away, under.any}} {
			if cost := (pair[0].cost+pair[1].cost)*v.share + perSeam*seam; cost < best.cost {
				best.plane.Offset, best.over, best.under, best.cost = si.Length(low+float64(j)*width), pair[0].dir, pair[1].dir, cost
			}
		}
	}
	return best
}

// pick is the direction that costs least on one side of a plane, and its cost.
type pick struct {
	dir  int
	cost float64
}

// picks are those of all directions, and of those that do not take a piece of a
// mould across the plane: the piece that leaves first needs one.
type picks struct{ any, away pick }

// cheapest compares sums of costs, less those of some, on one side of a plane.
func (v *survey) cheapest(sums, less, away []float64, side float64) picks {
	inf := math.Inf(1)
	out := picks{pick{0, inf}, pick{0, inf}}
	for d, c := range sums {
		if less != nil {
			c -= less[d]
		}
		if c < out.any.cost {
			out.any = pick{d, c}
		}
		if c < out.away.cost && (v.moves == partMoves || side*away[d] > -1e-9) {
			out.away = pick{d, c}
		}
	}
	return out
}

func (v *survey) extent(of []int, m r3.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, k := range of {
		x := r3.Dot(v.at[k], m)
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// axes returns the principal axes of the places: a symmetric part's plane of
// symmetry stands across one of them.
func (v *survey) axes(of []int) (out []r3.Vec) {
	var middle r3.Vec
	for _, k := range of {
		middle = r3.Add(middle, r3.Scale(1/float64(len(of)), v.at[k]))
	}
	m := mat.NewSymDense(3, nil)
	for _, k := range of {
		d := r3.Sub(v.at[k], middle)
		x := [3]float64{d.X, d.Y, d.Z}
		for i := range 3 {
			for j := i; j < 3; j++ {
				m.SetSym(i, j, m.At(i, j)+x[i]*x[j])
			}
		}
	}
	var e mat.EigenSym
	if !e.Factorize(m, true) {
		return nil
	}
	var axes mat.Dense
	e.VectorsTo(&axes)
	for j := range 3 {
		out = append(out, r3.Unit(r3.Vec{X: axes.At(0, j), Y: axes.At(1, j), Z: axes.At(2, j)}))
	}
	return out
}

// settled moves a knife along its normal to where its two pulls cost least, and of
// all places that cost no more to the one through the middle of the part, or its
// centre of area, or else to the middle of them: there a person finds it again.
func (v *survey) settled(k knife, of []int, middles ...r3.Vec) knife {
	m := vec(k.plane.Normal)
	order := slices.Clone(of)
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(r3.Dot(v.at[a], m), r3.Dot(v.at[b], m)), a-b)
	})
	n := len(order)
	sum := make([]float64, n+1) // with the first so many below
	for _, p := range order {
		sum[0] += float64(v.cost[p][k.over])
	}
	for i, p := range order {
		sum[i+1] = sum[i] + float64(v.cost[p][k.under]) - float64(v.cost[p][k.over])
	}
	least := int(math.Ceil(leastSide * float64(n)))
	best := least
	for i := least; i <= n-least; i++ {
		if sum[i] < sum[best] {
			best = i
		}
	}
	from, to, slack := best, best, Trifle/4/v.share
	for from > least && sum[from-1] <= sum[best]+slack {
		from--
	}
	for to < n-least && sum[to+1] <= sum[best]+slack {
		to++
	}
	low, high := r3.Dot(v.at[order[max(0, from-1)]], m), r3.Dot(v.at[order[min(n-1, to)]], m)
	at := (low + high) / 2
	for _, p := range middles {
		if x := r3.Dot(p, m); x >= low-1e-9 && x <= high+1e-9 {
			at = x
			break
		}
	}
	k.plane.Offset = si.Length(plain(at))
	return k
}
