package flat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// leastHole is the area, m², below which a hole is not cut and an island is left
// out.
const leastHole = 1e-4

// patchRound is the radius of the hollows in a patch's outline, m: it is drawn on
// whole triangles' worth of mould, and a little more cloth there does no harm.
const patchRound = 0.04

// wholly is the share of the net that a mended outline must hold.
const wholly = 0.999

// hairWidth is how far apart, m, the sides of a notch may be that joining strips has
// left by rounding.
const hairWidth = 1e-6

// drawing is what is worked out of a sheet before it is drawn.
type drawing struct {
	Sheet
	cloth  Cloth
	factor map[[2]int32]float64 // see [Sheet.across]
	edges  []edge               // of slits
	patch  bool
}

func newDrawing(b Sheet, c Cloth) *drawing {
	d := &drawing{Sheet: b, cloth: c, factor: b.across()}
	for i := range b.Slits {
		d.edges = append(d.edges, d.edge(i))
	}
	return d
}

// over tells whether a side of a slit lies over the other, and has the lap.
func (d *drawing) over(s side) bool { return s.slit >= 0 && s.left != d.Slits[s.slit].RightOver }

// laps is the width on the mould of the lap beside a side, m.
func (d *drawing) laps(s side) float64 {
	if d.over(s) {
		return d.cloth.lap()
	}
	return 0
}

// beyond is the width on the mould of what is cut beside a side, m.
func (d *drawing) beyond(s side) float64 {
	switch {
	case s.ends:
		return 0
	case s.slit < 0:
		return d.cloth.Allowance
	}
	return d.laps(s)
}

// piece draws the flat piece.
func (d *drawing) piece(name string) Piece {
	out := Piece{Name: name, Lap: si.Length(d.cloth.Lap), Area: d.Area(), Side: thisSideUp, Patch: d.patch}
	d.outline(&out)
	for i := range d.Slits {
		d.join(&out, i)
	}
	d.align(&out)
	d.letter(&out)
	return out
}

// outline draws what the knife goes round: the trim line grown by the allowance,
// and by laps beside slits.
func (d *drawing) outline(out *Piece) {
	rims := d.rims()
	if len(rims) == 0 {
		return
	}
	outer := outermost(rims)
	parts, doubled, sound := untangled(rims[outer].borders(d.beyond), true)
	net := geom.Region{Outer: parts[0]}
	out.Net = pairs(tidy(net.Outer))
	out.Outline = out.Net
	for _, line := range rims[outer].trimLines() {
		out.Trim = append(out.Trim, pairs(line))
	}
	for i, r := range rims {
		switch {
		case i == outer:
		case r.slit():
			holes, more, clear := untangled(r.borders(d.beyond), false)
			net.Holes, doubled, sound = append(net.Holes, holes...), append(doubled, more...), sound && clear
			for _, h := range holes {
				out.Cutouts = append(out.Cutouts, pairs(tidy(h)))
			}
		default:
			out.Cutouts = append(out.Cutouts, pairs(tidy(r.ring())))
		}
	}
	if out.Overlaps = !sound || !d.accounts(net, rims, outer, doubled); out.Overlaps {
		return
	}
	whole, lapped, err := d.grown(net, rims, outer)
	if err != nil {
		out.Overlaps = true // the strips could not be joined to it: no outline to cut by
		return
	}
	out.LapArea = si.Area(max(0, lapped-net.Area()))
	shape := largest(whole)
	shape.Outer = shape.Outer.Shaven(hairWidth)
	for _, island := range whole {
		out.Dropped += si.Area(island.Area())
	}
	out.Dropped = max(0, out.Dropped-si.Area(shape.Area()))
	if d.patch {
		shape = closed(shape, patchRound)
	}
	if mended, narrow := cuttable(shape, net); mended.Area() > wholly*net.Area() {
		shape, out.Narrow = mended, narrow
	}
	out.Outline = pairs(tidy(shape.Outer))
	for _, h := range shape.Holes {
		if math.Abs(h.Area()) > leastHole {
			out.Holes = append(out.Holes, pairs(tidy(h)))
		}
	}
	d.gaps(out, doubled)
}

