package relay

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

const (
	// station is the most between two places at which a seam is measured, m.
	station = 0.005
	// knife is what a knife follows, m.
	knife = 2.5e-4
	// shy is by how much less than asked a lap is not short, m.
	shy = 5e-5
	// round is the radius of the round in which a slit ends, m: there it is punched.
	round = 0.002
	// beside is how far to both sides of an edge of cloth heights are compared, m.
	beside = 5e-4
)

// width is what is measured at one station of a seam. Left and right are as seen
// along the slit from where it begins.
type width struct {
	at          r3.Vec
	from, to    r3.Vec  // ends of what the station stands for
	arc, long   float64 // along the seam, and the length that the station stands for
	left, right float64 // how far each side's cloth reaches over the seam
	double      float64 // width that lies double, patches counted
	uncut       bool    // the two sides hang together in the flat
}

// measured is what was found along one side of one slit.
type measured struct {
	route int
	width []width
}

// meetings finds the sides of triangles that lie along a place of a seam.
type meetings struct {
	size float64
	cell map[[3]int32][]*rim
}

// onSeam is how near a rim must be to a place to run through it, m.
const onSeam = 1e-7

func newMeetings(cloths []*cloth) *meetings {
	m := &meetings{cell: map[[3]int32][]*rim{}}
	count := 0
	for _, c := range cloths {
		for i := range c.rims {
			if e := &c.rims[i]; !e.trim && !c.Patch {
				m.size += e.long
				count++
			}
		}
	}
	m.size = max(m.size/float64(max(1, count)), 1e-4)
	for _, c := range cloths {
		for i := range c.rims {
			if e := &c.rims[i]; !e.trim && !c.Patch {
				m.put(e)
			}
		}
	}
	return m
}

func (m *meetings) key(x r3.Vec) [3]int32 {
	return [3]int32{int32(math.Floor(x.X / m.size)), int32(math.Floor(x.Y / m.size)), int32(math.Floor(x.Z / m.size))}
}

func (m *meetings) put(e *rim) {
	slack := r3.Vec{X: onSeam, Y: onSeam, Z: onSeam}
	lo := m.key(r3.Sub(r3.Vec{X: min(e.at.X, e.to.X), Y: min(e.at.Y, e.to.Y), Z: min(e.at.Z, e.to.Z)}, slack))
	hi := m.key(r3.Add(r3.Vec{X: max(e.at.X, e.to.X), Y: max(e.at.Y, e.to.Y), Z: max(e.at.Z, e.to.Z)}, slack))
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				m.cell[[3]int32{x, y, z}] = append(m.cell[[3]int32{x, y, z}], e)
			}
		}
	}
}

// across returns the rim on the other side of the seam at x, and x as a share of it;
// nil where no piece lies there.
func (m *meetings) across(e *rim, x r3.Vec) (*rim, float64) {
	for _, o := range m.cell[m.key(x)] {
		d := r3.Sub(o.to, o.at)
		s := r3.Dot(r3.Sub(x, o.at), d) / r3.Norm2(d)
		if o != e && r3.Dot(d, r3.Sub(e.to, e.at)) < 0 && s >= 0 && s <= 1 && r3.Norm(r3.Sub(between(o.at, o.to, s), x)) < onSeam {
			return o, s
		}
	}
	return nil, 0
}

// measureSeams measures every seam once, slit by slit; rims that are neither of
// a slit nor the part's come last, as route −1.
func (y *laid) measureSeams() (out []measured) {
	m := newMeetings(y.cloths)
	for _, c := range y.cloths {
		if c.Patch {
			continue
		}
		for _, s := range c.Slits {
			if one := y.measureSlit(m, c, s); one != nil {
				out = append(out, measured{s.Route, one})
			}
		}
	}
	for _, c := range y.cloths {
		var rest []width
		arc := 0.0
		for i := range c.rims {
			if e := &c.rims[i]; !c.Patch && !e.trim && e.slit < 0 && !e.measured {
				rest = y.measureSide(rest, m, e, arc)
				arc += e.long
			}
		}
		if rest != nil {
			out = append(out, measured{-1, rest})
		}
	}
	return out
}

