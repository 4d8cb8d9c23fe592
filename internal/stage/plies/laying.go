package plies

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
)

// laying is one piece of cloth while advice on it is gathered.
type laying struct {
	bed
	piece            string
	seed, normal     r3.Vec
	warp             r3.Vec // there
	box              r3.Box // of the part
	long             float64
	locking, warning float64
	rim              []bool
	quarter          []int     // of each vertex, 0 to 3 from +warp+weft to the left; -1 on the lines
	ways             [4]string // of the lines towards +warp, +weft, −warp, −weft
	steps            []AdviceStep
}

type arrow struct{ from, to r3.Vec }

func (w *work) laying(p PlyIn, b bed) *laying {
	l := &laying{bed: b, seed: b.SeedAt, warp: b.WarpDir, box: w.in.Surface.Bounds(), rim: b.Top.RimVertices()}
	l.normal = b.Top.Mesh.FaceNormal(b.Seed.Face)
	l.long = b.Top.Mesh.Diagonal()
	l.locking, l.warning = bounds(p)
	l.quarter = make([]int, len(b.Flat))
	for v, q := range b.Flat {
		l.quarter[v] = quarterOf(q)
	}
	for k := range l.ways {
		if e, ok := l.lineEnd(k%2, [2]float64{1, -1}[k/2]); ok {
			l.ways[k] = lineName(r3.Sub(e.at, l.seed))
		}
	}
	return l
}

// quarterOf numbers the quarter of the flat sheet that a point lies in.
func quarterOf(q r2.Vec) int {
	switch {
	case q.X == 0 || q.Y == 0:
		return -1
	case q.X > 0 && q.Y > 0:
		return 0
	case q.X < 0 && q.Y > 0:
		return 1
	case q.X < 0:
		return 2
	}
	return 3
}

// add adds a step with its arrows.
func (l *laying) add(s AdviceStep, arrows ...arrow) {
	s.Piece = l.piece
	for i, a := range arrows {
		if i == 0 {
			s.From, s.To = triple(a.from), triple(a.to)
		} else {
			s.Also = append(s.Also, [2][3]float64{triple(a.from), triple(a.to)})
		}
	}
	l.steps = append(l.steps, s)
}

// end is where a line from the seed leaves the piece.
type end struct {
	at  r3.Vec
	far float64 // along the cloth, m
}

// straying is by how much more going off a line counts than following it, in the
// search for its end; shortLine is the share of the piece's diagonal below which a
// line is not worth a word.
const (
	straying  = 4
	shortLine = 0.03
)

// lineEnd returns where the yarn through the seed along an axis ends.
func (l *laying) lineEnd(axis int, way float64) (end, bool) {
	best, at := 0.0, -1
	for v, q := range l.Flat {
		along, across := way*q.X, q.Y
		if axis == 1 {
			along, across = way*q.Y, q.X
		}
		if score := along - straying*math.Abs(across); score > best {
			best, at = score, v
		}
	}
	if at < 0 || best < shortLine*l.long {
		return end{}, false
	}
	return end{l.Top.Mesh.Vertices[at], r2.Norm(l.Flat[at])}, true
}

// region is a quarter of the piece.
type region struct {
	of    int
	shear float64 // the most in it but for a trifle, either way, rad
	shuts bool    // there the yarns close towards the way out, as over a dome
	start float64 // net distance from the seed at which the warning is passed, m
	far   int     // vertex far out between the two lines
	worst int     // vertex sheared most
}

// leastQuarter is the share of the piece below which a quarter needs no word;
// lies is the shear up to which cloth lies down by itself, rad; alike is how far
// quarters may differ to be told of together, rad.
const (
	leastQuarter = 0.02
	lies         = 5 * math.Pi / 180
	alike        = 3 * math.Pi / 180
)