// accounts tells whether a net holds the area of the flat sheet, overlaps counted
// twice, as far as smoothing lets one tell.
func (d *drawing) accounts(net geom.Region, rims []rim, outer int, doubled []overlap) bool {
	const share, beside = 0.01, 1e-3 // of the area, and m beside the rim
	held, slack := net.Area(), 0.0
	for i, r := range rims {
		ring := r.ring()
		slack += beside * ring.Perimeter()
		if i != outer && !r.slit() {
			held -= math.Abs(ring.Area())
		}
	}
	for _, o := range doubled {
		held += math.Abs(o.area.Area())
	}
	return math.Abs(held-float64(d.Area())) < share*held+slack
}

// grown returns the net with its allowance and laps, in parts, and the area with the
// laps alone.
func (d *drawing) grown(net geom.Region, rims []rim, outer int) (whole []geom.Region, lapped float64, err error) {
	var bands, over, laps, lapEnds []geom.Region
	for i, r := range rims {
		beyond := d.beyond
		switch {
		case i == outer:
		case !r.slit():
			continue // a cut-out: marked, and cut when the part is
		default:
			beyond = d.withinHole(r)
		}
		bands = append(bands, strips(r.borders(func(s side) float64 { return beyond(s) - d.laps(s) }))...)
		lack, much := ends(r.borders(beyond))
		bands, over = append(bands, lack...), append(over, much...)
		laps = append(laps, strips(r.borders(d.laps))...)
		bands = append(bands, fans(r.borders(beyond))...)
		lapEnds = append(lapEnds, tabs(r.borders(d.laps), max(beyond(trim), d.cloth.lap()/2))...)
	}
	if len(over) > 0 && len(bands) > 0 {
		if bands, err = geom.Difference(bands, over); err != nil {
			return nil, 0, err
		}
	}
	withLaps, err := geom.Union(append(laps, net)...)
	if err != nil {
		return nil, 0, err
	}
	whole, err = geom.Union(slices.Concat(bands, lapEnds, withLaps)...)
	return whole, largest(withLaps).Area(), err
}

// holeShare is the part of a cut-out's mean half width that allowances take up where
// slits end in it, so that it stays open between them.
const holeShare = 0.4

// withinHole is [drawing.beyond] for a cut-out in which slits end.
func (d *drawing) withinHole(r rim) func(side) float64 {
	around := 0.0
	for _, c := range r {
		for i := 1; i < len(c.points) && c.slit < 0; i++ {
			around += r2.Norm(r2.Sub(c.points[i], c.points[i-1]))
		}
	}
	room := holeShare * 2 * math.Abs(r.ring().Area()) / around
	return func(s side) float64 {
		if s.slit < 0 {
			return min(d.cloth.Allowance, room)
		}
		return d.laps(s)
	}
}

// outermost returns the rim that encloses most.
func outermost(rims []rim) (at int) {
	for i, r := range rims {
		if math.Abs(r.ring().Area()) > math.Abs(rims[at].ring().Area()) {
			at = i
		}
	}
	return at
}

// gaps notes what the sides that lie over lack where they overlap the others in
// the flat: the knife follows the side that lies under.
func (d *drawing) gaps(out *Piece, doubled []overlap) {
	for _, o := range doubled {
		s := d.Slits[o.slit]
		g := Gap{Seam: s.Route, Side: sideWord(!s.RightOver), Outline: pairs(tidy(o.area)), Area: si.Area(math.Abs(o.area.Area()))}
		out.Gaps = append(out.Gaps, g)
		out.Area -= g.Area
	}
}

func sideWord(left bool) string {
	if left {
		return "left"
	}
	return "right"
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

// tidy drops corners that the outline does not need, unless it would then cross
// itself.
func tidy(ring geom.Polygon) geom.Polygon {
	if t := geom.Simplify(ring, smooth).Clean(smooth / 5); t.Valid() == nil {
		return t
	}
	return ring.Clean(1e-9)
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