// measureSlit measures what of a slit was not measured from its other side.
func (y *laid) measureSlit(m *meetings, c *cloth, s cut.Slit) (out []width) {
	line, right := s.Right, true
	if line == nil {
		line, right = s.Left, false
	}
	arc := 0.0
	for k := 1; k < len(line); k++ {
		ends := [2]int32{line[k-1], line[k]}
		if right {
			ends = [2]int32{line[k], line[k-1]}
		}
		i, is := c.byEnds[ends]
		if !is {
			continue
		}
		e := &c.rims[i]
		if !e.measured {
			out = y.measureSide(out, m, e, arc)
		}
		arc += e.long
	}
	for i := range out {
		out[i].uncut = out[i].uncut && !(s.Tip() && out[i].arc < round)
	}
	return out
}

// measureSide adds the stations of one side of a triangle; arc is where along the
// slit it begins. A right side runs against the slit.
func (y *laid) measureSide(out []width, m *meetings, e *rim, arc float64) []width {
	e.measured = true
	n := math.Ceil(e.long / station)
	for k := range int(n) {
		s := (float64(k) + 0.5) / n
		w := width{arc: arc + s*e.long, long: e.long / n}
		if e.slit >= 0 && !e.left {
			s = 1 - s
		}
		w.at, w.from, w.to = between(e.at, e.to, s), between(e.at, e.to, s-0.5/n), between(e.at, e.to, s+0.5/n)
		o, t := m.across(e, w.at)
		if o != nil {
			o.measured = true
		}
		if last := len(out) - 1; last >= 0 && (e.turned() || o != nil && o.turned()) {
			w.left, w.right, w.double, w.uncut = out[last].left, out[last].right, out[last].double, out[last].uncut
		} else {
			y.compare(&w, e, s, o, t)
		}
		if e.slit >= 0 && !e.left {
			w.from, w.to = w.to, w.from
		}
		out = append(out, w)
	}
	return out
}

// compare fills in how far the cloth of rim e reaches over the seam at share s of
// it, and that of rim o on the other side at share t, if there is one.
func (y *laid) compare(w *width, e *rim, s float64, o *rim, t float64) {
	mine := e.ray(s)
	w.left, w.right = mine.reach, -farthest
	if o != nil {
		his := o.ray(t)
		w.right = his.reach
		mine.alongCut()
		his.alongCut()
		w.uncut = mine.uncut || his.uncut || oneCloth(&mine, &his)
		y.noteSteps(&mine, &his)
		if !w.uncut {
			w.double = w.left + w.right
		}
		w.double = max(w.double, y.throughPatch(&mine, &his))
	} else {
		w.double = w.left + w.right
	}
	if e.slit >= 0 && !e.left {
		w.left, w.right = w.right, w.left
	}
}

// alongCut corrects a ray that slips out of a rim along which a cut runs, where
// two lines of it all but meet.
func (r *ray) alongCut() {
	if c := r.e.of; r.reach > c.wander && c.cuts.nearest(r.flat, knife) < knife {
		r.reach, r.uncut = 0, false
	}
}

// oneCloth tells whether the cloth beyond both sides of a seam is the same: no
// cut lies between.
func oneCloth(a, b *ray) bool {
	c := a.e.of
	if c != b.e.of || a.reach < c.wander || b.reach < c.wander {
		return false
	}
	d := r2.Sub(b.halfWay(), a.halfWay())
	long := r2.Norm(d)
	if long == 0 {
		return true
	}
	_, cut := c.cuts.first(a.halfWay(), r2.Scale(1/long, d), long)
	return !cut
}

// throughPatch returns the width by which the sides are joined through patches:
// the lesser of what a patch has on either side.
func (y *laid) throughPatch(a, b *ray) float64 {
	best := math.Inf(-1)
	if y.patches == 0 {
		return best
	}
	seen := int32(0)
	line, ok := y.line(a, farthest)
	back, is := y.line(b, farthest)
	if !ok || !is {
		return best
	}
	p, q := y.spotOn(&line, a.back+min(beside, line.Length/2)), y.spotOn(&back, b.back+min(beside, back.Length/2))
	for _, l := range y.over[p.face] {
		if l.strip > y.patches || l.strip == seen || !l.shape.Holds(p.w, 0) || !y.within(l.strip, q) {
			continue
		}
		seen = l.strip
		over := y.goesOn(&line, a.back, l.strip, b.reach) // beyond the seam, on b's side
		behind := y.goesOn(&back, b.back, l.strip, a.reach)
		best = max(best, min(behind, over))
	}
	return best
}

// within tells whether a strip covers a place.
func (y *laid) within(strip int32, s spot) bool {
	for _, l := range y.over[s.face] {
		if l.strip == strip && l.shape.Holds(s.w, 1e-6) {
			return true
		}
	}
	return false
}

