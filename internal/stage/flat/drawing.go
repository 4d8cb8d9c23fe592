package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// leastHole is the area, m², below which a hole is not cut and an island is left
// out.
const leastHole = 1e-4

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
	if s.slit < 0 {
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
	net, doubled, sound := untangled(rims[outer].borders(d.beyond))
	out.Net = pairs(tidy(net.Outer))
	out.Outline = out.Net
	for _, c := range rims[outer] {
		if c.slit < 0 {
			out.Trim = append(out.Trim, pairs(c.points))
		}
	}
	for i, r := range rims {
		if i != outer {
			out.Cutouts = append(out.Cutouts, pairs(tidy(r.ring())))
			if r.slit() {
				net.Holes = append(net.Holes, r.ring())
			}
		}
	}
	if !sound {
		return
	}
	whole, lapped, err := d.grown(net, rims, outer)
	if err != nil {
		return
	}
	out.LapArea = si.Area(max(0, lapped-net.Area()))
	shape := largest(whole)
	for _, island := range whole {
		out.Dropped += si.Area(island.Area())
	}
	out.Dropped = max(0, out.Dropped-si.Area(shape.Area()))
	shape, out.Narrow = cuttable(shape, net)
	out.Outline = pairs(tidy(shape.Outer))
	for _, h := range shape.Holes {
		if math.Abs(h.Area()) > leastHole {
			out.Holes = append(out.Holes, pairs(tidy(h)))
		}
	}
	d.gaps(out, doubled)
}

// grown returns the net with its allowance and laps, in parts, and the area with the
// laps alone.
func (d *drawing) grown(net geom.Region, rims []rim, outer int) (whole []geom.Region, lapped float64, err error) {
	allowance := func(s side) float64 { return d.beyond(s) - d.laps(s) }
	var bands, over, laps []geom.Region
	for i, r := range rims {
		if i != outer && !r.slit() {
			continue // a cut-out: marked, and cut when the part is
		}
		bands = append(bands, strips(r.borders(allowance))...)
		lack, much := ends(r.borders(d.beyond))
		bands, over = append(bands, lack...), append(over, much...)
		laps = append(laps, strips(r.borders(d.laps))...)
		bands = append(bands, fans(r.borders(d.beyond))...)
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
	whole, err = geom.Union(append(bands, withLaps...)...)
	return whole, largest(withLaps).Area(), err
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
