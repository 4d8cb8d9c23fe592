package radius

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// mostLines is how many lines are listed, the longest of the tightest first.
const mostLines = 60

// Hollows finds the hollows that are too tight for a cloth, the tightest first.
func Hollows(s Surface, cloths []Cloth) []Line {
	limits := make([]float64, len(cloths))
	for i, c := range cloths {
		limits[i] = float64(c.Hollow)
	}
	low := make([]float64, len(s.Low))
	for v, k := range s.Low {
		low[v] = -k
	}
	f := finder{Surface: s, bend: low, dir: s.LowDir, sign: -1, limits: limits}
	return f.lines(cloths, true)
}

// Edges finds the outer edges that are too tight for a cloth.
func Edges(s Surface, cloths []Cloth) []Line {
	limits := make([]float64, len(cloths))
	for i, c := range cloths {
		limits[i] = float64(c.Outer)
	}
	f := finder{Surface: s, bend: s.High, dir: s.HighDir, sign: 1, limits: limits}
	return f.lines(cloths, false)
}

// finder looks for places that bend one way: bend is the curvature that counts.
type finder struct {
	Surface
	bend   []float64
	dir    []r3.Vec
	sign   float64
	limits []float64
	least  float64 // 1/m: what bends by more is too tight for some cloth
	tracer *mesh.Tracer
	parent []int32
}

// part is a bit of a line: a vertex with its share of the surface, or a sharp edge.
type part struct {
	vertex               int32
	at                   r3.Vec
	area                 float64 // of a vertex
	length, radius, turn float64
}

func (f *finder) lines(cloths []Cloth, fill bool) []Line {
	widest := 0.0
	for _, l := range f.limits {
		widest = max(widest, l)
	}
	if widest == 0 {
		return nil
	}
	f.least = 1 / (widest * (1 - room))
	var out []Line
	for _, g := range f.groups(append(f.round(), f.sharp()...)) {
		if f.measure(g) {
			out = append(out, f.line(g, cloths, fill))
		}
	}
	slices.SortStableFunc(out, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Radius, b.Radius), cmp.Compare(b.Length, a.Length))
	})
	return out[:min(len(out), mostLines)]
}

// round returns the vertices that bend too tightly.
func (f *finder) round() (out []part) {
	areas := f.tightAreas()
	for v, k := range f.bend {
		if k > f.least && !f.Skip[v] {
			out = append(out, part{vertex: int32(v), at: f.Top.Mesh.Vertices[v], area: areas[v], radius: 1 / k})
		}
	}
	return out
}

// leastTurn is the turn of a whole section below which cloth lies across it, and
// mostTraced how many vertices of a line are looked at across; the others have the
// mean of these.
const (
	leastTurn  = 10 * math.Pi / 180
	mostTraced = 400
)

// measure gives the parts of a line their turn and the length that they stand for,
//
//	ℓ = A/w    A: what of the triangles at a vertex bends so, w: width of the tight place
//
// and tells whether it turns enough to be one.
func (f *finder) measure(parts []part) bool {
	var turns, widths, n float64
	stride := 1 + len(parts)/mostTraced
	for i := 0; i < len(parts); i += stride {
		if p := &parts[i]; p.area > 0 {
			if turn, width := f.across(int(p.vertex)); width > 0 {
				p.turn, p.length = turn, p.area/width
				turns, widths, n = turns+turn, widths+width, n+1
			}
		}
	}
	sharp := false
	for i := range parts {
		p := &parts[i]
		sharp = sharp || p.radius == 0
		if p.radius > 0 && p.length == 0 && n > 0 {
			p.turn, p.length = turns/n, p.area*n/widths
		}
	}
	return sharp || n > 0 && turns/n >= leastTurn
}

// sharp returns the sharp edges that turn the way looked for.
func (f *finder) sharp() (out []part) {
	for _, e := range f.Sharp {
		θ, ends := f.sign*f.Top.Turning(int(e)), f.Top.Edges[e]
		if θ <= leastTurn {
			continue
		}
		a, b := f.Top.Mesh.Vertices[ends[0]], f.Top.Mesh.Vertices[ends[1]]
		out = append(out, part{vertex: ends[0], at: r3.Scale(0.5, r3.Add(a, b)), length: r3.Norm(r3.Sub(b, a)), turn: θ})
		f.join(ends[0], ends[1])
	}
	return out
}

