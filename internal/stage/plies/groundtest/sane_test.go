package groundtest

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/plies"
)

// triangle is what one triangle of the surface says of the cloth on it, from
// nothing but its corners here and in the flat.
type triangle struct {
	shear      float64 // what the angle from warp to weft lacks to 90°, rad
	warp, weft float64 // length on the surface of a unit of yarn
	area, flat float64 // m²; flat is negative where it lies turned over
}

// direct works out triangle f. X(u, v) is the place on the surface of the flat
// place (u, v); along two sides e₁, e₂ that lie flat as (u₁, v₁), (u₂, v₂)
//
//	X_u = (v₂·e₁ − v₁·e₂)/d    X_v = (u₁·e₂ − u₂·e₁)/d    d = u₁·v₂ − u₂·v₁
//
// and the yarns run along X_u and X_v.
func direct(m *mesh.Mesh, flat []r2.Vec, f int) triangle {
	t := m.Triangles[f]
	a, b, c := m.Corners(f)
	e1, e2 := r3.Sub(b, a), r3.Sub(c, a)
	p1, p2 := r2.Sub(flat[t[1]], flat[t[0]]), r2.Sub(flat[t[2]], flat[t[0]])
	d := r2.Cross(p1, p2)
	u := r3.Scale(1/d, r3.Sub(r3.Scale(p2.Y, e1), r3.Scale(p1.Y, e2)))
	v := r3.Scale(1/d, r3.Sub(r3.Scale(p1.X, e2), r3.Scale(p2.X, e1)))
	angle := math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
	return triangle{shear: math.Pi/2 - angle, warp: r3.Norm(u), weft: r3.Norm(v), area: m.FaceArea(f), flat: d / 2}
}

// finite refuses results that hold NaN or infinities: JSON has no word for them.
func finite(r plies.Result) (wrong complaints) {
	if _, err := json.Marshal(r); err != nil {
		wrong.add("the result is no JSON: %v", err)
	}
	if _, err := json.Marshal(r.Findings); err != nil {
		wrong.add("the findings are no JSON: %v", err)
	}
	for _, p := range r.Plies {
		for v := range p.Laid.Flat {
			s := p.Laid.Flat[v].X + p.Laid.Flat[v].Y + p.Laid.Shear[v] + r3.Norm(p.Laid.Warp[v]) + r3.Norm(p.Laid.Weft[v])
			if math.IsNaN(s) || math.IsInf(s, 0) {
				wrong.add("ply %d: vertex %d is laid at no number", p.Number, v)
				break
			}
		}
		for _, sheet := range p.Sheets {
			for v, q := range sheet.Flat {
				if s := q.X + q.Y + sheet.Shear[v]; math.IsNaN(s) || math.IsInf(s, 0) {
					wrong.add("ply %d: %s is laid at no number", p.Number, sheet.Piece)
					break
				}
			}
		}
	}
	return wrong
}

// crossings counts pairs of sides of a ring that cross each other inside both.
// Sides are sorted by x and swept.
func crossings(ring [][2]float64) int {
	type side struct{ a, b [2]float64 }
	sides := make([]side, len(ring))
	order := make([]int, len(ring))
	for i := range ring {
		sides[i], order[i] = side{ring[i], ring[(i+1)%len(ring)]}, i
	}
	left := func(i int) float64 { return min(sides[i].a[0], sides[i].b[0]) }
	right := func(i int) float64 { return max(sides[i].a[0], sides[i].b[0]) }
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(left(i), left(j)) })
	turn := func(a, b, c [2]float64) float64 {
		return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	}
	count := 0
	for k, i := range order {
		for _, j := range order[k+1:] {
			if left(j) > right(i) {
				break
			}
			p, q := sides[i], sides[j]
			if turn(p.a, p.b, q.a)*turn(p.a, p.b, q.b) < 0 && turn(q.a, q.b, p.a)*turn(q.a, q.b, p.b) < 0 {
				count++
			}
		}
	}
	return count
}

func ringArea(ring [][2]float64) float64 {
	var twice float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		twice += (a[0]-ring[0][0])*(b[1]-ring[0][1]) - (b[0]-ring[0][0])*(a[1]-ring[0][1])
	}
	return twice / 2
}

