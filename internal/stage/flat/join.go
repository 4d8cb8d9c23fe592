package flat

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/num"
)

// Measures of what is drawn along a seam, m.
const (
	knifeStep = 5e-4 // between the places at which a knife line is tested
	markEvery = 0.04 // between match marks
	markLong  = 0.006
	stopRound = 2e-3 // radius of the round at a tip
	snipLong  = 4e-3
	lapEvery  = 2e-3  // between the places at which a lap is measured
	lapLeast  = 0.015 // a shorter stretch of a line to lap to is left out
)

// join draws what belongs to one seam: knife line, stop at the tip, lap lines,
// match marks and notches.
func (d *drawing) join(out *Piece, slit int) {
	if len(out.Outline) < 3 {
		return
	}
	shape := geom.Region{Outer: Polygon(out.Outline)}
	for _, h := range out.Holes {
		shape.Holes = append(shape.Holes, Polygon(h))
	}
	e := d.edges[slit]
	over, under := side{slit: slit, left: !d.Slits[slit].RightOver}, side{slit: slit, left: d.Slits[slit].RightOver}
	if e.left != nil && e.right != nil {
		for _, run := range inside(d.toEdge(under), shape) {
			out.Knife = append(out.Knife, pairs(run))
		}
	}
	if e.tip {
		at := e.left[0]
		out.Stops = append(out.Stops, Stop{At: [2]float64{at.X, at.Y}, Radius: stopRound})
	}
	if line, _ := e.of(over.left); line != nil {
		for _, run := range inside(line, shape) {
			out.Marks = append(out.Marks, Mark{Kind: LapLine, Label: "lap line", Line: pairs(run)})
		}
		d.notch(out, over, shape)
	}
	if line, _ := e.of(under.left); line != nil && d.cloth.lap() > 0 {
		for _, run := range d.lapTo(under) {
			out.Marks = append(out.Marks, Mark{Kind: LapTo, Label: "lap to here", Line: pairs(run)})
		}
	}
	d.match(out, over)
	d.match(out, under)
}

// toEdge returns a side of a slit, carried on over the allowance where it meets the
// trim line.
func (d *drawing) toEdge(s side) []r2.Vec {
	line, _ := d.edges[s.slit].of(s.left)
	by := 2*d.cloth.Allowance + onBorder
	if d.endsAtTrim(s.slit, len(d.along(s.slit))-1) {
		line = carriedOn(line, by)
	}
	if !d.edges[s.slit].tip && d.endsAtTrim(s.slit, 0) {
		line = backwards(carriedOn(backwards(line), by))
	}
	return line
}

// along returns the vertices of a slit on the side that there is.
func (d *drawing) along(slit int) []int32 {
	if s := d.Slits[slit]; s.Left != nil {
		return s.Left
	}
	return d.Slits[slit].Right
}

// endsAtTrim tells whether a slit's vertex at an end lies on the trim line, and not
// on the side of another slit.
func (d *drawing) endsAtTrim(slit, at int) bool {
	for i, other := range d.Slits {
		for _, side := range [][]int32{other.Left, other.Right} {
			if i == slit || side == nil {
				continue
			}
			if at > 0 {
				side = side[:len(side)-1] // two slits may leave over one place of the trim line
			}
			for _, line := range [][]int32{d.Slits[slit].Left, d.Slits[slit].Right} {
				if line != nil && slices.Contains(side, line[at]) {
					return false
				}
			}
		}
	}
	return true
}

func backwards(line []r2.Vec) []r2.Vec {
	out := slices.Clone(line)
	slices.Reverse(out)
	return out
}

// inside returns the runs of a line inside a shape, off its border.
func inside(line []r2.Vec, shape geom.Region) (out [][]r2.Vec) {
	var run []r2.Vec
	end := func() {
		if len(run) > 2 {
			run, _ = thinned(run, make([]float64, len(run)), smooth/5)
			out = append(out, run)
		}
		run = nil
	}
	for _, q := range stepped(line, knifeStep) {
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
		way := r2.Sub(line[i], line[i-1])
		n := float64(int(r2.Norm(way)/step) + 1)
		for k := 1.0; k <= n; k++ {
			out = append(out, r2.Add(line[i-1], r2.Scale(k/n, way)))
		}
	}
	return out
}

