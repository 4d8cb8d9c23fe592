package nest

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// pose is a piece in one of the ways it may lie, about the centre of its box.
type pose struct {
	kind     int     // index of the piece
	turn     float64 // rad
	flipped  bool
	twin     int     // number of the pose half a turn away; −1: none
	origin   r2.Vec  // the piece's own origin seen from the box centre
	hx, hy   float64 // half the box of the grown outline
	fit      r2.Box  // box that must stay on the roll
	parts    []part  // convex parts of the grown outline
	discs    []disc
	diameter float64
	weight   float64 // √ of the hull area
	hull     float64 // hull area
	small    float64 // smaller side of the box
}

// slackShare is how far the outline that is nested may stand outside the true
// one, against the square root of the piece's area: a tenth of a millimetre
// for a piece of two hands. Fewer corners make the search quicker. An outline
// that keeps more than manyCorners is allowed up to four times as much.
const (
	slackShare  = 4e-4
	manyCorners = 64
)

// grown is the piece's outline with half the gap around it and few corners.
func grown(outline geom.Polygon, gap float64) (geom.Polygon, error) {
	p := outline.Anticlockwise()
	slack := slackShare * math.Sqrt(p.Area())
	if gap > 0 {
		parts, err := geom.Offset(geom.SimplifyOutward(p, slack/4), gap/2)
		if err != nil {
			return nil, err
		}
		p = slices.MaxFunc(parts, func(a, b geom.Polygon) int { return cmp.Compare(a.Area(), b.Area()) })
		slack = max(slack, gap/20)
	}
	few := geom.SimplifyOutward(p, slack)
	for k := 2.0; len(few) > manyCorners && k <= 4; k *= 2 {
		few = geom.SimplifyOutward(p, k*slack)
	}
	return few, nil
}

// poses are the distinct ways in which a piece may lie.
func poses(kind int, p Piece, gap, tilt float64) ([]*pose, error) {
	outline, err := grown(p.Outline, gap)
	if err != nil {
		return nil, err
	}
	discs := poles(outline)
	var out []*pose
	for _, flip := range []bool{false, true} {
		if flip && !p.Flip {
			break
		}
		for _, turn := range distinct(tilted(p.Turns, tilt)) {
			out = append(out, newPose(kind, outline, p.Outline, discs, turn, flip, gap))
		}
	}
	return out, nil
}

// tiltSteps is how many ways askew are tried to either side of a turn.
const tiltSteps = 2

// tilted is turns with ways up to tilt to either side of each.
func tilted(turns []si.Angle, tilt float64) (out []float64) {
	for _, t := range distinct(turns) {
		out = append(out, t)
		for k := 1; k <= tiltSteps && tilt > 0; k++ {
			d := tilt * float64(k) / tiltSteps
			out = append(out, t-d, t+d)
		}
	}
	return out
}

// distinct is the list of turns in radians without repeats modulo a full turn.
func distinct[T ~float64](turns []T) []float64 {
	var out []float64
	for _, t := range turns {
		same := func(u float64) bool { return math.Abs(math.Remainder(float64(t)-u, 2*math.Pi)) < 1e-9 }
		if !slices.ContainsFunc(out, same) {
			out = append(out, float64(t))
		}
	}
	if len(out) == 0 {
		return []float64{0}
	}
	return out
}

// laid is a ring flipped about x, then turned.
func laid(p geom.Polygon, turn float64, flipped bool) geom.Polygon {
	if flipped {
		p = p.Flip()
	}
	return p.Turn(turn)
}

func newPose(kind int, grown, own geom.Polygon, discs []disc, turn float64, flipped bool, gap float64) *pose {
	ring := laid(grown, turn, flipped).Anticlockwise()
	b := ring.Bounds()
	centre := r2.Scale(0.5, r2.Add(b.Min, b.Max))
	toCentre := r2.Scale(-1, centre)
	p := &pose{kind: kind, twin: -1, turn: turn, flipped: flipped, origin: toCentre,
		hx: (b.Max.X - b.Min.X) / 2, hy: (b.Max.Y - b.Min.Y) / 2}
	p.small = 2 * min(p.hx, p.hy)
	p.fit = laid(own, turn, flipped).Shift(toCentre).Bounds()
	half := r2.Vec{X: gap / 2, Y: gap / 2}
	p.fit.Min, p.fit.Max = r2.Sub(p.fit.Min, half), r2.Add(p.fit.Max, half)
	for _, c := range convexParts(ring.Shift(toCentre)) {
		p.parts = append(p.parts, newPart(c))
	}
	for _, d := range discs {
		c := laid(geom.Polygon{d.c}, turn, flipped)[0]
		p.discs = append(p.discs, disc{r2.Add(c, toCentre), d.r})
	}
	hull := geom.Hull(ring)
	p.hull = hull.Area()
	p.weight = math.Sqrt(p.hull)
	for i, u := range hull {
		for _, v := range hull[:i] {
			p.diameter = max(p.diameter, r2.Norm(r2.Sub(u, v)))
		}
	}
	return p
}

// pairUp notes which poses lie half a turn from each other.
func (k *kit) pairUp() {
	for a, p := range k.poses {
		for b := a - 1; b >= 0 && k.poses[b].kind == p.kind; b-- {
			q := k.poses[b]
			if p.flipped == q.flipped && math.Abs(math.Remainder(p.turn-q.turn-math.Pi, 2*math.Pi)) < 1e-9 {
				p.twin, q.twin = b, a
			}
		}
	}
}
