package groundtest

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
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

// besideSeams marks the vertices within a distance of a seam, m.
func besideSeams(m *mesh.Mesh, p plies.Ply, reach float64) []bool {
	out := make([]bool, len(m.Vertices))
	for _, s := range p.Seams {
		for i := 1; i < len(s.Line); i++ {
			a, b := vec(s.Line[i-1]), vec(s.Line[i])
			d := r3.Sub(b, a)
			for v, q := range m.Vertices {
				w := r3.Sub(q, a)
				if l := r3.Norm2(d); l > 0 {
					w = r3.Sub(w, r3.Scale(min(1, max(0, r3.Dot(w, d)/l)), d))
				}
				out[v] = out[v] || r3.Norm(w) < reach
			}
		}
	}
	return out
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }

// Tolerances of sane.
const (
	deg        = math.Pi / 180
	thin       = 0.05     // quality below which a triangle says nothing: its corners lie in a line
	areaMiss   = 0.02     // of the flat area against ∫dA/cos γ: yarns stretch by 1 % at most
	shearMiss  = 2 * deg  // of the shear at a vertex against that of the triangles round it, on 95 % of the part
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
		wrong = append(wrong, saneShear(m, r, p, limit)...)
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

// sanePieces: outlines do not cross themselves unless a finding says so, and the
// pieces hold the area of the surface as sheared cloth has it.
func sanePieces(m *mesh.Mesh, r plies.Result, p plies.Ply) (wrong complaints) {
	var cloth, want, whole float64
	for _, piece := range p.Pieces {
		cloth += float64(piece.Area)
		if n := crossings(piece.Outline); n > 0 && !says(r, "piece-overlaps") {
			wrong.add("ply %d: the outline of %s crosses itself %d times", p.Number, piece.Name, n)
		}
		if len(piece.Outline) < 3 || !(ringArea(piece.Outline) > 0.95*float64(piece.Area)) {
			wrong.add("ply %d: the outline of %s has %d corners and holds %.3g m² for %.3g m² of cloth", p.Number, piece.Name, len(piece.Outline), ringArea(piece.Outline), float64(piece.Area))
		}
	}
	for f, c := range m.Triangles {
		γ := (p.Laid.Shear[c[0]] + p.Laid.Shear[c[1]] + p.Laid.Shear[c[2]]) / 3
		whole += m.FaceArea(f)
		want += m.FaceArea(f) / math.Cos(γ)
	}
	if float64(p.ShearMax) < lost && math.Abs(cloth/want-1) > areaMiss {
		wrong.add("ply %d: %.5f m² of cloth, of the shear %.5f m², on %.5f m² of surface", p.Number, cloth, want, whole)
	}
	return wrong
}

// saneShear: the shear as told is that of the flat places, away from seams, where
// a vertex has two of them; and where it passes the limit a finding says so.
func saneShear(m *mesh.Mesh, r plies.Result, p plies.Ply, limit float64) (wrong complaints) {
	seen, turned := shearSeen(m, p)
	if turned > 0 && !says(r, "cloth-") && !says(r, "piece-overlaps") {
		wrong.add("ply %d: %d triangles lie turned over, and nothing says so", p.Number, turned)
	}
	if float64(p.ShearMax) > lost {
		return wrong
	}
	var miss []float64
	var whole, over float64
	for v, s := range seen {
		miss = append(miss, math.Abs(s.shear-p.Laid.Shear[v]))
		whole += s.area
	}
	if len(miss) == 0 {
		return wrong
	}
	slices.Sort(miss)
	if d := miss[len(miss)*95/100]; d > shearMiss {
		wrong.add("ply %d: shear is off that of the flat places by %.2f° on 5 %% of the part", p.Number, d/deg)
	}
	most, sum := 0.0, 0.0
	for _, s := range sorted(seen) {
		if sum += s.area; sum > noteworthy*whole && most == 0 {
			most = math.Abs(s.shear)
		}
		if math.Abs(s.shear) > limit {
			over += s.area
		}
	}
	if most > float64(p.ShearMax)+maxMiss {
		wrong.add("ply %d: shear max %.2f°, but %.2f° of the flat places", p.Number, p.ShearMax.Degrees(), most/deg)
	}
	if over > noteworthy*whole && !says(r, "cloth-locks") && !says(r, "cloth-tight") && !says(r, "cloth-collapses") {
		wrong.add("ply %d: over its limit on %.1f cm², and nothing says so", p.Number, 1e4*over)
	}
	return wrong
}

// spot is what the flat places say of the shear round a vertex.
type spot struct{ shear, area float64 }

// shearSeen returns the shear round each vertex, the mean of the triangles there
// by area, and how many triangles lie turned over. Those near seams are left out,
// and those without width.
func shearSeen(m *mesh.Mesh, p plies.Ply) (seen map[int32]spot, turned int) {
	beside := besideSeams(m, p, 1.5*m.MeanEdge())
	seen = map[int32]spot{}
	for f, c := range m.Triangles {
		if beside[c[0]] || beside[c[1]] || beside[c[2]] || m.Quality(f) < thin {
			continue
		}
		d := direct(m, p.Laid.Flat, f)
		if !(d.flat > 0) {
			turned++
			continue
		}
		for _, v := range c {
			s := seen[v]
			a := s.area + d.area/3
			seen[v] = spot{(s.shear*s.area + d.shear*d.area/3) / a, a}
		}
	}
	return seen, turned
}

// sorted gives the worst first.
func sorted(seen map[int32]spot) []spot {
	out := slices.Collect(maps.Values(seen))
	slices.SortFunc(out, func(a, b spot) int { return cmp.Compare(math.Abs(b.shear), math.Abs(a.shear)) })
	return out
}