// lapAt returns how wide the lap lies at a length along a seam, m on the mould:
// as asked, or what the notch gives.
func (d *drawing) lapAt(slit int, arc float64) float64 {
	return max(0, min(d.cloth.lap(), d.room(side{slit: slit, left: !d.Slits[slit].RightOver}, arc)))
}

// beside returns the point of a side at a length along the seam, and the way into
// the cloth there that is a metre long on the mould.
func (d *drawing) beside(s side, arc float64) (at, in r2.Vec) {
	e := d.edges[s.slit]
	line, across := e.of(s.left)
	u := direction(e.arc, line, arc)
	in = r2.Scale(num.Linear(e.arc, across, arc), r2.Vec{X: -u.Y, Y: u.X}) // the cloth of a left side lies on its left
	if !s.left {
		in = r2.Scale(-1, in)
	}
	return pointAt(e.arc, line, arc), in
}

// lapTo returns the line on the side that lies under to which the edge of the
// other comes, where the lap has its full width.
func (d *drawing) lapTo(under side) (out [][]r2.Vec) {
	arc, lap := d.edges[under.slit].arc, d.cloth.lap()
	long := arc[len(arc)-1]
	n := int(long/lapEvery) + 1
	var run []r2.Vec
	end := func() {
		if float64(len(run))*lapEvery > lapLeast {
			run, _ = thinned(run, make([]float64, len(run)), smooth)
			out = append(out, run)
		}
		run = nil
	}
	for i := range n + 1 {
		s := long * float64(i) / float64(n)
		if d.lapAt(under.slit, s) < lap-onBorder {
			end()
			continue
		}
		at, in := d.beside(under, s)
		run = append(run, r2.Add(at, r2.Scale(lap, in)))
	}
	end()
	return out
}

// match draws the match marks of one side, at even lengths along the seam, so that
// those of the other side meet them. On the side that lies over a mark runs to the
// edge of its lap, on the other to where that edge comes and beyond, so that both
// are seen when the cloth lies.
func (d *drawing) match(out *Piece, s side) {
	e := d.edges[s.slit]
	if line, _ := e.of(s.left); line == nil {
		return
	}
	count := 0
	for arc := markEvery / 2; arc < e.arc[len(e.arc)-1]-markLong; arc += markEvery {
		count++
		at, in := d.beside(s, arc)
		lap := d.lapAt(s.slit, arc)
		from, to := 0.0, lap+markLong
		if d.over(s) {
			from, to = -lap, markLong
		}
		out.Marks = append(out.Marks, Mark{Kind: Match, Label: fmt.Sprintf("%s%d", Letters(d.Slits[s.slit].Route), count),
			Line: pairs([]r2.Vec{r2.Add(at, r2.Scale(from, in)), r2.Add(at, r2.Scale(to, in))})})
	}
}

// notch snips the edge where the seam line of a lap leaves the part: at its end,
// and where the seam begins at a rim too at its beginning.
func (d *drawing) notch(out *Piece, over side, shape geom.Region) {
	if d.cloth.Allowance < 2*snipLong {
		return
	}
	line, _ := d.edges[over.slit].of(over.left)
	var ends [][]r2.Vec
	if d.endsAtTrim(over.slit, len(d.along(over.slit))-1) {
		ends = append(ends, line)
	}
	if !d.edges[over.slit].tip && d.endsAtTrim(over.slit, 0) {
		ends = append(ends, backwards(line))
	}
	for _, l := range ends {
		n := len(l)
		runs := inside(carriedOn(l[n-2:], 2*d.cloth.Allowance+onBorder), shape)
		if len(runs) == 0 {
			continue
		}
		run := runs[len(runs)-1]
		edge, way := run[len(run)-1], r2.Unit(r2.Sub(run[len(run)-1], run[len(run)-2]))
		edge = r2.Add(edge, r2.Scale(knifeStep, way)) // the run stops short of the border
		out.Notches = append(out.Notches, pairs([]r2.Vec{edge, r2.Sub(edge, r2.Scale(snipLong, way))}))
	}
}