// goesOn returns the width in which a strip along a line from the seam lies on the
// cloth there, which itself reaches so far over the seam. Where the strip still covers
// the part's rim it ends off the part, and is wide enough.
func (y *laid) goesOn(line *mesh.Line, back float64, strip int32, reach float64) float64 {
	const stride, fine = 1e-3, 1e-5
	long := line.Length - back
	at := min(beside, long)
	for ; at < long && y.within(strip, y.spotOn(line, back+min(long, at+stride))); at += stride {
	}
	for half := stride / 2; half > fine; half /= 2 {
		if at+half < long && y.within(strip, y.spotOn(line, back+at+half)) {
			at += half
		}
	}
	if line.AtRim && at >= long-knife {
		return max(long+reach, y.lap)
	}
	return min(at, long) + reach
}

// noteSteps keeps places to both sides of the edges of cloth at a station.
func (y *laid) noteSteps(a, b *ray) {
	line, ok := y.line(a, max(0, a.reach)+2*beside)
	back, is := y.line(b, max(0, b.reach)+2*beside)
	if !ok || !is {
		return
	}
	y.steps = append(y.steps, [2]spot{y.spotOn(&line, a.back+beside), y.spotOn(&back, b.back+beside)})
	for _, r := range []struct {
		line *mesh.Line
		ray  *ray
	}{{&line, a}, {&back, b}} {
		if at := r.ray.back + r.ray.reach; r.ray.reach > 2*beside && at+beside < r.line.Length {
			y.steps = append(y.steps, [2]spot{y.spotOn(r.line, at-beside), y.spotOn(r.line, at+beside)})
		}
	}
}

// notePatchSteps does the same along the edges of patches.
func (y *laid) notePatchSteps() {
	for _, c := range y.cloths {
		for i := range c.rims {
			e := &c.rims[i]
			if !c.Patch || e.trim {
				continue
			}
			r := e.ray(0.5)
			in := r
			in.dir = r3.Scale(-1, r.dir)
			out, ok := y.line(&r, beside)
			back, is := y.line(&in, beside)
			if ok && is && !out.AtRim && !back.AtRim {
				y.steps = append(y.steps, [2]spot{y.spotOn(&out, out.Length), y.spotOn(&back, back.Length)})
			}
		}
	}
}

// sumUp fills in the widths of a ply's seams and the stretches that are short.
func (c *Covered) sumUp(seams []measured, asked float64) {
	var all []width
	for _, m := range seams {
		all = append(all, m.width...)
		c.Short = append(c.Short, m.short(c.Number, asked)...)
	}
	if len(all) == 0 {
		return
	}
	slices.SortStableFunc(all, func(a, b width) int { return cmp.Compare(a.double, b.double) })
	whole, sum := 0.0, 0.0
	for _, w := range all {
		whole += w.long
		if w.uncut {
			c.Uncut += si.Length(w.long)
		}
		if w.double < asked-shy {
			c.LapShort += si.Length(w.long)
		}
	}
	c.SeamLong = si.Length(whole)
	least := si.Length(all[0].double)
	c.LapLeast = &least
	for _, w := range all {
		if sum += w.long; sum >= whole/2 {
			median := si.Length(w.double)
			c.LapMedian = &median
			break
		}
	}
}

// short returns the stretches of a seam that have less than the asked lap. Those
// with less than two laps between them are one.
func (m measured) short(ply int, asked float64) (out []Stretch) {
	last := -1
	for i, w := range m.width {
		if w.double >= asked-shy {
			continue
		}
		n := len(out) - 1
		if last < 0 || w.arc-m.width[last].arc > 2*asked || m.broken(last, i) {
			out = append(out, Stretch{ply, m.route, w.arc - w.long/2, 0, w.double, w.left, w.right, []r3.Vec{w.from}})
			n, last = n+1, i-1
		}
		s := &out[n]
		for _, v := range m.width[last+1 : i+1] {
			s.Line = append(s.Line, v.to)
		}
		s.To, last = w.arc+w.long/2, i
		s.Least, s.Left, s.Right = min(s.Least, w.double), min(s.Left, w.left), min(s.Right, w.right)
	}
	return out
}

// broken tells whether the stations from i to j do not follow on each other.
func (m measured) broken(i, j int) bool {
	for k := i; k < j; k++ {
		if r3.Norm(r3.Sub(m.width[k].to, m.width[k+1].from)) > onSeam {
			return true
		}
	}
	return false
}