// Tolerances of sane.
const (
	deg        = math.Pi / 180
	thin       = 0.05     // quality below which a triangle says nothing: its corners lie in a line
	areaMiss   = 0.02     // of the flat area against ∫dA/cos γ: yarns stretch by 1 % at most
	shearMiss  = 1 * deg  // of the shear at a vertex, a fit over its ring, against the triangles there, on 95 % of the part
	maxMiss    = 3 * deg  // of the largest shear
	lost       = 60 * deg // over it cloth has collapsed, and what is exact there is of no account
	noteworthy = 1e-3     // share of the part over a limit that a finding must tell of
)

// complaints are what is wrong with a result.
type complaints []string

func (c *complaints) add(format string, a ...any) { *c = append(*c, fmt.Sprintf(format, a...)) }

// sane holds a result against the surface that it is for, and the shear at which
// its cloth locks, rad.
func sane(m *mesh.Mesh, r plies.Result, limit float64) complaints {
	wrong := finite(r)
	if len(wrong) > 0 {
		return wrong
	}
	normals := m.VertexNormals()
	for _, p := range r.Plies {
		wrong = append(wrong, saneYarns(normals, p)...)
		wrong = append(wrong, sanePieces(m, r, p)...)
		wrong = append(wrong, saneShear(r, p, limit)...)
	}
	return wrong
}

// saneYarns: unit vectors in the surface, whose angle is what the shear lacks to
// a right one.
func saneYarns(normals []r3.Vec, p plies.Ply) (wrong complaints) {
	var length, angle float64
	under := 0
	for v, a := range p.Laid.Warp {
		b := p.Laid.Weft[v]
		length = max(length, math.Abs(r3.Norm(a)-1), math.Abs(r3.Norm(b)-1))
		angle = max(angle, math.Abs(r3.Dot(a, b)-math.Sin(p.Laid.Shear[v])))
		if r3.Dot(r3.Cross(a, b), normals[v]) < -1e-9 {
			under++
		}
	}
	if length > 1e-9 || angle > 1e-6 || under > 0 {
		wrong.add("ply %d: yarns' length is off by %.1e, their angle from the shear by %.1e, and %d lie the wrong way up", p.Number, length, angle, under)
	}
	return wrong
}

// sanePieces: outlines do not cross themselves, each holds the flat places of its
// cloth, and together they hold the area of the surface as sheared cloth has it.
// Where a piece would overlap itself, a finding that stops must say so.
func sanePieces(m *mesh.Mesh, r plies.Result, p plies.Ply) (wrong complaints) {
	var cloth, want, covered float64
	for i, piece := range p.Pieces {
		if i >= len(p.Sheets) || p.Sheets[i].Piece != piece.Name {
			wrong.add("ply %d: nothing says how %s lies", p.Number, piece.Name)
			continue
		}
		sheet := p.Sheets[i]
		crossed := crossings(piece.Outline)
		if out := outside(sheet, piece); (crossed > 0 || out > noteworthy) && !says(r, "piece-overlaps") {
			wrong.add("ply %d: the outline of %s, of %d corners, crosses itself %d times, and %.1f %% of its cloth lies outside", p.Number, piece.Name, len(piece.Outline), crossed, 100*out)
		}
		if len(piece.Outline) < 3 || !(ringArea(piece.Outline) > 0.95*float64(piece.Area)) {
			wrong.add("ply %d: the outline of %s has %d corners and holds %.3g m² for %.3g m² of cloth", p.Number, piece.Name, len(piece.Outline), ringArea(piece.Outline), float64(piece.Area))
		}
		if piece.Patch {
			continue
		}
		cloth += float64(piece.Area + piece.Dropped)
		for _, gap := range piece.Gaps {
			cloth += float64(gap.Area)
		}
		g := sheet.Top.Mesh
		for f, c := range g.Triangles {
			γ := (sheet.Shear[c[0]] + sheet.Shear[c[1]] + sheet.Shear[c[2]]) / 3
			covered += g.FaceArea(f)
			want += g.FaceArea(f) / math.Cos(γ)
		}
	}
	if whole := m.Area(); math.Abs(covered/whole-1) > 1e-6 {
		wrong.add("ply %d: its pieces lie on %.6f m² of %.6f", p.Number, covered, whole)
	}
	if float64(p.ShearMax) < lost && math.Abs(cloth/want-1) > areaMiss {
		wrong.add("ply %d: %.5f m² of cloth, of the shear %.5f m², on %.5f m² of surface", p.Number, cloth, want, covered)
	}
	return wrong
}

