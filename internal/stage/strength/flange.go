package strength

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/joint"
	"laywright/internal/stage/shell"
)

// Bond is where the bond line of the flange uses most of its strength, by the elastic
// peaks at its ends.
type Bond struct {
	At     [3]float64  `json:"at_m"`
	Case   string      `json:"case"`
	Load   si.LineLoad `json:"load_N_per_m"` // along the wall, that goes over into the bond there
	Width  si.Length   `json:"width_m"`
	Shear  si.Pressure `json:"shear_peak_Pa"`
	Mean   si.Pressure `json:"shear_mean_Pa"` // over the width
	Peel   si.Pressure `json:"peel_peak_Pa"`
	Margin float64     `json:"margin"`       // 1/√((τ/S)² + (σ/T)²) − 1, the loads times the factor and heat as it is
	Scarf  float64     `json:"repair_scarf"` // 1 in so much: the steepest scarf on which the same adhesive bears what the wall does in tension

	meanShare float64 // of the mean shear, of the strength over the factor
	stretch   float64 // of the wall, E·t, N/m
}

// What is taken of a paste of epoxy and filler where it is not told. Typical of what is
// mixed by hand, from memory; assumed.
var paste = joint.Adhesive{E: 2.5e9, G: 0.9e9, Thickness: 0.5e-3, Shear: 12e6, Tension: 15e6}

// stretchy is E over G of an adhesive whose E is not told: ν of 0.4. Assumed.
const stretchy = 2.8

// What lies in the plane of the rim.
const (
	levelled = 0.2e-3             // m off the plane, or the bond line: what it evens out
	tilted   = 10 * math.Pi / 180 // of a triangle against it
)

// land is a bonded flange.
type land struct {
	adhesive joint.Adhesive
	width    float64 // mean
	ends     []landEnd
}

// landEnd is a stretch of an end about a vertex, where load comes in from the wall, or
// at the rim, where stress of heat ends; width is how far the bond reaches that lies
// nearer to it than to other ends.
type landEnd struct {
	vertex        int32
	along, normal r3.Vec
	length, width float64
}

// lay finds the flange and puts it on its bond line: springs at its vertices. It is
// what lies in the plane of an outer rim and hangs together with it, no farther in
// than its width.
//
//	k = A·G/tₐ along it, A·E/tₐ across it
func (in *Input) lay(t *mesh.Topology, h *holding, rims [][]int32) error {
	on := make([]bool, len(in.Mesh.Triangles))
	count := 0
	for _, rim := range rims {
		count += in.level(t, rim, on)
	}
	switch count {
	case 0:
		return &fault.Input{Field: "part.held.flange", What: "there is no flat land along the edge of the part", Do: "give the mould a flange, or write part.held: {edge: clamped}"}
	case len(on):
		return &fault.Input{Field: "part.held.flange", What: "the flange takes in the whole part", Do: "write how wide it is: part.held.flange: {width: ...}"}
	}
	h.land = &land{adhesive: in.adhesive()}
	in.endsOf(t, on, h)
	return nil
}

// adhesive is the flange's, what is not told of it filled in.
func (in *Input) adhesive() joint.Adhesive {
	a := in.Flange.Adhesive
	return joint.Adhesive{E: cmp.Or(a.E, a.G*stretchy, paste.E), G: cmp.Or(a.G, paste.G), Thickness: cmp.Or(a.Thickness, paste.Thickness),
		Shear: cmp.Or(a.Shear, paste.Shear), Tension: cmp.Or(a.Tension, paste.Tension)}
}

