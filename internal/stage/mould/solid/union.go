package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Joined is what several solids make together, with their joints filled to a
// radius as a ball leaves them that rolls along both.
//
//	F = {q : dᵢ(q) ≥ r for all i}      where the ball's centre may go
//	d(p) = r − |p − F|                  within r of a solid, else min dᵢ(p)
//
// A ball on one solid gives that solid's own distance back; on two it makes the
// fillet of a joint, on three that of a corner. Exact as far as the dᵢ are.
// A joint so narrow that no ball enters is filled up, and so are the bends of a
// hollow that a solid encloses down to the ball's radius.
type Joined struct {
	Parts  []Field
	Radius float64 // 0: joints stay sharp; the largest where joints have their own
	Steps  []Step  // of the whole surface

	filled []Field // where joints have radii of their own: what makes the surface
}

// settled is how near two rounds of the search for the ball's centre must
// agree, m: so fine that curvature can be felt from the normals.
const settled = 1e-10

// nearlySettled is what is taken in the end, m: where a ball passes from one face
// onto another that goes on smoothly, the search creeps.
const nearlySettled = 1e-6

// The search creeps beside a sharp edge, about which the ball's place turns, and goes
// to and fro between two faces; by the ratio of two steps it is taken to where they
// lead, but no farther than that share of the radius.
const leap = 0.25

// At returns the distance from the joined surface. On the solids themselves it
// is crisp: beside a sharp edge it is that from a face.
func (s *Joined) At(p r3.Vec) (float64, r3.Vec) { return s.stepped(p, s.crispAt) }

func (s *Joined) crispAt(p r3.Vec) (float64, r3.Vec) {
	if s.filled != nil {
		d, n, _ := leastOf(s.filled, p, crisp)
		return d, n
	}
	return s.rolled(p, crisp)
}

// rolled returns the distance of a joint of one radius; at tells that of a solid
// where no ball touches two.
func (s *Joined) rolled(p r3.Vec, at func(Field, r3.Vec) (float64, r3.Vec)) (float64, r3.Vec) {
	r := s.Radius
	if r <= 0 || len(s.Parts) < 2 {
		d, n, _ := leastOf(s.Parts, p, at)
		return d, n
	}
	// A ball that holds p touches only what lies within its diameter of p.
	var room [8]Field
	least, n, on, near := within(s.Parts, p, 2*r, room[:0])
	if least >= r {
		return least, n
	}
	if len(near) > 1 || encloses(on, p, r) {
		b := ball{near, r}
		q, end := b.centre(p, r3.Add(p, r3.Scale(r-least, n)))
		if least > 0 && (end == tight || end == held && norm(r3.Sub(q, p)) > r) {
			// under filler by this place of the ball; there may be one beside it that is nearer
			if x, e := b.aside(p, n); e == held && (end == tight || norm(r3.Sub(x, p)) < norm(r3.Sub(q, p))) {
				q, end = x, e
			}
		}
		if end == tight && least > 0 {
			return -least, n // no ball comes near: filled up
		}
		if end == held {
			gap, to := apart(q, p)
			if d := r - gap; d < least-settled {
				return d, to
			}
		}
	}
	return at(on, p)
}

// ball rolls among solids.
type ball struct {
	among  []Field
	radius float64
}

// aside looks for a ball's place beside a joint so narrow that none enters at
// p itself. n is the direction in which the least distance grows.
func (s ball) aside(p, n r3.Vec) (best r3.Vec, end ending) {
	const ways = 8
	f := Along(p, n)
	least := math.Inf(1)
	end = tight
	for i := range ways {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / ways)
		q, e := s.centre(p, f.Place(r3.Scale(s.radius, r3.Vec{X: cos, Y: sin, Z: 1})))
		if gap := norm(r3.Sub(q, p)); e == held && gap < least {
			best, least, end = q, gap, held
		}
	}
	return best, end
}

// ending is how the search for a ball's place ends.
type ending int

const (
	held  ending = iota // found
	tight               // no room: the solids' flats there leave none
	lost                // it did not settle
)

// Sharp returns the distance from the solids without fillets: the least of all.
func (s *Joined) Sharp(p r3.Vec) (float64, r3.Vec) {
	return s.stepped(p, func(p r3.Vec) (float64, r3.Vec) {
		d, n, _ := leastOf(s.Parts, p, crisp)
		return d, n
	})
}

// leastOf returns the least distance of all, its direction and whose it is.
func leastOf(parts []Field, p r3.Vec, at func(Field, r3.Vec) (float64, r3.Vec)) (least float64, n r3.Vec, on Field) {
	least, n = math.Inf(1), r3.Vec{Z: 1}
	for _, part := range parts {
		if d, m := at(part, p); d < least {
			least, n, on = d, m, part
		}
	}
	return
}

// within is leastOf by the solids' own distances, with a list of those nearer
// than reach.
func within(parts []Field, p r3.Vec, reach float64, room []Field) (least float64, n r3.Vec, on Field, near []Field) {
	least, n, near = math.Inf(1), r3.Vec{Z: 1}, room
	for _, part := range parts {
		d, m := part.At(p)
		if d < least {
			least, n, on = d, m, part
		}
		if d < reach {
			near = append(near, part)
		}
	}
	return
}

// kept is how many flats are kept of a solid that encloses the ball.
const kept = 6

// centre finds the place nearest to p where a ball of the radius touches
// nothing, from a first guess. Each round puts flats in place of the solids. Of a
// solid that encloses the ball those of earlier rounds still hold, and are kept:
// the ball may rest on it in several places.
func (s ball) centre(p, guess r3.Vec) (r3.Vec, ending) {
	var room [16]half
	var older []half
	q := guess
	var last r3.Vec // the step before, none after a leap
	moved := math.Inf(1)
	for round := range 100 {
		flats := append(room[:0], older...)
		touching := false
		for _, part := range s.among {
			d, n := part.At(q)
			touching = touching || d < s.radius-settled
			// d + n·(x − q) ≥ r
			flats = append(flats, half{r3.Scale(-1, n), d - r3.Dot(n, q) - s.radius})
			if encloses(part, q, s.radius) {
				older = append(older, flats[len(flats)-1])
				older = older[max(0, len(older)-kept):]
			}
		}
		if round == 0 && !touching {
			return q, held // one solid alone holds the ball
		}
		next, ok := nearest(flats, p)
		if !ok {
			return q, tight
		}
		step := r3.Sub(next, q)
		q = next
		if moved = norm(step); moved < settled {
			return q, held
		}
		q, last = s.leapt(q, step, last)
	}
	if moved < nearlySettled {
		return q, held
	}
	return q, lost
}

// leapt takes a search that has come to q to where its last two steps lead, as long
// as each is about ρ of the one before:
//
//	q + s·ρ/(1 − ρ)    the sum of s·ρ, s·ρ², …
//
// Source: [aitken1926].
func (s ball) leapt(q, step, last r3.Vec) (r3.Vec, r3.Vec) {
	before := r3.Norm2(last)
	if before == 0 {
		return q, step
	}
	ρ := r3.Dot(step, last) / before
	far := ρ / (1 - ρ)
	if !(math.Abs(ρ) > 0.3 && ρ < 1 && math.Abs(far)*norm(step) < leap*s.radius) {
		return q, step
	}
	return r3.Add(q, r3.Scale(far, step)), r3.Vec{}
}