// groups sorts the parts into lines: those that share an edge of the mesh, or a
// neighbour, for along an edge rounded by less than a triangle's side not every
// vertex feels the bend.
func (f *finder) groups(parts []part) [][]part {
	in := make([]bool, len(f.Top.Mesh.Vertices))
	for _, p := range parts {
		in[p.vertex] = true
	}
	first := make([]int32, len(in)) // 1 + a tight neighbour
	for _, ends := range f.Top.Edges {
		for k, v := range ends {
			w := ends[1-k]
			switch {
			case !in[v]:
			case in[w]:
				f.join(v, w)
			case first[w] == 0:
				first[w] = v + 1
			default:
				f.join(v, first[w]-1)
			}
		}
	}
	number := map[int32]int{}
	var out [][]part
	for _, p := range parts {
		root := f.root(p.vertex)
		i, known := number[root]
		if !known {
			i = len(out)
			number[root] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], p)
	}
	return out
}

func (f *finder) root(v int32) int32 {
	if f.parent == nil {
		f.parent = make([]int32, len(f.Top.Mesh.Vertices))
		for i := range f.parent {
			f.parent[i] = int32(i)
		}
	}
	for f.parent[v] != v {
		f.parent[v] = f.parent[f.parent[v]]
		v = f.parent[v]
	}
	return v
}

func (f *finder) join(a, b int32) {
	if a, b = f.root(a), f.root(b); a != b {
		f.parent[max(a, b)] = min(a, b)
	}
}

// line sums up the parts of one line.
func (f *finder) line(parts []part, cloths []Cloth, fill bool) (out Line) {
	tightest := parts[0]
	var length, turned float64
	for _, p := range parts {
		length += p.length
		turned += p.length * p.turn
		if p.radius < tightest.radius {
			tightest = p
		}
	}
	wanted := 0.0
	for i, l := range f.limits {
		if tightest.radius < l*(1-room) {
			out.Cloths = append(out.Cloths, cloths[i].Name)
			wanted = max(wanted, l)
		}
	}
	out.At = [3]float64{tightest.at.X, tightest.at.Y, tightest.at.Z}
	out.Length, out.Radius, out.Wanted = si.Length(length), si.Length(tightest.radius), si.Length(wanted)
	if length > 0 {
		out.Turn = si.Angle(turned / length)
	}
	if fill {
		var volume float64
		for _, p := range parts {
			volume += p.length * Section(p.radius, wanted, p.turn)
		}
		v := si.Volume(volume)
		out.Filler = &v
	}
	return out
}

// steepest is the turn up to which filler is counted as given: beyond it a hollow
// is a slot, whose walls stand nearly against each other.
const steepest = 150 * math.Pi / 180

// Section returns the area between a hollow of one radius and one filled to a
// wider, in section, where the surface turns by θ.
//
//	A = (R² − r²)·(tan(θ/2) − θ/2)
//
// The kite between the two walls and the arc's centre, less the arc's sector.
func Section(from, to, turn float64) float64 {
	half := min(turn, steepest) / 2
	return max(0, to*to-from*from) * (math.Tan(half) - half)
}

// tightAreas shares out, to the vertices that bend by more than least, what of each
// triangle does so as well, the bend being linear over it.
func (f *finder) tightAreas() []float64 {
	least := f.least
	out := make([]float64, len(f.bend))
	for t, tri := range f.Top.Mesh.Triangles {
		var in, off []int32
		for _, v := range tri {
			if f.bend[v] > least {
				in = append(in, v)
			} else {
				off = append(off, v)
			}
		}
		if len(in) == 0 {
			continue
		}
		area := f.Top.Mesh.FaceArea(t)
		reach := func(a, b int32) float64 { return (f.bend[a] - least) / (f.bend[a] - f.bend[b]) }
		switch len(in) {
		case 1:
			area *= reach(in[0], off[0]) * reach(in[0], off[1])
		case 2:
			area *= 1 - (1-reach(in[0], off[0]))*(1-reach(in[1], off[0]))
		}
		for _, v := range in {
			out[v] += area / float64(len(in))
		}
	}
	return out
}
