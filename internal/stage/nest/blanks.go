package nest

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Blank is a rectangle that is cut off across the roll before its pieces are cut out
// of it.
type Blank struct {
	Group  string    `json:"group,omitempty"` // whose pieces it holds
	From   si.Length `json:"from_m"`
	To     si.Length `json:"to_m"`
	Use    float64   `json:"use"`    // area of the pieces / area of the blank
	Pieces int       `json:"pieces"` // the next so many placements
}

// cutTo is what cuts across the roll are rounded up to, m: a line is ruled by it.
const cutTo = 1e-3

// blanks lays each group on a blank of its own, one after another along the lane, and
// returns the sets that it has no room for. For comparison the same pieces are nested
// together too.
func (r Roll) blanks(ctx context.Context, l lane, k *kit, sets []set, e spending) (*Laid, []set, error) {
	var out *Laid
	var left []set
	var laid []int
	start, half, table := 0.0, float64(r.Gap)/2, l.table
	l.table = 0
	all := k.area(kindsOf(sets))
	for _, s := range joined(sets) {
		here := l.from(start)
		one := e
		one.seconds *= s.area / all
		st, err := here.lay(ctx, k, s.kinds, one)
		if err != nil {
			return nil, nil, err
		}
		if st == nil {
			left = append(left, s)
			continue
		}
		part := r.report(here, st)
		to := min(l.length, cutTo*math.Ceil((start+float64(part.Length)+half)/cutTo-1e-9))
		b := Blank{Group: s.group, From: si.Length(max(0, start-half)), To: si.Length(to), Pieces: len(s.kinds)}
		b.Use = s.area / (float64(b.To-b.From) * l.width)
		for i := range part.Placements {
			part.Placements[i].X += si.Length(start)
		}
		if out == nil {
			out = &part
			out.Defects, out.Table = l.defects, si.Length(table)
		} else {
			out.Placements = append(out.Placements, part.Placements...)
		}
		out.Blanks, out.Length = append(out.Blanks, b), b.To
		laid = append(laid, s.kinds...)
		start = to + half
	}
	if out == nil {
		return nil, left, nil
	}
	out.Use = k.area(laid) / float64(out.Width*out.Length)
	st, err := l.lay(ctx, k, laid, e)
	if st != nil {
		together := r.report(l, st).Length
		out.Together = &together
	}
	return out, left, err
}

// joined puts all copies without a group into one set.
func joined(sets []set) (out []set) {
	at := -1
	for _, s := range sets {
		switch {
		case s.group != "":
			out = append(out, s)
		case at < 0:
			at = len(out)
			out = append(out, s)
		default:
			out[at].kinds = append(out[at].kinds[:len(out[at].kinds):len(out[at].kinds)], s.kinds...)
			out[at].area += s.area
		}
	}
	return out
}

// from is what is left of a lane beyond x.
func (l lane) from(x float64) lane {
	back := r2.Vec{X: -x}
	l.length -= x
	l.shut, l.defects = shifted(l.shut, back), nil
	return l
}

func shifted(rings []geom.Polygon, d r2.Vec) (out []geom.Polygon) {
	for _, p := range rings {
		out = append(out, p.Shift(d))
	}
	return out
}