// outside returns the share of a sheet's flat area that neither its outline nor
// its gaps hold, by the middles of its triangles.
func outside(s plies.Sheet, p flat.Piece) float64 {
	m := s.Top.Mesh
	var out, whole float64
	for _, c := range m.Triangles {
		a, b, d := s.Flat[c[0]], s.Flat[c[1]], s.Flat[c[2]]
		area := math.Abs(r2.Cross(r2.Sub(b, a), r2.Sub(d, a))) / 2
		middle := r2.Scale(1.0/3, r2.Add(a, r2.Add(b, d)))
		whole += area
		if !holds(p.Outline, middle) && !slices.ContainsFunc(p.Gaps, func(g flat.Gap) bool { return holds(g.Outline, middle) }) {
			out += area
		}
	}
	return out / whole
}

// holds is the even-odd rule.
func holds(ring [][2]float64, q r2.Vec) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a[1] > q.Y) != (b[1] > q.Y) && q.X < a[0]+(q.Y-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

// saneShear: the shear as told is that of the flat places of every piece, and
// where it passes the limit a finding says so.
func saneShear(r plies.Result, p plies.Ply, limit float64) (wrong complaints) {
	var seen []spot
	var turned, whole, over float64
	for i, sheet := range p.Sheets {
		if !p.Pieces[i].Patch {
			spots, t := shearSeen(sheet)
			seen, turned = append(seen, spots...), turned+t
		}
	}
	for _, s := range seen {
		whole += s.area
	}
	if turned > noteworthy*whole && !says(r, "cloth-") && !says(r, "piece-overlaps") {
		wrong.add("ply %d: %.1f cm² lie turned over, and nothing says so", p.Number, 1e4*turned)
	}
	if float64(p.ShearMax) > lost || whole == 0 {
		return wrong
	}
	slices.SortFunc(seen, func(a, b spot) int { return cmp.Compare(b.miss(), a.miss()) })
	if d := passed(seen, 0.05*whole).miss(); d > shearMiss {
		wrong.add("ply %d: shear is off that of the flat places by %.2f° on 5 %% of the part", p.Number, d/deg)
	}
	slices.SortFunc(seen, func(a, b spot) int { return cmp.Compare(math.Abs(b.seen), math.Abs(a.seen)) })
	if most := math.Abs(passed(seen, noteworthy*whole).seen); most > float64(p.ShearMax)+maxMiss {
		wrong.add("ply %d: shear max %.2f°, but %.2f° of the flat places", p.Number, p.ShearMax.Degrees(), most/deg)
	}
	for _, s := range seen {
		if math.Abs(s.seen) > limit {
			over += s.area
		}
	}
	if over > noteworthy*whole && !says(r, "cloth-locks") && !says(r, "cloth-tight") && !says(r, "cloth-collapses") {
		wrong.add("ply %d: over its limit on %.1f cm², and nothing says so", p.Number, 1e4*over)
	}
	return wrong
}

// spot is what is told of the shear at a vertex, and what the flat places of the
// triangles round it say: the mean by area, the least and the most.
type spot struct{ told, seen, low, high, area float64 }

// miss is how far what is told lies from all that is there. Along a yarn that runs
// through a cone's tip shear jumps, and any value between those of both sides is right.
func (s spot) miss() float64 { return max(0, s.low-s.told, s.told-s.high) }

// passed returns the first spot after those that hold an area.
func passed(spots []spot, area float64) spot {
	var sum float64
	for _, s := range spots {
		if sum += s.area; sum > area {
			return s
		}
	}
	return spots[len(spots)-1]
}

// shearSeen returns the shear at the vertices of a sheet, and the area that lies
// turned over. Triangles without width say nothing, and count for neither.
func shearSeen(s plies.Sheet) (out []spot, turned float64) {
	m := s.Top.Mesh
	all := make([]spot, len(m.Vertices))
	for f, c := range m.Triangles {
		if m.Quality(f) < thin {
			continue
		}
		d := direct(m, s.Flat, f)
		if !(d.flat > 0) {
			turned += d.area
			continue
		}
		for _, v := range c {
			x := &all[v]
			if x.area == 0 {
				x.low, x.high = d.shear, d.shear
			}
			x.low, x.high = min(x.low, d.shear), max(x.high, d.shear)
			x.seen += d.shear * d.area / 3
			x.area += d.area / 3
		}
	}
	for v, x := range all {
		if x.area > 0 {
			x.told, x.seen = s.Shear[v], x.seen/x.area
			out = append(out, x)
		}
	}
	return out, turned
}
