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
	Margin float64     `json:"margin"`       // 1/(factor·√((τ/S)² + (σ/T)²)) − 1
	Scarf  float64     `json:"repair_scarf"` // 1 in so much: the steepest scarf on which the same adhesive bears what the wall does in tension

	meanShare float64 // of the mean shear, of the strength over the factor
	stretch   float64 // of the wall, E·t, N/m
}

// What is taken of a paste of epoxy and filler where it is not told. Typical of what is
// mixed by hand, from memory; assumed.
var paste = joint.Adhesive{E: 2.5e9, G: 0.9e9, Thickness: 0.5e-3, Shear: 12e6, Tension: 15e6}

// What lies in the plane of the rim.
const (
	levelled = 1e-3               // m off the plane: what a bond line evens out
	tilted   = 10 * math.Pi / 180 // of a triangle against it
)

// land is a bonded flange: its ends are the vertices where load comes in from the
// wall, and those at the rim, where stress of heat ends.
type land struct {
	adhesive joint.Adhesive
	ends     []landEnd
}

// landEnd is a stretch of an end about a vertex.
type landEnd struct {
	vertex        int32
	along, normal r3.Vec
	length, width float64
}

// lay finds the flange and holds it. It is what lies in the plane of an outer rim and
// hangs together with it, no farther in than its width.
func (in *Input) lay(t *mesh.Topology, h *holding, rims [][]int32) error {
	a, f := &in.Flange.Adhesive, &land{}
	f.adhesive = joint.Adhesive{E: cmp.Or(a.E, paste.E), G: cmp.Or(a.G, paste.G), Thickness: cmp.Or(a.Thickness, paste.Thickness),
		Shear: cmp.Or(a.Shear, paste.Shear), Tension: cmp.Or(a.Tension, paste.Tension)}
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
	h.land = f
	in.endsOf(t, on, rims, h)
	return nil
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
	near := make([]int8, len(in.Mesh.Vertices)) // 1: lies in it, -1: does not
	lies := func(v int32) bool {
		if near[v] == 0 {
			near[v] = -1
			at := in.Mesh.Vertices[v]
			if math.Abs(r3.Dot(r3.Sub(at, middle), n)) <= levelled && (math.IsInf(far, 1) || apart(at, [][]r3.Vec{line}) <= far) {
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

// endsOf holds the flange's vertices and lists its ends. At the rim it counts as wide
// as it is in the mean.
func (in *Input) endsOf(t *mesh.Topology, on []bool, rims [][]int32, h *holding) {
	byVertex := map[int32]*landEnd{}
	var order []int32
	inner := map[int32]bool{}
	var area, seam float64
	for f, c := range in.Mesh.Triangles {
		if !on[f] {
			continue
		}
		area += in.Mesh.FaceArea(f)
		for k := range 3 {
			h.held[c[k]] = shell.Clamped
			g := t.Neighbour(f, k)
			if g >= 0 && on[g] {
				continue
			}
			side := r3.Sub(in.Mesh.Vertices[c[(k+1)%3]], in.Mesh.Vertices[c[k]])
			if g >= 0 {
				seam += r3.Norm(side)
			}
			for _, v := range []int32{c[k], c[(k+1)%3]} {
				e := byVertex[v]
				if e == nil {
					e = &landEnd{vertex: v, normal: in.Mesh.FaceNormal(f)}
					byVertex[v], order = e, append(order, v)
				}
				e.along, e.length = r3.Add(e.along, side), e.length+r3.Norm(side)/2
				inner[v] = inner[v] || g >= 0
			}
		}
	}
	var lines [][]r3.Vec
	for _, rim := range rims {
		lines = append(lines, in.points(rim))
	}
	for _, v := range order {
		e := byVertex[v]
		e.along, e.width = r3.Unit(e.along), area/seam
		if d := apart(in.Mesh.Vertices[v], lines); inner[v] && d > 0 {
			e.width = d
		}
		h.land.ends = append(h.land.ends, *e)
	}
}

// bond reports where the bond line of the flange uses most of its strength. What the
// held vertices at the ends of the flange push with, over the length that each stands
// for, goes over into the bond there:
//
//	shear by a single lap, peel by the wall's end on its bed
//
// A thin ground turns with the lap; a moment of k·P·t/2 is added for that.
func (r *Result) bond(j *judging, h *holding) {
	if h.land == nil {
		return
	}
	a := &h.land.adhesive
	most := -1.0
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
			p, q, m := j.onEnd(e, b)
			shear, _, _ := lap.Shear(si.LineLoad(p))
			m += plate.Eccentricity(lap.Length, si.LineLoad(p)) * p * w.Thickness / 2
			peel := a.Peel((w.D[0][0]+w.D[1][1])/2, q, m)
			kept := j.in.retention(j.in.Cases[b.of])
			use := math.Hypot(float64(shear/a.Shear), float64(peel/a.Tension)) / kept
			if use > most {
				most = use
				mean := si.Pressure(p / e.width)
				r.Bond = &Bond{At: place(j.in.Mesh.Vertices[e.vertex]), Case: j.in.Cases[b.of].Name, Load: si.LineLoad(p), Width: lap.Length,
					Shear: shear, Mean: mean, Peel: peel, Margin: 1/(use*r.Factor) - 1, stretch: lap.Stretch1, meanShare: float64(mean/a.Shear) * r.Factor / kept,
					Scarf: joint.ScarfSlope(j.in.atHole(j.in.Cases[b.of]).Tension, a.Shear*si.Pressure(kept))}
			}
		}
	}
}

// onEnd returns what goes over into the bond at a place: in its plane, N/m, across
// it, N/m, and the moment along the end, N.
func (j *judging) onEnd(e *landEnd, b *blend) (p, q, m float64) {
	var force, moment r3.Vec
	for u, l := range j.unit {
		if l != nil && b.share[u] != 0 {
			force = r3.Add(force, r3.Scale(b.share[u]/e.length, l.force[e.vertex]))
			moment = r3.Add(moment, r3.Scale(b.share[u]/e.length, l.moment[e.vertex]))
		}
	}
	q = r3.Dot(force, e.normal)
	return r3.Norm(r3.Sub(force, r3.Scale(q, e.normal))), q, r3.Dot(moment, e.along)
}

// wallAt is the wall beside a vertex.
func (j *judging) wallAt(v int32) *wall.Stiffness { return j.stacks.at(j.top, v) }
