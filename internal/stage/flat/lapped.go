package flat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Measures of what is drawn on a slit piece, m.
const (
	closing   = 5e-5 // the least strip: it shuts the kerf where a butted slit does not open
	knifeStep = 5e-4 // between the places at which a knife line is tested
	onBorder  = 1e-4 // nearer to the outline than this, a knife line is the outline
	leastHole = 1e-4 // m²: smaller holes are not cut
	markEvery = 0.04 // between match marks
	markLong  = 0.006
)

// slit draws the flat piece of a sheet with slits. The cloth on the left of
// a slit is wider by the lap, as far as the notch gives; where the notch gives
// less, one knife line along the right side parts the two.
func (b Sheet) slit(name string, c Cloth) (out Piece) {
	out = Piece{Name: name, Lap: si.Length(c.Lap), Area: b.Area()}
	rims, slit := b.borders()
	outer := 0
	for i, rim := range rims {
		if math.Abs(ringOfBorders(rim).Area()) > math.Abs(ringOfBorders(rims[outer]).Area()) {
			outer = i
		}
	}
	net := geom.Region{Outer: ringOfBorders(rims[outer])}
	allowance, lap := c.Allowance, max(c.lap(), closing)
	var bands, laps []geom.Region
	for i, rim := range rims {
		ring := ringOfBorders(rim)
		if i != outer {
			out.Cutouts = append(out.Cutouts, pairs(ring))
			if !slit[i] {
				continue // marked, and cut when the part is
			}
			net.Holes = append(net.Holes, ring)
		}
		bands = append(bands, strips(rim, func(e border) float64 {
			if e.slit < 0 {
				return allowance
			}
			if e.left {
				return lap
			}
			return 0
		})...)
		laps = append(laps, strips(rim, func(e border) float64 {
			if e.slit >= 0 && e.left {
				return lap
			}
			return 0
		})...)
	}
	out.Net, out.Outline = pairs(net.Outer), pairs(net.Outer)
	if net.Outer.Valid() != nil {
		return out
	}
	whole, err := geom.Union(append(bands, net)...)
	if err != nil {
		return out
	}
	lapped, err := geom.Union(append(laps, net)...)
	if err != nil {
		return out
	}
	shape := largest(whole)
	out.LapArea = si.Area(max(0, largest(lapped).Area()-net.Area()))
	out.Outline = pairs(tidy(shape.Outer))
	for _, h := range shape.Holes {
		if math.Abs(h.Area()) > leastHole {
			out.Holes = append(out.Holes, pairs(tidy(h)))
		}
	}
	for i := range b.Slits {
		out.Knife = append(out.Knife, b.knife(i, shape, allowance)...)
		out.Marks = append(out.Marks, b.marks(i)...)
	}
	return out
}

// Area returns the area of the flat sheet.
func (b Sheet) Area() (sum si.Area) {
	for _, t := range b.Top.Mesh.Triangles {
		sum += si.Area(geom.Polygon{b.Flat[t[0]], b.Flat[t[1]], b.Flat[t[2]]}.Area())
	}
	return sum
}

func largest(of []geom.Region) (out geom.Region) {
	for _, r := range of {
		if r.Area() > out.Area() {
			out = r
		}
	}
	return out
}

// flatLine is a side of a slit in the flat, as it is drawn.
func (b Sheet) flatLine(vertices []int32) (out []r2.Vec) {
	drop := b.wobbles()
	for _, v := range vertices {
		if !drop[v] {
			out = append(out, b.Flat[v])
		}
	}
	return out
}

// rightLine is the flat right side of a slit from its tip, carried on straight
// beyond the trim line.
func (b Sheet) rightLine(slit int, beyond float64) []r2.Vec {
	line := b.flatLine(b.Slits[slit].Right)
	n := len(line)
	return append(line, r2.Add(line[n-1], r2.Scale(beyond, r2.Unit(r2.Sub(line[n-1], line[max(0, n-2)])))))
}

