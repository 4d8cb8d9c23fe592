package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// smooth is how far a drawn outline may leave the laid-flat rim, m: a tenth of
// what a knife follows.
const smooth = 5e-5

// whole draws the flat piece of a sheet without slits.
func (b Sheet) whole(name string, c Cloth) Piece {
	flat := b.Flat
	out := Piece{Name: name, Lap: si.Length(c.Lap), Area: b.Area()}
	var loops []geom.Polygon
	outer := 0
	for _, loop := range b.Top.RimLoops() {
		var ring geom.Polygon
		for _, v := range b.Top.LoopVertices(loop) {
			ring = append(ring, flat[v])
		}
		if ring = ring.Clean(1e-9); len(ring) < 3 {
			continue
		}
		loops = append(loops, ring)
		if math.Abs(ring.Area()) > math.Abs(loops[outer].Area()) {
			outer = len(loops) - 1
		}
	}
	for i, ring := range loops {
		if i == outer {
			net := tidy(ring)
			out.Net, out.Outline = pairs(net), pairs(grown(net, c.Allowance))
		} else {
			out.Cutouts = append(out.Cutouts, pairs(tidy(ring)))
		}
	}
	return out
}

// tidy drops corners that the outline does not need, unless it would then cross
// itself.
func tidy(ring geom.Polygon) geom.Polygon {
	if t := geom.Simplify(ring, smooth); t.Valid() == nil {
		return t
	}
	return ring
}

// grown moves an outline outwards by d; one that crosses itself is left as it
// is, since a finding stops the job there.
func grown(ring geom.Polygon, d float64) geom.Polygon {
	if d == 0 || ring.Valid() != nil {
		return ring
	}
	parts, err := geom.Offset(ring, d)
	if err != nil || len(parts) == 0 {
		return ring
	}
	largest := parts[0]
	for _, p := range parts[1:] {
		if math.Abs(p.Area()) > math.Abs(largest.Area()) {
			largest = p
		}
	}
	return tidy(largest)
}

func pairs(p []r2.Vec) [][2]float64 {
	out := make([][2]float64, len(p))
	for i, v := range p {
		out[i] = [2]float64{v.X, v.Y}
	}
	return out
}

// Polygon returns a ring of a piece as a polygon.
func Polygon(p [][2]float64) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		out[i] = r2.Vec{X: v[0], Y: v[1]}
	}
	return out
}

// Letters numbers pieces and slits: A to Z, AA ...
func Letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return Letters(i/26-1) + Letters(i%26)
}