// regions returns the quarters, that which shears least first.
func (l *laying) regions() (out []region) {
	var whole float64
	for _, a := range l.Areas {
		whole += a
	}
	for q := range 4 {
		r := region{of: q, start: math.Inf(1), far: -1, worst: -1}
		var areas, shear []float64
		var sum, most, deep float64
		for v, of := range l.quarter {
			if of != q {
				continue
			}
			γ := math.Abs(l.Shear[v])
			areas, shear, sum = append(areas, l.Areas[v]), append(shear, γ), sum+l.Areas[v]
			if r.worst < 0 || γ > most {
				most, r.worst = γ, v
			}
			if d := min(math.Abs(l.Flat[v].X), math.Abs(l.Flat[v].Y)); d > deep {
				deep, r.far = d, v
			}
			if γ > l.warning {
				r.start = min(r.start, r2.Norm(l.Flat[v]))
			}
		}
		if sum < leastQuarter*whole || r.far < 0 {
			continue
		}
		r.shear = float64(passedOn(areas, shear, 1e-3))
		r.shuts = (l.Shear[r.worst] > 0) == (q%2 == 0)
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b region) int {
		if math.Abs(a.shear-b.shear) < alike {
			return 0
		}
		return cmp.Compare(a.shear, b.shear)
	})
	return out
}

// quarters tells how to go on between the two lines, those alike together.
func (l *laying) quarters() {
	list := l.regions()
	for i := 0; i < len(list); {
		j := i + 1
		for j < len(list) && (list[j].shear-list[i].shear < alike || list[j].shear < lies) {
			j++
		}
		l.tellQuarters(list[i:j], i == 0)
		i = j
	}
}

func (l *laying) tellQuarters(group []region, first bool) {
	most, start, shut := 0.0, math.Inf(1), 0
	var arrows []arrow
	for _, r := range group {
		most, start = max(most, r.shear), min(start, r.start)
		if r.shuts {
			shut++
		}
		arrows = append(arrows, arrow{l.seed, l.Top.Mesh.Vertices[r.far]})
	}
	then := "Then"
	if first {
		then = "Now"
	}
	what := fmt.Sprintf("%s smooth %s", then, l.nameQuarters(group))
	what += ", from the seed outwards and from the lines into the middle."
	do := "close or open"
	switch shut {
	case len(group):
		do = "close"
	case 0:
		do = "open"
	}
	switch {
	case most < lies:
		what += " Nothing resists."
	case most < l.warning:
		what += fmt.Sprintf(" The yarns %s by up to %s, which the cloth takes.", do, wholeDegrees(most))
	default:
		what += fmt.Sprintf(" The yarns %s by up to %s; from %s out it resists.", do, wholeDegrees(most), millimetres(start))
	}
	l.add(AdviceStep{Kind: stepQuarter, What: what, Shear: si.Angle(most)}, arrows...)
}

// nameQuarters says which quarters are meant: by the lines through the seed that
// they lie between.
func (l *laying) nameQuarters(group []region) string {
	between := func(q int) string {
		a, b := l.ways[q], l.ways[(q+1)%4]
		if a == "" || b == "" {
			return "beside the " + a + b + " line"
		}
		return "between the " + a + " and " + b + " lines"
	}
	n := len(group)
	switch {
	case n == 4:
		return "the four quarters, one after the other"
	case n == 3:
		left := 6 // less the three numbers is the fourth
		for _, r := range group {
			left -= r.of
		}
		return "three quarters, one after the other, all but that " + between(left)
	case n == 1:
		return "the quarter " + between(group[0].of)
	case n == 2 && (group[0].of-group[1].of)%2 != 0:
		shared := max(group[0].of, group[1].of)
		if shared == 3 && min(group[0].of, group[1].of) == 0 {
			shared = 0
		}
		if l.ways[shared] != "" {
			return "the two quarters on either side of the " + l.ways[shared] + " line"
		}
	}
	list := make([]string, n)
	for i, r := range group {
		list[i] = between(r.of)
	}
	return "the quarters " + strings.Join(list, ", and ")
}