// level marks the triangles of the flange along a rim, and counts them.
func (in *Input) level(t *mesh.Topology, rim []int32, on []bool) (count int) {
	line := in.points(rim)
	var n, middle r3.Vec
	for k, p := range line {
		n = r3.Add(n, r3.Cross(p, line[(k+1)%len(line)]))
		middle = r3.Add(middle, r3.Scale(1/float64(len(line)), p))
	}
	n = r3.Unit(n)
	far := math.Inf(1)
	if in.Flange.Width > 0 {
		far = float64(in.Flange.Width) * (1 + 1e-6)
	}
	even := max(levelled, float64(in.adhesive().Thickness))
	near := make([]int8, len(in.Mesh.Vertices)) // 1: lies in it, -1: does not
	lies := func(v int32) bool {
		if near[v] == 0 {
			near[v] = -1
			at := in.Mesh.Vertices[v]
			if math.Abs(r3.Dot(r3.Sub(at, middle), n)) <= even && (math.IsInf(far, 1) || apart(at, [][]r3.Vec{line}) <= far) {
				near[v] = 1
			}
		}
		return near[v] > 0
	}
	var queue []int32
	visit := func(f int32) {
		c := in.Mesh.Triangles[f]
		if !on[f] && lies(c[0]) && lies(c[1]) && lies(c[2]) && math.Abs(r3.Dot(in.Mesh.FaceNormal(int(f)), n)) >= math.Cos(tilted) {
			on[f] = true
			queue = append(queue, f)
		}
	}
	for _, v := range rim {
		for _, f := range t.VertexFaces(int(v)) {
			visit(f)
		}
	}
	for i := 0; i < len(queue); i++ {
		for k := range 3 {
			if g := t.Neighbour(int(queue[i]), k); g >= 0 {
				visit(int32(g))
			}
		}
	}
	return len(queue)
}

// points are where vertices lie.
func (in *Input) points(vertices []int32) []r3.Vec {
	out := make([]r3.Vec, len(vertices))
	for i, v := range vertices {
		out[i] = in.Mesh.Vertices[v]
	}
	return out
}

// endsOf lists the flange's ends, and puts its vertices on springs, each for the end
// that it lies nearest to.
func (in *Input) endsOf(t *mesh.Topology, on []bool, h *holding) {
	end := map[int32]int{}
	ends := &h.land.ends
	areas := make([]float64, len(in.Mesh.Vertices))
	var whole, seam float64
	for f, c := range in.Mesh.Triangles {
		if !on[f] {
			continue
		}
		area := in.Mesh.FaceArea(f)
		whole += area
		for k := range 3 {
			areas[c[k]] += area / 3
			g := t.Neighbour(f, k)
			if g >= 0 && on[g] {
				continue
			}
			side := r3.Sub(in.Mesh.Vertices[c[(k+1)%3]], in.Mesh.Vertices[c[k]])
			if g >= 0 {
				seam += r3.Norm(side)
			}
			for _, v := range []int32{c[k], c[(k+1)%3]} {
				i, known := end[v]
				if !known {
					i = len(*ends)
					end[v] = i
					*ends = append(*ends, landEnd{vertex: v, normal: in.Mesh.FaceNormal(f)})
				}
				e := &(*ends)[i]
				e.along, e.length = r3.Add(e.along, side), e.length+r3.Norm(side)/2
			}
		}
	}
	h.land.width = whole / seam
	for i := range *ends {
		(*ends)[i].along = r3.Unit((*ends)[i].along)
	}
	a := &h.land.adhesive
	for v, area := range areas {
		if area == 0 {
			continue
		}
		best, least := 0, math.Inf(1)
		for i := range *ends {
			if d := r3.Norm2(r3.Sub(in.Mesh.Vertices[v], in.Mesh.Vertices[(*ends)[i].vertex])); d < least {
				best, least = i, d
			}
		}
		(*ends)[best].width += area / (*ends)[best].length
		per := si.Stiffness(area / float64(a.Thickness))
		h.springs = append(h.springs, shell.Spring{Vertex: int32(v), Axis: (*ends)[best].normal, Along: per * si.Stiffness(a.E), Across: per * si.Stiffness(a.G)})
		h.owner = append(h.owner, best)
	}
}

