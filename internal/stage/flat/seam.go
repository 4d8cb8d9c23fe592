package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/geom"
	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// Seam is a slit closed on the part, or the line where two pieces meet: from where
// it begins to the rim.
type Seam struct {
	Number  int          `json:"seam"` // common to both sides of a parting
	Line    [][3]float64 `json:"line_m"`
	Length  si.Length    `json:"length_m"`
	Lap     si.Length    `json:"lap_m"`          // as asked; 0: butted
	Short   si.Length    `json:"short_of_lap_m"` // length of the seam over which the slit opens less than the lap
	Over    string       `json:"over"`           // the side that lies over the other: left or right of the line
	Parting bool         `json:"parting"`        // between two pieces
}

// Seams returns the seams of a sheet on the surface. A parting is listed with the
// piece that has the lap.
func (b Sheet) Seams(lap float64) []Seam {
	d := newDrawing(b, Cloth{Lap: lap})
	out := make([]Seam, 0, len(b.Slits))
	for i, s := range b.Slits {
		over := side{slit: i, left: !s.RightOver}
		if line, _ := d.edges[i].of(over.left); line != nil {
			out = append(out, d.seam(i, over, lap))
		}
	}
	return out
}

func (d *drawing) seam(i int, over side, lap float64) Seam {
	s, m := d.Slits[i], d.Top.Mesh
	along := d.along(i)
	out := Seam{Number: s.Route, Lap: si.Length(lap), Over: sideWord(over.left), Parting: s.Left == nil || s.Right == nil}
	for k, v := range along {
		at := m.Vertices[v]
		out.Line = append(out.Line, [3]float64{at.X, at.Y, at.Z})
		if k == 0 {
			continue
		}
		step := cut.Length(m, v, along[k-1])
		out.Length += si.Length(step)
		if room := d.room(over, float64(out.Length)); room < lap-onBorder {
			out.Short += si.Length(step)
		}
	}
	return out
}

// onBorder is how near to a line, m, a point counts as on it.
const onBorder = 1e-4

// room returns how wide a lap, on the mould, the side that lies over has room for
// at a length along the seam: it lies in the notch, up to the other side. Between
// two pieces there is always room. Where the sides overlap it is negative.
func (d *drawing) room(over side, arc float64) float64 {
	e := d.edges[over.slit]
	mine, across := e.of(over.left)
	other, _ := e.of(!over.left)
	if mine == nil || other == nil {
		return math.Inf(1)
	}
	at, f := pointAt(e.arc, mine, arc), num.Linear(e.arc, across, arc)
	out := lineDistance(at, carriedOn(other, math.Inf(1)))
	along := direction(e.arc, mine, arc)
	outwards := r2.Vec{X: along.Y, Y: -along.X}
	if !over.left {
		outwards = r2.Scale(-1, outwards)
	}
	if facing := pointAt(e.arc, other, arc); r2.Dot(r2.Sub(facing, at), outwards) < -2*kerf {
		out = -out
	}
	return out / f
}

// pointAt returns the point of a line at a value of its stations.
func pointAt(arc []float64, line []r2.Vec, at float64) r2.Vec {
	i := station(arc, at)
	t := min(1, max(0, (at-arc[i])/(arc[i+1]-arc[i])))
	return r2.Add(line[i], r2.Scale(t, r2.Sub(line[i+1], line[i])))
}

// direction returns the unit vector along a line there.
func direction(arc []float64, line []r2.Vec, at float64) r2.Vec {
	i := station(arc, at)
	return r2.Unit(r2.Sub(line[i+1], line[i]))
}

// station returns the last station but one that is not beyond a value.
func station(arc []float64, at float64) int {
	i := 0
	for i+2 < len(arc) && arc[i+1] <= at {
		i++
	}
	return i
}

// mostBeyond is how far a line is carried on where nothing else ends it, m.
const mostBeyond = 1.0

// carriedOn returns a line with its last end carried on straight.
func carriedOn(line []r2.Vec, by float64) []r2.Vec {
	n := len(line)
	way := r2.Unit(r2.Sub(line[n-1], line[n-2]))
	return append(line[:n:n], r2.Add(line[n-1], r2.Scale(min(by, mostBeyond), way)))
}

func lineDistance(q r2.Vec, line []r2.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = min(best, geom.SegmentDistance(q, line[i-1], line[i]))
	}
	return best
}

// Vec returns a point of a seam as a vector.
func Vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