// knife returns where the right side of a slit runs inside the outline.
func (b Sheet) knife(slit int, shape geom.Region, allowance float64) (out [][][2]float64) {
	var run []r2.Vec
	end := func() {
		if len(run) > 1 {
			out = append(out, pairs(thinned(run, smooth)))
		}
		run = nil
	}
	for _, q := range stepped(b.rightLine(slit, 2*allowance), knifeStep) {
		if shape.Contains(q) && shape.Distance(q) > onBorder {
			run = append(run, q)
		} else {
			end()
		}
	}
	end()
	return out
}

// stepped returns a line with points no farther apart than a step.
func stepped(line []r2.Vec, step float64) []r2.Vec {
	out := []r2.Vec{line[0]}
	for i := 1; i < len(line); i++ {
		d := r2.Sub(line[i], line[i-1])
		n := math.Ceil(r2.Norm(d) / step)
		for k := 1.0; k <= n; k++ {
			out = append(out, r2.Add(line[i-1], r2.Scale(k/n, d)))
		}
	}
	return out
}

// marks returns the line to which the other edge comes, and match marks that
// meet on both sides of the slit.
func (b Sheet) marks(slit int) []Mark {
	s := b.Slits[slit]
	out := []Mark{{Label: "lap line", Line: pairs(thinned(b.flatLine(s.Left), smooth))}}
	m := b.Top.Mesh
	arc, next, count := 0.0, markEvery/2, 0
	for i := 1; i+1 < len(s.Left); i++ {
		if arc += cut.Length(m, s.Right[i], s.Right[i-1]); arc < next {
			continue
		}
		next += markEvery
		count++
		for k, line := range [][]int32{s.Left, s.Right} {
			along := r2.Unit(r2.Sub(b.Flat[line[i+1]], b.Flat[line[i-1]]))
			in := r2.Vec{X: -along.Y, Y: along.X} // the cloth of a left side lies on its left
			if k == 1 {
				in = r2.Scale(-1, in)
			}
			at := b.Flat[line[i]]
			out = append(out, Mark{Label: fmt.Sprintf("%s%d", Letters(slit), count), Line: pairs([]r2.Vec{at, r2.Add(at, r2.Scale(markLong, in))})})
		}
	}
	return out
}

// Seams returns the slits of a sheet on the surface.
func (b Sheet) Seams(lap, beyond float64) []Seam {
	out := make([]Seam, 0, len(b.Slits))
	m := b.Top.Mesh
	for i, s := range b.Slits {
		seam := Seam{Lap: si.Length(lap)}
		other := b.rightLine(i, beyond)
		for k, v := range s.Right {
			at := m.Vertices[v]
			seam.Line = append(seam.Line, [3]float64{at.X, at.Y, at.Z})
			if k == 0 {
				continue
			}
			step := si.Length(cut.Length(m, v, s.Right[k-1]))
			seam.Length += step
			if lineDistance(b.Flat[s.Left[k]], other) < lap-onBorder {
				seam.Short += step
			}
		}
		out = append(out, seam)
	}
	return out
}

func lineDistance(q r2.Vec, line []r2.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = min(best, geom.SegmentDistance(q, line[i-1], line[i]))
	}
	return best
}

// Closest returns how near two seams come, where, and the length of the first
// that lies nearer than a limit to the second, m.
func Closest(a, b Seam, limit float64) (least float64, at r3.Vec, near float64) {
	least = math.Inf(1)
	for i, p := range a.Line {
		q, best := Vec(p), math.Inf(1)
		for j := 1; j < len(b.Line); j++ {
			best = min(best, offSegment(q, Vec(b.Line[j-1]), Vec(b.Line[j])))
		}
		if best < least {
			least, at = best, q
		}
		if i > 0 && best < limit {
			near += r3.Norm(r3.Sub(q, Vec(a.Line[i-1])))
		}
	}
	return least, at, near
}

// Vec returns a point of a seam as a vector.
func Vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }

// offSegment returns how far q is from the segment from a to b.
func offSegment(q, a, b r3.Vec) float64 {
	d, r := r3.Sub(b, a), r3.Sub(q, a)
	if n := r3.Norm2(d); n > 0 {
		r = r3.Sub(r, r3.Scale(min(1, max(0, r3.Dot(r, d)/n)), d))
	}
	return r3.Norm(r)
}