// bond reports where the bond line of the flange uses most of its strength. What its
// springs bear near an end, over the length that the end stands for, comes in there:
//
//	shear by a single lap of half the width, peel by the wall's end on its bed
//
// for the springs stand too far apart to show the peaks of a stiff adhesive. A thin
// ground turns with the lap; a moment of k·P·t/2 is added for that.
func (r *Result) bond(j *judging, h *holding) {
	if h.land == nil {
		return
	}
	a := &h.land.adhesive
	most := -1.0
	loads := j.onEnds(h)
	for i := range h.land.ends {
		e := &h.land.ends[i]
		w := j.wallAt(e.vertex)
		lap := joint.Lap{Stretch1: (w.A[0][0] + w.A[1][1]) / 2, Stretch2: math.Inf(1), Length: si.Length(e.width), Adhesive: *a}
		plate := joint.Plate{E: si.Pressure(lap.Stretch1 / w.Thickness), Nu: w.A[0][1] / lap.Stretch1, Thickness: si.Length(w.Thickness)}
		if g := j.in.Ground; g.E > 0 && g.Thickness > 0 {
			lap.Stretch2 = float64(g.E) * float64(g.Thickness)
		}
		for n := range j.blends {
			b := &j.blends[n]
			asked := func(factor float64) (load, shear, peel float64) {
				p, q, m := loads[i].over(e, b, factor)
				near, _, _ := lap.Shear(si.LineLoad(p))
				m += plate.Eccentricity(lap.Length, si.LineLoad(p)) * p * w.Thickness / 2
				return p, float64(near), float64(a.Peel((w.D[0][0]+w.D[1][1])/2, q, m))
			}
			kept := j.in.retention(j.in.Cases[b.of])
			p, shear, peel := asked(r.Factor)
			use := math.Hypot(shear/float64(a.Shear), peel/float64(a.Tension)) / kept
			if use <= most {
				continue
			}
			most = use
			mean := p / e.width / float64(a.Shear) / kept
			p, shear, peel = asked(1)
			r.Bond = &Bond{At: place(j.in.Mesh.Vertices[e.vertex]), Case: j.in.Cases[b.of].Name, Load: si.LineLoad(p), Width: si.Length(h.land.width),
				Shear: si.Pressure(shear), Mean: si.Pressure(p / e.width), Peel: si.Pressure(peel), Margin: 1/use - 1,
				Scarf:     joint.ScarfSlope(j.in.atHole(j.in.Cases[b.of], j.in.laidBetween()).Tension, a.Shear*si.Pressure(kept)),
				meanShare: mean, stretch: lap.Stretch1}
		}
	}
}

// endLoad is what the unit loads bring on an end: forces, and moments about its vertex.
type endLoad struct{ force, moment [units]r3.Vec }

func (j *judging) onEnds(h *holding) []endLoad {
	out := make([]endLoad, len(h.land.ends))
	for k := range h.springs {
		s, l := &h.springs[k], &out[h.owner[k]]
		arm := r3.Sub(j.in.Mesh.Vertices[s.Vertex], j.in.Mesh.Vertices[h.land.ends[h.owner[k]].vertex])
		for u, m := range j.unit {
			if m != nil {
				f := s.Pulls(m.Move[s.Vertex])
				l.force[u], l.moment[u] = r3.Add(l.force[u], f), r3.Add(l.moment[u], r3.Cross(arm, f))
			}
		}
	}
	return out
}

// over returns what comes in at an end: along the bond, N/m, across it, N/m, and the
// moment along the end, N, the loads grown by a factor.
func (l *endLoad) over(e *landEnd, b *blend, factor float64) (p, q, m float64) {
	var force, moment r3.Vec
	for u := range units {
		x := b.times(u, factor) / e.length
		force, moment = r3.Add(force, r3.Scale(x, l.force[u])), r3.Add(moment, r3.Scale(x, l.moment[u]))
	}
	q = r3.Dot(force, e.normal)
	return r3.Norm(r3.Sub(force, r3.Scale(q, e.normal))), q, r3.Dot(moment, e.along)
}

// wallAt is the wall beside a vertex.
func (j *judging) wallAt(v int32) *wall.Stiffness { return j.stacks.at(j.top, v) }
